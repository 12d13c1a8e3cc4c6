"""Reading history."""

from django.db import models
from django.db.models import QuerySet

from exhibit_core.history.models import Entry
from exhibit_core.history.record import target_type


def history_of(target: models.Model) -> QuerySet[Entry]:
    return Entry.objects.filter(
        target_type=target_type(target), target_id=target.pk
    ).select_related("by")
