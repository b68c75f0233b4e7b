from django.apps import AppConfig


class DogsConfig(AppConfig):
    name = "household.dogs"
    label = "dogs"
