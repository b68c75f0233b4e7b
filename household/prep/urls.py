from django.urls import path

from household.prep import api, calendar_api

BATCHES = "households/<uuid:household_id>/batches"

urlpatterns = [
    path("households/<uuid:household_id>/calendar", calendar_api.CalendarAddressView.as_view()),
    path(BATCHES, api.BatchesView.as_view()),
    path(f"{BATCHES}/<uuid:rid>", api.BatchView.as_view()),
    path(f"{BATCHES}/<uuid:rid>/adequacy", api.BatchAdequacyView.as_view()),
]
