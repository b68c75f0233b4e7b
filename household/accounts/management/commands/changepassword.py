"""`manage.py changepassword`: Django's, for an address however it is capitalised."""

from typing import Any

from django.contrib.auth.management.commands import changepassword

from household.accounts.models import User


class Command(changepassword.Command):
    def handle(self, *args: Any, **options: Any) -> str | None:
        if options["username"]:
            options["username"] = User.objects.canonical(options["username"])
        return super().handle(*args, **options)
