from typing import ClassVar

from django.db import models


class Row(models.Model):
    """A document with the moment of its last change, which with its id is the checkpoint."""

    id = models.UUIDField(primary_key=True)
    household = models.CharField(max_length=40)
    updated_at = models.BigIntegerField()  # ms since 1970
    document = models.JSONField()

    # Named, because the type checker knows only the tables of the household's own settings.
    objects: ClassVar[models.Manager["Row"]] = models.Manager()

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["household", "updated_at", "id"], name="peer_checkpoint")
        ]

    def __str__(self) -> str:
        return str(self.pk)
