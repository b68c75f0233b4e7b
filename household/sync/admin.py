"""The log and the row states, to be read: they are written by sync only."""

from django.contrib import admin

from household.accounts.admin import ReadOnlyAdmin
from household.sync.models import Op, Record


@admin.register(Op)
class OpAdmin(ReadOnlyAdmin):
    list_display = ("household", "seq", "entity", "rid", "author", "applied", "code")
    list_filter = ("applied", "entity", "code")
    search_fields = ("op_id", "rid")


@admin.register(Record)
class RecordAdmin(ReadOnlyAdmin):
    list_display = ("household", "entity", "rid", "seq", "gone")
    list_filter = ("entity", "gone")
    search_fields = ("rid",)
