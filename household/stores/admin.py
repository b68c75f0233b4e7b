"""The records of this app, to be read."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.stores.models import Count, Food, Lot, Movement

admin.site.register([Food, Lot, Movement, Count], ReadOnlyAdmin)
