"""Exhibitions, their sections, and the list of objects chosen for them."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone

from exhibit_core.exhibitions.timeline import Mark, marks
from exhibit_core.register.models import MuseumObject
from exhibit_core.spaces.models import Venue

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def validate_weekdays(days: list[int]) -> None:
    if any(day not in range(7) for day in days):
        raise ValidationError("Open days are numbers from 0 (Monday) to 6 (Sunday).")


class Exhibition(models.Model):
    """An exhibition at a venue, from opening to closing day."""

    title = models.CharField(max_length=200)
    subtitle = models.CharField(max_length=200, blank=True)
    venue = models.ForeignKey(Venue, on_delete=models.PROTECT, related_name="exhibitions")
    opening = models.DateField("opening day")
    closing = models.DateField("closing day")
    open_days = models.JSONField(
        "open days", default=list, blank=True, validators=[validate_weekdays]
    )
    opens_at = models.TimeField("opens at", null=True, blank=True)
    closes_at = models.TimeField("closes at", null=True, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["opening", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(closing__gte=models.F("opening")),
                name="exhibition_closes_after_opening",
                violation_error_message="The closing day is before the opening day.",
            )
        ]

    def __str__(self) -> str:
        return self.title

    def clean(self) -> None:
        if self.opens_at and self.closes_at and self.closes_at <= self.opens_at:
            raise ValidationError({"closes_at": "It closes before it opens."})

    @property
    def tape(self) -> list[Mark]:
        return marks(opening=self.opening, closing=self.closing, today=timezone.localdate())

    @property
    def open_day_names(self) -> list[str]:
        return [WEEKDAYS[day] for day in sorted(self.open_days)]


class Section(models.Model):
    """A numbered part of the story with the one message a visitor should take from it."""

    exhibition = models.ForeignKey(Exhibition, on_delete=models.CASCADE, related_name="sections")
    number = models.CharField(max_length=10)
    title = models.CharField(max_length=200)
    key_message = models.TextField("key message", blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["exhibition", "number"], name="section_number_once")
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"


class ListEntry(models.Model):
    """An object on an exhibition's list: how far it is chosen, and where in the story."""

    class Stage(models.TextChoices):
        LONG_LIST = "long_list", "long list"
        SHORT_LIST = "short_list", "short list"
        SELECTED = "selected", "selected"
        RESERVE = "reserve", "reserve"
        WITHDRAWN = "withdrawn", "withdrawn"

    class ShownOn(models.TextChoices):
        UNDECIDED = "", "undecided"
        WALL = "wall", "wall"
        CASE = "case", "showcase"
        FLOOR = "floor", "floor"

    exhibition = models.ForeignKey(Exhibition, on_delete=models.CASCADE, related_name="entries")
    object = models.ForeignKey(MuseumObject, on_delete=models.PROTECT, related_name="entries")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.LONG_LIST)
    reason = models.CharField("reason for withdrawing", max_length=300, blank=True)
    section = models.ForeignKey(
        Section, on_delete=models.SET_NULL, null=True, blank=True, related_name="entries"
    )
    position = models.PositiveIntegerField("order", default=0)
    shown_on = models.CharField("shown on", max_length=5, choices=ShownOn, blank=True, default="")
    note = models.CharField(max_length=500, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["section__position", "position", "object__number_key"]
        indexes = [models.Index(fields=["exhibition", "stage"], name="entry_stage")]
        constraints = [
            models.UniqueConstraint(fields=["exhibition", "object"], name="object_once_per_list"),
            models.CheckConstraint(
                condition=~models.Q(stage="withdrawn") | ~models.Q(reason=""),
                name="withdrawn_with_reason",
                violation_error_message="Say why it is withdrawn.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.object.number} {self.object.title}"

    def clean(self) -> None:
        if self.section_id and self.section.exhibition_id != self.exhibition_id:
            raise ValidationError({"section": "This section belongs to another exhibition."})
        if self.stage == self.Stage.WITHDRAWN and not self.reason:
            raise ValidationError({"reason": "Say why it is withdrawn."})


class ColumnChoice(models.Model):
    """Which columns a person wants to see in an exhibition's list, in order."""

    person = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="list_columns"
    )
    columns = models.JSONField(default=list)

    def __str__(self) -> str:
        return f"Columns of {self.person}"
