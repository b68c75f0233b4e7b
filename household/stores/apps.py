from django.apps import AppConfig


class StoresConfig(AppConfig):
    name = "household.stores"
    label = "stores"
