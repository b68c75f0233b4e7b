"""Signs of life, kept in the database because every broker and every web process can reach it."""

from django.db import models


class Heartbeat(models.Model):
    """When a part of the system last proved that it works."""

    name = models.CharField(max_length=40, primary_key=True)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.name} at {self.at:%Y-%m-%d %H:%M:%S}"
