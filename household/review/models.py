"""Weekly summaries, written through sync, and how far each household has been summed up."""

from django.db import models

from household.accounts.models import Household
from household.sync.models import Projected


class Summary(Projected):
    """One dog's week. The body's shape is that of `queries.summary.SummaryBody`."""

    dog = models.UUIDField()
    week = models.CharField(max_length=8)
    body = models.JSONField(null=True)

    class Meta:
        verbose_name_plural = "summaries"
        indexes = [models.Index(fields=["household", "week"], name="summary_by_week")]

    def __str__(self) -> str:
        return f"{self.week} of {self.dog}"


class Progress(models.Model):
    """How far a household is summed up: the newest week, and the last log entry taken into account.

    The server's own notebook, no record of the household: losing it only means computing again.
    """

    household = models.OneToOneField(
        Household, on_delete=models.CASCADE, primary_key=True, related_name="review_progress"
    )
    week = models.CharField(max_length=8)
    seq = models.PositiveBigIntegerField()
    at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "progress"

    def __str__(self) -> str:
        return f"{self.week}, up to {self.seq}"
