"""Object lists that came in, and what their columns were matched to."""

import uuid
from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.db import models

from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.jobs.models import Job
from exhibit_core.register.models import Measurement


def stored_as(_row: "ObjectList", name: str) -> str:
    """Return a path that nobody can guess; the name that the file had is kept in the row."""
    return f"imports/{uuid.uuid4().hex}.{name.rpartition('.')[2].lower()[:5]}"


class ObjectList(models.Model):
    """One list that came in: read, matched, previewed, applied.

    `matching` maps a column's place, as text, to its field and unit; an empty field leaves the
    column out. `plan` holds the preview, a line for each row.
    """

    class State(models.TextChoices):
        READ = "read", "read"
        MATCHED = "matched", "matched"
        PREVIEWED = "previewed", "previewed"
        APPLIED = "applied", "applied"

    file = models.FileField(upload_to=stored_as)
    name = models.CharField(max_length=255)
    exhibition = models.ForeignKey(
        Exhibition,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="object_lists",
        help_text="Its objects also go on this exhibition's list",
    )
    sheet = models.CharField(max_length=255, blank=True)
    sheets = models.JSONField(default=list, blank=True)
    header_row = models.PositiveIntegerField("row of headings", default=1)
    columns = models.JSONField(default=list)
    rows = models.PositiveIntegerField(default=0)
    notes = models.JSONField(default=list, blank=True)
    matching = models.JSONField(default=dict, blank=True)
    size_state = models.CharField(
        "sizes are", max_length=8, choices=Measurement.State, default=Measurement.State.BARE
    )
    size_basis = models.CharField(
        "sizes were", max_length=8, choices=Measurement.Basis, default=Measurement.Basis.STATED
    )
    empties_clear = models.BooleanField("empty cells clear what is there", default=False)
    state = models.CharField(max_length=10, choices=State, default=State.READ)
    summary = models.JSONField(default=dict, blank=True)
    plan = models.FileField(upload_to=stored_as, blank=True)
    batch = models.UUIDField(default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    sent_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def matched(self) -> Mapping[int, Mapping[str, Any]]:
        """Return field and unit of the columns that are brought in, by their place."""
        return {int(place): match for place, match in self.matching.items() if match["field"]}

    @property
    def to_bring_in(self) -> int:
        return self.summary["new"] + self.summary["changed"]

    @property
    def is_applied(self) -> bool:
        return self.state == self.State.APPLIED


class RememberedMatch(models.Model):
    """Which field a column of this name was last matched to; an empty field leaves it out."""

    column = models.CharField(max_length=200, unique=True)
    field = models.CharField(max_length=60, blank=True)
    unit = models.CharField(max_length=3, blank=True)

    def __str__(self) -> str:
        return f"{self.column} → {self.field or 'left out'}"
