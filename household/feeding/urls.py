from django.urls import path

from household.feeding import api

HOUSEHOLD = "households/<uuid:household_id>"

urlpatterns = [
    path(f"{HOUSEHOLD}/meals", api.MealsView.as_view()),
    path(f"{HOUSEHOLD}/dogs/<uuid:rid>/adequacy", api.DogAdequacyView.as_view()),
]
