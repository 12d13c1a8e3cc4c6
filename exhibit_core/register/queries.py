"""Reading the register."""

from django.db.models import Prefetch, Q, QuerySet

from exhibit_core.register.models import Measurement, MuseumObject
from exhibit_core.register.text import fold

ORDERS = {
    "number": ("number_key",),
    "title": ("title", "number_key"),
    "type": ("object_type", "number_key"),
    "maker": ("maker", "number_key"),
    "date": ("year_from", "year_to", "number_key"),
    "lender": ("lender__name", "number_key"),
    "light": ("max_lux", "number_key"),
}


def objects_with_everything() -> QuerySet[MuseumObject]:
    """Return objects with lender, live measurements and pictures in a constant query count."""
    return MuseumObject.objects.select_related("lender").prefetch_related(
        Prefetch("measurements", Measurement.objects.filter(withdrawn=False)), "pictures"
    )


def matching(rows: QuerySet, words: str, *, prefix: str = "") -> QuerySet:
    """Keep rows whose search text holds every word, blind to accents and case.

    `prefix` leads from the rows to the object, as in `object__`.
    """
    condition = Q()
    for word in fold(words).split()[:10]:
        condition &= Q(**{f"{prefix}search_text__contains": word})
    return rows.filter(condition)
