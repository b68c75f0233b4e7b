from django.apps import AppConfig


class PrepConfig(AppConfig):
    name = "household.prep"
    label = "prep"
