from django.apps import AppConfig


class SyncConfig(AppConfig):
    name = "household.sync"
    label = "sync"
