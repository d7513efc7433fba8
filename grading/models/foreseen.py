"""What another mark scheme would make of a record."""

from django.db import models

from grading.models.record import Record


class Foreseen(models.Model):
    """What would be suggested for a record by another mark scheme than its exam's; nothing is done by it.

    `digest` names all that it rests on, so that a stale one is known; it is made again, never mended.
    """

    record = models.ForeignKey(Record, models.CASCADE, related_name="foreseen")
    mark_scheme = models.CharField(max_length=60)
    digest = models.CharField(max_length=64)
    paper = models.JSONField()  # as the paper of the record

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["record", "mark_scheme"], name="foreseen_once_per_mark_scheme")]

    def __str__(self):
        return f"{self.record}: {self.mark_scheme}"
