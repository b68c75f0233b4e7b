"""The addresses of the phone app. Its router in src/shell/routes.ts knows the same ones."""

from django.urls import path, re_path

from frontend import views

PLACES = (
    "today|counter|plan|duties|stores|review|dogs|waiting|history|household|"
    "sign-in|sign-up|join|first-run"
)

urlpatterns = [
    # At the root, so that the worker's scope is the whole site without a header.
    path("serviceworker.js", views.service_worker, name="serviceworker"),
    path("manifest.json", views.manifest, name="manifest"),
    path("", views.shell, name="shell"),
    re_path(rf"^(?:{PLACES})(?:/.*)?$", views.shell),
]
