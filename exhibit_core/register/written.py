"""Turn sizes that were read from a text into records of size."""

from dataclasses import dataclass
from typing import Any

from exhibit_core.register.dimensions import Element, parse
from exhibit_core.register.models import Measurement
from exhibit_core.web import units

State = Measurement.State


@dataclass(frozen=True)
class Read:
    """An element of a text as a record would hold it."""

    element: Element
    likely_state: str
    values: dict[str, Any]

    def in_words(self, unit: str) -> str:
        """Say what was read, in the reader's unit."""
        said = [
            f"{name} {units.length(self.values[field], unit)} {unit}"
            for name, field in _LENGTHS
            if self.values[field]
        ]
        if self.values["mass_g"]:
            said.append(f"weight {units.kilograms(self.values['mass_g'])} kg")
        return ", ".join(said)

    @property
    def with_packing(self) -> str:
        """Say the weight with packing, which is no weight of the object and is not recorded."""
        packed_g = self.element.gross_g or self.element.cased_g
        return f"{units.kilograms(packed_g)} kg with packing" if packed_g else ""


_LENGTHS = (
    ("height", "height_mm"),
    ("width", "width_mm"),
    ("depth", "depth_mm"),
    ("diameter", "diameter_mm"),
)


def read(text: str, *, default_unit: str) -> tuple[list[Read], list[str]]:
    """Return what can be recorded of a text, and everything that is to be said about it."""
    elements = parse(text, default_unit)
    found = [
        Read(element, _likely_state(element, place, len(elements)), _values(element))
        for place, element in enumerate(elements)
        if element.has_size or element.mass_g
    ]
    return found, [warning for element in elements for warning in element.warnings]


def _likely_state(element: Element, place: int, count: int) -> str:
    """A frame is said to be one; of several elements the first or the overall one is the whole."""
    said = {*element.qualifiers, *element.label.lower().split()}
    if "unframed" in said:
        return State.BARE
    for state, words in _SAID.items():
        if said & words:
            return state
    return State.BARE if count == 1 or place == 0 or "overall" in said else State.PART


_SAID = {
    State.FRAMED: {"framed", "frame"},
    State.MOUNTED: {"mounted", "mount", "displayed"},
    State.CRATED: {"crated", "crate"},
}


def _values(element: Element) -> dict[str, Any]:
    """A length alone is the height; beside a height it is the width."""
    height, width, length = element.height_mm, element.width_mm, element.length_mm
    if length and height is None and not element.diameter_mm:
        height = length
    elif length and width is None:
        width = length
    return {
        "height_mm": height,
        "width_mm": width,
        "depth_mm": element.depth_mm,
        "diameter_mm": element.diameter_mm,
        "mass_g": element.mass_g,
        "part": element.label[:60],
        "source_text": element.text,
    }
