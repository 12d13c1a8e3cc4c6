"""One row for every change that anyone made."""

import uuid

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models


class Entry(models.Model):
    """Who did what to which row, and when; `batch` joins the entries of one act.

    `changes` maps a field to [old, new]; `private` does the same for fields that only those who
    may see money values read.
    """

    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    batch = models.UUIDField(default=uuid.uuid4, db_index=True)
    action = models.CharField(max_length=60)
    sentence = models.CharField(max_length=300)
    target_type = models.CharField(max_length=60)
    target_id = models.BigIntegerField()
    changes = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    private = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    undone = models.BooleanField(default=False)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["target_type", "target_id", "-id"], name="history_target")]

    def __str__(self) -> str:
        return self.sentence
