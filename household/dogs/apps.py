from django.apps import AppConfig


class DogsConfig(AppConfig):
    name = "household.dogs"
    label = "dogs"

    def ready(self) -> None:
        from household.dogs.kinds import KINDS
        from household.sync import registry

        registry.register(KINDS)
