from django.apps import AppConfig


class AccountsConfig(AppConfig):
    name = "household.accounts"
    label = "accounts"
