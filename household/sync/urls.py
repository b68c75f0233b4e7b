from django.urls import path

from household.sync import api

urlpatterns = [
    path("households/<uuid:household_id>/sync/push", api.PushView.as_view()),
    path("households/<uuid:household_id>/sync/first", api.FirstView.as_view()),
    path("households/<uuid:household_id>/sync/changes", api.ChangesView.as_view()),
    path("households/<uuid:household_id>/sync/history/<uuid:rid>", api.HistoryView.as_view()),
]
