"""The records of this app, to be read."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.dogs.models import Condition, Dog, Observation, Preference, Weighing

admin.site.register([Dog, Weighing, Condition, Observation, Preference], ReadOnlyAdmin)
