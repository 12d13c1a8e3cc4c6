"""Bring the invented exhibition's object list into the register and onto its list."""

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from exhibit_core.accounts.models import User
from exhibit_core.exhibitions.actions import add_to_list
from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.register.actions import ObjectChange, save_objects
from exhibit_core.register.dates import years
from exhibit_core.register.dimensions import Element, parse
from exhibit_core.register.models import Hazard, Lender, Measurement, MuseumObject

FIELDS = {
    "number": "Object no.",
    "title": "Title",
    "object_type": "Kind",
    "maker": "Maker",
    "date_text": "Date",
    "place": "Place",
    "materials": "Materials",
    "technique": "Technique",
    "inscriptions": "Inscriptions",
    "features": "Distinguishing features",
    "description": "Description",
    "credit_line": "Credit line",
    "restricted_materials": "Restricted materials",
}
SIZES = (
    ("Size as stated", Measurement.State.BARE, Measurement.Basis.STATED),
    ("Size as measured", Measurement.State.BARE, Measurement.Basis.MEASURED),
    ("Framed/mounted size", Measurement.State.FRAMED, Measurement.Basis.MEASURED),
)
HAZARDS = {str(hazard.label): hazard.value for hazard in Hazard}
STAGES = {str(stage.label): stage.value for stage in ListEntry.Stage}


def bring_in(*, path: Path, exhibition: Exhibition, by: User) -> list[MuseumObject]:
    """Save every row as an object with its sizes, then put all of them on the list."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    lenders = {lender.name: lender for lender in Lender.objects.all()}
    changes = [
        ObjectChange(MuseumObject(), _values(row, lenders), list(_measurements(row)))
        for row in rows
    ]
    objects = save_objects(changes=changes, by=by, words=f"from {path.name}")
    sections = {section.number: section for section in exhibition.sections.all()}
    places = {
        obj.pk: {
            "stage": STAGES[row["Stage"]],
            "reason": row["Note"].removeprefix("Withdrawn: ").strip()
            if row["Stage"] == "withdrawn"
            else "",
            "section": sections.get(row["Section"]),
            "position": position,
            "shown_on": row["Show on"],
            "note": row["Note"],
        }
        for position, (row, obj) in enumerate(zip(rows, objects, strict=True), start=1)
    }
    add_to_list(exhibition=exhibition, objects=objects, by=by, values_by_object=places)
    return objects


def _values(row: dict[str, str], lenders: dict[str, Lender]) -> dict[str, Any]:
    found = years(row["Date"])
    return {name: row[column] for name, column in FIELDS.items()} | {
        "year_from": found.earliest,
        "year_to": found.latest,
        "lender": lenders.get(row["Lender"]),
        "value": Decimal(row["Value"]) if row["Value"] else None,
        "currency": row["Currency"] if row["Value"] else "",
        "hazards": [HAZARDS[word] for word in row["Hazards"].split("; ") if word],
        "hazard_note": row["Note"] if "other: see note" in row["Hazards"] else "",
        "max_lux": int(row["Light limit (lx)"]) if row["Light limit (lx)"] else None,
    }


def _measurements(row: dict[str, str]) -> Iterator[Measurement]:
    mass = next((e.mass_g for e in parse(row["Weight"]) if e.mass_g), None)
    for column, state, basis in SIZES:
        elements = [element for element in parse(row[column]) if element.has_size]
        if not elements:
            continue
        yield _measurement(_whole_of(elements), state, basis, row[column], mass)
        mass = None


def _whole_of(elements: list[Element]) -> Element:
    """Prefer the element that is said to be overall, else the last: frames follow sheets."""
    overall = [e for e in elements if "overall" in e.qualifiers]
    return overall[0] if overall else elements[-1]


def _measurement(
    element: Element, state: str, basis: str, text: str, mass: int | None
) -> Measurement:
    return Measurement(
        state=state,
        basis=basis,
        height_mm=element.height_mm or (element.length_mm if not element.width_mm else None),
        width_mm=element.width_mm,
        depth_mm=element.depth_mm,
        diameter_mm=element.diameter_mm,
        mass_g=mass,
        source_text=text,
        by_whom="lender" if basis == Measurement.Basis.STATED else "registrar",
    )
