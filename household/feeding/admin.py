"""The records of this app, to be read."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.feeding.models import Meal, Mealtime, Serving

admin.site.register([Mealtime, Meal, Serving], ReadOnlyAdmin)
