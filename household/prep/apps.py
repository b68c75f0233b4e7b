from django.apps import AppConfig


class PrepConfig(AppConfig):
    name = "household.prep"
    label = "prep"

    def ready(self) -> None:
        from household.prep.kinds import KINDS
        from household.sync import registry

        registry.register(KINDS)
