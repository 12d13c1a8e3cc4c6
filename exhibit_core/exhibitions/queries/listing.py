"""Reading an exhibition's list: narrowing, order, and the rows of one page."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import (
    Case,
    Exists,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    TextField,
    Value,
    When,
)
from django.db.models.expressions import BaseExpression
from django.db.models.functions import Cast

from exhibit_core.accounts.models import User
from exhibit_core.exhibitions.models import ColumnChoice, Exhibition, ListEntry
from exhibit_core.register.models import Measurement, MuseumObject
from exhibit_core.register.queries import matching, objects_with_everything

NONE = "none"
ANY = "any"

_STAGE = Case(
    *(When(stage=code, then=Value(place)) for place, code in enumerate(ListEntry.Stage.values))
)
_NUMBER = F("object__number_key")

ORDERS: dict[str, tuple[BaseExpression | F, ...]] = {
    "story": (F("section__position"), F("position"), _NUMBER),
    "number": (_NUMBER,),
    "title": (F("object__title"), _NUMBER),
    "type": (F("object__object_type"), _NUMBER),
    "maker": (F("object__maker"), _NUMBER),
    "date": (F("object__year_from"), F("object__year_to"), _NUMBER),
    "lender": (F("object__lender__name"), _NUMBER),
    "light": (F("object__max_lux"), _NUMBER),
    "stage": (_STAGE, _NUMBER),
    "shown_on": (F("shown_on"), _NUMBER),
}


@dataclass(frozen=True)
class Narrowing:
    """What a person asked to see of a list; empty values ask nothing."""

    words: str = ""
    stage: str = ""
    section: str = ""
    shown_on: str = ""
    lender: str = ""
    object_type: str = ""
    hazard: str = ""
    no_size: bool = False
    max_lux: int | None = None


def entries_of(exhibition_pk: int) -> QuerySet[ListEntry]:
    return ListEntry.objects.filter(exhibition_id=exhibition_pk)


def narrowed(exhibition: Exhibition, asked: Narrowing) -> QuerySet[ListEntry]:
    """Return the entries that meet everything that is asked."""
    rows = matching(entries_of(exhibition.pk), asked.words, prefix="object__")
    for name, column in (("section", "section"), ("lender", "object__lender")):
        if value := getattr(asked, name):
            condition = {f"{column}__isnull": True} if value == NONE else {column: value}
            rows = rows.filter(**condition)
    if asked.stage:
        rows = rows.filter(stage=asked.stage)
    if asked.shown_on:
        rows = rows.filter(shown_on="" if asked.shown_on == NONE else asked.shown_on)
    if asked.object_type:
        rows = rows.filter(object__object_type=asked.object_type)
    if asked.max_lux is not None:
        rows = rows.filter(object__max_lux__lte=asked.max_lux)
    if asked.no_size:
        rows = rows.filter(~Exists(_sized()))
    return _with_hazard(rows, asked.hazard)


def _sized() -> QuerySet[Measurement]:
    """The measurements that give an object a size for hanging."""
    return Measurement.objects.filter(
        Q(height_mm__gt=0) | Q(diameter_mm__gt=0),
        Q(width_mm__gt=0) | Q(diameter_mm__gt=0),
        object=OuterRef("object"),
        withdrawn=False,
        state__in=("bare", "framed", "mounted"),
    )


def _with_hazard(rows: QuerySet[ListEntry], hazard: str) -> QuerySet[ListEntry]:
    if not hazard:
        return rows
    if hazard in (ANY, NONE):
        free = Q(object__hazards=[])
        return rows.filter(free if hazard == NONE else ~free)
    rows = rows.alias(hazard_text=Cast("object__hazards", TextField()))
    return rows.filter(hazard_text__contains=f'"{hazard}"')


def ordered(rows: QuerySet[ListEntry], sort: str) -> QuerySet[ListEntry]:
    """Sort by a key of `ORDERS`, from the far end with a leading minus; unknown goes last."""
    backwards = sort.startswith("-")
    columns = ORDERS.get(sort.removeprefix("-"), ORDERS["story"])
    first, *rest = columns
    order = first.desc(nulls_last=True) if backwards else first.asc(nulls_last=True)
    return rows.order_by(order, *rest, "pk")


def entries_shown(keys: Sequence[int]) -> list[ListEntry]:
    """Return entries with all that the table shows, in the order of the keys.

    The keys come first, so that the database sorts narrow rows and reads wide ones only once.
    """
    rows = ListEntry.objects.select_related("section").prefetch_related(
        Prefetch("object", objects_with_everything())
    )
    found = rows.in_bulk(keys)
    return [found[key] for key in keys if key in found]


def entries_with(obj: MuseumObject) -> QuerySet[ListEntry]:
    """Return an object's entries on all lists, the latest exhibition first."""
    rows = obj.entries.select_related("exhibition", "section")
    return rows.order_by("-exhibition__opening", "pk")


def columns_chosen(person: User) -> list[str]:
    """Return the columns a person chose; an empty list when they never did."""
    choice = ColumnChoice.objects.filter(person=person).first()
    return choice.columns if choice else []


def types_on_list(exhibition: Exhibition) -> list[str]:
    rows = MuseumObject.objects.filter(entries__exhibition=exhibition).exclude(object_type="")
    return list(rows.order_by("object_type").values_list("object_type", flat=True).distinct())


def lenders_on_list(exhibition: Exhibition) -> list[tuple[int, str]]:
    rows = MuseumObject.objects.filter(entries__exhibition=exhibition, lender__isnull=False)
    return list(rows.order_by("lender__name").values_list("lender", "lender__name").distinct())


def not_listed(exhibition: Exhibition, objects: QuerySet[MuseumObject]) -> QuerySet[MuseumObject]:
    """Keep the objects that are not on the exhibition's list yet."""
    return objects.filter(~Exists(entries_of(exhibition.pk).filter(object=OuterRef("pk"))))
