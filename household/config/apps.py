from django.apps import AppConfig


class ConfigConfig(AppConfig):
    name = "household.config"
    label = "config"
