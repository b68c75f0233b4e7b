"""Summaries, to be read."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.review.models import Progress, Summary

admin.site.register([Summary, Progress], ReadOnlyAdmin)
