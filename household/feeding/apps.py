from django.apps import AppConfig


class FeedingConfig(AppConfig):
    name = "household.feeding"
    label = "feeding"

    def ready(self) -> None:
        from household.feeding.kinds import KINDS
        from household.sync import registry

        registry.register(KINDS)
