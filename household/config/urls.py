"""The addresses of the whole project; each app keeps its own list."""

from django.urls import include, path

urlpatterns = [
    path("api/", include("household.accounts.urls")),
    path("api/", include("household.sync.urls")),
    path("api/", include("household.dogs.urls")),
    path("api/", include("household.stores.urls")),
    path("api/", include("household.prep.urls")),
    path("api/", include("household.feeding.urls")),
    path("api/", include("household.review.urls")),
    path("", include("frontend.urls")),
]
