from django.apps import AppConfig


class StoresConfig(AppConfig):
    name = "household.stores"
    label = "stores"

    def ready(self) -> None:
        from household.stores.kinds import KINDS
        from household.sync import registry

        registry.register(KINDS)
