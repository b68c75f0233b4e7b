"""The addresses of the whole project; each app keeps its own list."""

from django.contrib import admin
from django.urls import include, path
from drf_spectacular.views import SpectacularJSONAPIView
from rest_framework.permissions import AllowAny

from household.config import trust
from household.config.health import HealthView
from household.prep.calendar_api import calendar

urlpatterns = [
    path("api/health", HealthView.as_view()),
    path("api/schema", SpectacularJSONAPIView.as_view(permission_classes=[AllowAny])),
    path("api/", include("household.accounts.urls")),
    path("api/", include("household.sync.urls")),
    path("api/", include("household.dogs.urls")),
    path("api/", include("household.stores.urls")),
    path("api/", include("household.prep.urls")),
    path("api/", include("household.feeding.urls")),
    path("api/", include("household.review.urls")),
    path("calendar/<str:token>.ics", calendar),
    path("admin/", admin.site.urls),
    path("trust", trust.trust),
    path("trust/ca.crt", trust.authority),
    path("", include("frontend.urls")),
]
handler400 = "household.config.errors.bad_request"
handler403 = "household.config.errors.forbidden"
handler404 = "household.config.errors.not_found"
handler500 = "household.config.errors.server_error"
