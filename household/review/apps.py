from django.apps import AppConfig


class ReviewConfig(AppConfig):
    name = "household.review"
    label = "review"
