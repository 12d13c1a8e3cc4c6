"""Reading the register."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count, Exists, F, OuterRef, Prefetch, Q, QuerySet, TextField
from django.db.models.functions import Cast

from exhibit_core.register.models import Lender, Measurement, MuseumObject
from exhibit_core.register.text import fold

NONE = "none"
ANY = "any"
ORDERS = {
    "number": ("number_key",),
    "title": ("title", "number_key"),
    "type": ("object_type", "number_key"),
    "maker": ("maker", "number_key"),
    "date": ("year_from", "year_to", "number_key"),
    "lender": ("lender__name", "number_key"),
    "light": ("max_lux", "number_key"),
}


@dataclass(frozen=True)
class Narrowing:
    """What a person asked to see of the register; empty values ask nothing."""

    words: str = ""
    object_type: str = ""
    lender: str = ""
    hazard: str = ""
    no_size: bool = False


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


def narrowed(asked: Narrowing) -> QuerySet[MuseumObject]:
    """Return the objects that meet everything that is asked."""
    rows = matching(MuseumObject.objects.all(), asked.words)
    if asked.object_type:
        rows = rows.filter(object_type=asked.object_type)
    if asked.lender == NONE:
        rows = rows.filter(lender=None)
    elif asked.lender:
        rows = rows.filter(lender=asked.lender)
    if asked.no_size:
        rows = rows.filter(~Exists(sizes_of(OuterRef("pk"))))
    return _with_hazard(rows, asked.hazard)


def sizes_of(key: OuterRef) -> QuerySet[Measurement]:
    """Return the records from which a size for hanging can be taken."""
    return Measurement.objects.filter(
        Q(height_mm__gt=0) | Q(diameter_mm__gt=0),
        Q(width_mm__gt=0) | Q(diameter_mm__gt=0),
        object=key,
        withdrawn=False,
        state__in=("bare", "framed", "mounted"),
    )


def _with_hazard(rows: QuerySet[MuseumObject], hazard: str) -> QuerySet[MuseumObject]:
    if not hazard:
        return rows
    if hazard in (ANY, NONE):
        free = Q(hazards=[])
        return rows.filter(free if hazard == NONE else ~free)
    rows = rows.alias(hazard_text=Cast("hazards", TextField()))
    return rows.filter(hazard_text__contains=f'"{hazard}"')


def ordered(rows: QuerySet[MuseumObject], sort: str) -> QuerySet[MuseumObject]:
    """Sort by a key of `ORDERS`, from the far end with a leading minus; unknown goes last."""
    first, *rest = ORDERS.get(sort.removeprefix("-"), ORDERS["number"])
    column = F(first)
    backwards = sort.startswith("-")
    order = column.desc(nulls_last=True) if backwards else column.asc(nulls_last=True)
    return rows.order_by(order, *rest, "pk")


def objects_shown(keys: Sequence[int]) -> list[MuseumObject]:
    """Return objects with everything, in the order of the keys."""
    found = objects_with_everything().in_bulk(keys)
    return [found[key] for key in keys if key in found]


def object_types() -> list[str]:
    rows = MuseumObject.objects.exclude(object_type="").order_by("object_type")
    return list(rows.values_list("object_type", flat=True).distinct())


def lenders() -> QuerySet[Lender]:
    """Return lenders by name, each with `count`, the number of objects it lends."""
    return Lender.objects.annotate(count=Count("lent_objects")).order_by("name")
