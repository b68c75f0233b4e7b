from django.apps import AppConfig


class ReviewConfig(AppConfig):
    name = "household.review"
    label = "review"

    def ready(self) -> None:
        from household.review.kinds import KINDS
        from household.sync import registry

        registry.register(KINDS)
