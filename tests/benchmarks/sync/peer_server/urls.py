from django.urls import path

from tests.benchmarks.sync.peer_server import views

urlpatterns = [
    path("blank", views.blank),
    path("rows/<str:household>/push", views.push),
    path("rows/<str:household>/pull", views.pull),
    path("rows/<str:household>/count", views.count),
]
