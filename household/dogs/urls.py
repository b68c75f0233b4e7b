from django.urls import path

from household.dogs import api

DOGS = "households/<uuid:household_id>/dogs"

urlpatterns = [
    path(DOGS, api.DogsView.as_view()),
    path(f"{DOGS}/<uuid:rid>", api.DogView.as_view()),
    path(f"{DOGS}/<uuid:rid>/requirement", api.DogRequirementView.as_view()),
]
