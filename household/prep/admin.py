"""The records of this app, to be read."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.prep.models import Bag, Batch, Duty, WeighIn

admin.site.register([Batch, WeighIn, Bag, Duty], ReadOnlyAdmin)
