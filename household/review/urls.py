from django.urls import path

from household.review import api

urlpatterns = [
    path("households/<uuid:household_id>/summaries", api.SummariesView.as_view()),
]
