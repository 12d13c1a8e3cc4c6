"""What is known of an object, in the words and order of its page."""

from collections.abc import Iterator
from dataclasses import dataclass

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.register import money
from exhibit_core.register.models import Measurement, MuseumObject
from exhibit_core.register.sizes import BestSize
from exhibit_core.web import units


@dataclass(frozen=True)
class Fact:
    """A fact in words; `missing` says why there are none, and `breach` that it must not be so.

    `note` follows in small letters, `boxed` are states, `lender` links to its page.
    """

    label: str
    words: str = ""
    missing: str = "not recorded"
    note: str = ""
    boxed: tuple[str, ...] = ()
    breach: bool = False
    lender: int | None = None
    long: bool = False


@dataclass(frozen=True)
class Group:
    title: str
    facts: list[Fact]


@dataclass(frozen=True)
class SizeRow:
    """A record of size in the reader's unit, a string for each column of the table."""

    record: Measurement
    lengths: list[str]
    weight: str


def state_of(obj: MuseumObject, size: BestSize | None, user: User) -> list[Fact]:
    """Return what decides how an object is hung, handled and lent, as the person may see it."""
    return [*_hanging(size, user.unit), *_limits(obj), *_owner(obj, user)]


def facts_of(obj: MuseumObject) -> list[Group]:
    """Return the rest of what is known of an object, in groups."""
    return [
        Group("Identity", list(_identity(obj))),
        Group(
            "Making",
            [
                Fact("Materials", obj.materials),
                Fact("Technique", obj.technique),
                Fact("Inscriptions", obj.inscriptions, long=True),
                Fact("Distinguishing features", obj.features, long=True),
            ],
        ),
        Group(
            "Words",
            [
                Fact("Description", obj.description, long=True),
                Fact("Credit line", obj.credit_line),
            ],
        ),
    ]


def _identity(obj: MuseumObject) -> Iterator[Fact]:
    yield Fact("Object number", obj.number)
    yield Fact("Type", obj.object_type)
    yield Fact("Maker", obj.maker, "not known")
    yield Fact("Date", obj.date_text, "not known")
    yield Fact("Years", _years(obj), "not known")
    yield Fact("Place", obj.place, "not known")


def _years(obj: MuseumObject) -> str:
    first, last = obj.year_from, obj.year_to
    if first is None or last is None:
        if first is None and last is None:
            return ""
        return f"{first} or later" if last is None else f"{last} or earlier"
    return str(first) if first == last else f"{first} to {last}"


def _owner(obj: MuseumObject, user: User) -> Iterator[Fact]:
    if obj.lender is None:
        yield Fact("Owner", "own collection")
    else:
        yield Fact("Lender", obj.lender.name, lender=obj.lender.pk)
    if can(user, Right.SEE_MONEY):
        value = "" if obj.value is None else money.show(obj.value, obj.currency)
        yield Fact("Insurance value", value, "not valued")


def _hanging(size: BestSize | None, unit: str) -> Iterator[Fact]:
    label = "Best known size for hanging"
    if size is None:
        yield Fact(label, missing="no size", note="no hang can place it", breach=True)
    else:
        yield Fact(label, size_in_words(size, unit), note=size.sources)
    if size is None or not size.mass_g:
        yield Fact("Weight", missing="not weighed")
    else:
        yield Fact("Weight", f"{units.kilograms(size.mass_g)} kg", note=size.mass_basis)


def _limits(obj: MuseumObject) -> Iterator[Fact]:
    light = "" if obj.max_lux is None else f"at most {obj.max_lux} lx"
    yield Fact("Light", light, "no limit set")
    yield Fact("Hazards", obj.hazard_note, "none recorded", boxed=tuple(obj.hazard_words))
    permit = ("may need a permit",) if obj.restricted_materials else ()
    yield Fact("Restricted materials", obj.restricted_materials, "none recorded", boxed=permit)


def size_in_words(size: BestSize, unit: str) -> str:
    """Say height × width × depth in the reader's unit."""
    return f"{units.lengths((size.height_mm, size.width_mm, size.depth_mm), unit)} {unit}"


def size_history(obj: MuseumObject, unit: str) -> list[SizeRow]:
    """Return every record of size, also withdrawn ones, the latest first."""
    return [
        SizeRow(
            record,
            [
                "" if value is None else units.length(value, unit)
                for value in (
                    record.height_mm,
                    record.width_mm,
                    record.depth_mm,
                    record.diameter_mm,
                    record.hang_point_mm,
                )
            ],
            "" if record.mass_g is None else units.kilograms(record.mass_g),
        )
        for record in Measurement.objects.filter(object=obj)
        .select_related("recorded_by")
        .order_by("-pk")
    ]
