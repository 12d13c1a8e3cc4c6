"""The fields that a list can bring in: what each is called, expects, and who may change it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange import readers, sizes
from exhibit_core.exchange.readers import Reader
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.register.access import FIELD_RIGHTS
from exhibit_core.register.models import Hazard, Measurement, MuseumObject
from exhibit_core.web.quantities import GRAMS, MM

Target = Literal["object", "size", "entry"]
STATES = ("bare", "framed", "mounted", "crated")


@dataclass(frozen=True)
class Field:
    """A field of the register, of an object's size, or of its place on an exhibition's list.

    `reader` is None where the rows it names are known only when a list is read.
    """

    name: str
    label: str
    expects: str
    target: Target = "object"
    reader: Reader | None = None
    units: tuple[str, ...] = ()
    right: Right = Right.EDIT_REGISTER


def _longest(name: str) -> int:
    return MuseumObject._meta.get_field(name).max_length or 0


def _text(name: str, label: str, expects: str = "text") -> Field:
    longest = _longest(name)
    return Field(
        name,
        label,
        f"{expects}, at most {longest} characters" if longest else expects,
        reader=readers.text(longest, lines=not longest),
        right=FIELD_RIGHTS.get(name, Right.EDIT_REGISTER),
    )


def _size(name: str, label: str, **fixed: str) -> Field:
    return Field(
        name,
        label,
        "a size as people write it, as in 345 × 270 × 40 mm, 2.5 kg",
        target="size",
        reader=partial(_sizes, fixed),
        units=tuple(MM),
        right=Right.MEASURE,
    )


def _sizes(fixed: Mapping[str, str], cell: Any, reading: readers.Reading) -> list[sizes.Size]:
    return sizes.sizes_of(cell, reading, **{"state": "", "basis": "", **fixed})


def _length(name: str, label: str) -> Field:
    return Field(
        name,
        label,
        "a length, as in 34.5",
        target="size",
        reader=sizes.length_mm,
        units=tuple(MM),
        right=Right.MEASURE,
    )


_HAZARDS = readers.choices_by_word(
    Hazard.choices,
    other="other",
    mercury="quecksilber|mercure|mercurio|kwik|hg",
    lead="blei|plomb|plomo|lood|piombo",
    arsenic="arsen|arsenico|arseen",
    asbestos="asbest|amiante|asbesto|amianto",
    radioactive="radioaktiv|radioactif|radiactivo|radioactief|radioattivo|radium",
    mould="mould|mold|schimmel|moisissure|moho|muffa|pests",
    pesticide="pesticide|pesticides|biozid|pestizid",
    sharp="sharp|sharp parts|heavy parts",
)
_STAGES = readers.choices_by_word(
    ListEntry.Stage.choices, long_list="longlist", short_list="shortlist"
)
_PLACES = readers.choices_by_word(
    ListEntry.ShownOn.choices, case="case|vitrine|display case", floor="plinth"
)
_STATES = readers.choices_by_word(
    [(code, label) for code, label in Measurement.State.choices if code in STATES],
    bare="unframed|sheet",
    framed="frame|with frame",
)
_BASES = readers.choices_by_word(Measurement.Basis.choices)
_CHOOSE = {"target": "entry", "right": Right.CHOOSE}
_MEASURE = {"target": "size", "right": Right.MEASURE}

FIELDS: dict[str, Field] = {
    field.name: field
    for field in (
        Field(
            "number",
            "Object number",
            "the object's number, as in 2001.45.3",
            reader=readers.object_number(_longest("number")),
        ),
        _text("title", "Title"),
        _text("object_type", "Object type", "a kind of thing, as in barometer"),
        _text("maker", "Maker"),
        _text("date_text", "Date", "a date as people write it, as in about 1765"),
        Field(
            "year_from",
            "Earliest year",
            "a year",
            reader=readers.whole_number(-30_000, 30_000, "a year, as in 1765"),
        ),
        Field(
            "year_to",
            "Latest year",
            "a year",
            reader=readers.whole_number(-30_000, 30_000, "a year, as in 1765"),
        ),
        _text("place", "Place"),
        _text("materials", "Materials"),
        _text("technique", "Technique"),
        _text("inscriptions", "Inscriptions"),
        _text("features", "Distinguishing features"),
        _text("description", "Description"),
        _text("credit_line", "Credit line"),
        Field("lender", "Lender", "the lender's name; empty for the own collection"),
        Field(
            "value",
            "Insurance value",
            "an amount of money",
            reader=readers.amount,
            right=FIELD_RIGHTS["value"],
        ),
        Field(
            "currency",
            "Currency",
            "an ISO 4217 code, as in EUR",
            reader=readers.currency,
            right=FIELD_RIGHTS["currency"],
        ),
        Field(
            "hazards",
            "Hazards",
            f"any of {', '.join(str(label) for label in Hazard.labels)}, apart by semicolons",
            reader=readers.several_of(_HAZARDS, "hazards"),
            right=FIELD_RIGHTS["hazards"],
        ),
        _text("hazard_note", "Hazard note"),
        _text("restricted_materials", "Restricted materials"),
        Field(
            "max_lux",
            "Light limit (lx)",
            "a whole number of lux",
            reader=readers.whole_number(1, 200_000, "a light limit in lux"),
            right=FIELD_RIGHTS["max_lux"],
        ),
        _size("size", "Size"),
        _size("size_measured", "Size, measured", basis="measured"),
        _size("size_framed", "Size, framed", state="framed"),
        _length("height", "Height"),
        _length("width", "Width"),
        _length("depth", "Depth"),
        _length("diameter", "Diameter"),
        Field(
            "weight",
            "Weight",
            "a weight, as in 2.5",
            reader=sizes.mass_g,
            units=tuple(GRAMS),
            **_MEASURE,
        ),
        Field(
            "measured_as",
            "Measured as",
            f"one of {', '.join(STATES)}",
            reader=readers.one_of(_STATES, "what was measured"),
            **_MEASURE,
        ),
        Field(
            "basis",
            "Stated or measured",
            "stated or measured",
            reader=readers.one_of(_BASES, "where the size comes from"),
            **_MEASURE,
        ),
        Field(
            "stage",
            "Stage",
            f"one of {', '.join(str(label) for label in ListEntry.Stage.labels)}",
            reader=readers.one_of(_STAGES, "a stage"),
            **_CHOOSE,
        ),
        Field("reason", "Reason for withdrawing", "text", reader=readers.text(300), **_CHOOSE),
        Field("section", "Section", "a section's number or title", **_CHOOSE),
        Field(
            "position",
            "Order",
            "a whole number",
            reader=readers.whole_number(0, 1_000_000, "a place in the order"),
            **_CHOOSE,
        ),
        Field(
            "shown_on",
            "Shown on",
            "wall, showcase or floor",
            reader=readers.one_of(_PLACES, "where it is shown"),
            **_CHOOSE,
        ),
        Field("note", "Note", "text, at most 500 characters", reader=readers.text(500), **_CHOOSE),
    )
}
SEPARATE_SIZES = {
    "height": "height_mm",
    "width": "width_mm",
    "depth": "depth_mm",
    "diameter": "diameter_mm",
    "weight": "mass_g",
}
SIZE_TEXTS = ("size", "size_measured", "size_framed")


def may_bring_in(user: User, field: Field) -> bool:
    return can(user, field.right)


def offered(user: User, *, with_list: bool) -> list[Field]:
    """Return the fields that a person may bring in; those of a list only with an exhibition."""
    return [
        field
        for field in FIELDS.values()
        if may_bring_in(user, field) and (with_list or field.target != "entry")
    ]
