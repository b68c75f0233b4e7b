from django.urls import path

from household.stores import api

urlpatterns = [
    path("households/<uuid:household_id>/lots", api.LotsView.as_view()),
    path("nutrition/foods", api.FoodSearchView.as_view()),
    path("nutrition/tables", api.NutritionTablesView.as_view()),
]
