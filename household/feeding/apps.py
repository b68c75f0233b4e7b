from django.apps import AppConfig


class FeedingConfig(AppConfig):
    name = "household.feeding"
    label = "feeding"
