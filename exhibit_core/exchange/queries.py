"""Reading what a list is compared to, and the lists themselves."""

from collections.abc import Collection, Sequence
from typing import Any

from django.db.models import Max, QuerySet

from exhibit_core.exchange.matching import Match, key_of
from exhibit_core.exchange.models import ObjectList, RememberedMatch
from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.register.actions import MEASUREMENT_FIELDS
from exhibit_core.register.models import Lender, Measurement, MuseumObject

ENTRY_FIELDS = ("stage", "reason", "section_id", "position", "shown_on", "note")
RECENT = 20


def lists() -> QuerySet[ObjectList]:
    return ObjectList.objects.select_related("sent_by", "exhibition", "job")


def remembered(headings: Collection[str]) -> dict[str, Match]:
    """Return what columns with these headings were matched to before, by their key."""
    rows = RememberedMatch.objects.filter(column__in={key_of(heading) for heading in headings})
    return {row.column: Match(row.field, row.unit) for row in rows}


def last_object_key() -> int:
    return MuseumObject.objects.aggregate(last=Max("pk"))["last"] or 0


def lender_names() -> dict[int, str]:
    return dict(Lender.objects.values_list("pk", "name"))


def objects_by_number(numbers: Collection[str], names: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Return pk and these columns of objects, by number."""
    rows = MuseumObject.objects.filter(number__in=numbers).values("pk", "number", *names)
    return {row["number"]: row for row in rows}


def numbers_by_key(keys: Collection[str], *, up_to: int) -> dict[str, str]:
    """Return the numbers of objects that differ from one of these only in their writing."""
    rows = MuseumObject.objects.filter(number_key__in=keys, pk__lte=up_to)
    return dict(rows.values_list("number_key", "number"))


def sizes_by_object(keys: Collection[int]) -> dict[int, list[dict[str, Any]]]:
    """Return the live records of objects' sizes, the latest first."""
    rows = Measurement.objects.filter(object__in=keys, withdrawn=False).order_by("-pk")
    found: dict[int, list[dict[str, Any]]] = {}
    for row in rows.values("object_id", *MEASUREMENT_FIELDS):
        found.setdefault(row["object_id"], []).append(row)
    return found


def entries_by_object(exhibition: Exhibition, keys: Collection[int]) -> dict[int, dict[str, Any]]:
    rows = ListEntry.objects.filter(exhibition=exhibition, object__in=keys)
    return {row["object_id"]: row for row in rows.values("pk", "object_id", *ENTRY_FIELDS)}


def sections_by_key(exhibition: Exhibition | None) -> dict[int, Section]:
    return {section.pk: section for section in exhibition.sections.all()} if exhibition else {}
