"""Object lists that came in, and what their columns were matched to."""

from django.conf import settings
from django.db import models

from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.jobs.models import Job


class ObjectList(models.Model):
    """One uploaded list, from upload over matching and preview to applied."""

    class State(models.TextChoices):
        UPLOADED = "uploaded", "uploaded"
        PREVIEWED = "previewed", "previewed"
        APPLIED = "applied", "applied"

    file = models.FileField(upload_to="imports/")
    name = models.CharField(max_length=255)
    sheet = models.CharField(max_length=100, blank=True)
    exhibition = models.ForeignKey(
        Exhibition,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="object_lists",
        help_text="Its objects also go on this exhibition's list",
    )
    columns = models.JSONField(default=list)
    matching = models.JSONField(default=dict)
    empties_clear = models.BooleanField("empty cells clear what is there", default=False)
    default_unit = models.CharField("unit where none is written", max_length=2, default="mm")
    state = models.CharField(max_length=10, choices=State, default=State.UPLOADED)
    summary = models.JSONField(default=dict)
    plan = models.FileField(upload_to="imports/", blank=True)
    job = models.ForeignKey(Job, on_delete=models.SET_NULL, null=True, related_name="+")
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    sent_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.name


class RememberedMatch(models.Model):
    """Which field a column of this name was last matched to."""

    column = models.CharField(max_length=200, unique=True)
    field = models.CharField(max_length=60, blank=True)

    def __str__(self) -> str:
        return f"{self.column} → {self.field}"
