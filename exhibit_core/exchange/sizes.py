"""Read sizes and weights of a list as records of measuring."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any

from exhibit_core.exchange.readers import CellRefusedError, Reading, plain_text
from exhibit_core.exchange.reading.cells import text_of
from exhibit_core.register.dimensions import Element, parse
from exhibit_core.register.models import LARGEST_G, LARGEST_MM
from exhibit_core.web.quantities import GRAMS, MM, QuantityError, read_grams, read_mm

LENGTHS = ("height_mm", "width_mm", "depth_mm", "diameter_mm")
_WRITTEN = (int, float, str)
_ABOUT = re.compile(r"^(?:(?:c|ca|circa|approx|approximately|about|env)\b\.?|~)\s*", re.IGNORECASE)
_CRATE = re.compile(r"\b(?:crate|crated|case|packed|packing)\b")
_MOUNT = re.compile(r"\b(?:mount|mounted)\b")
_PARTS = re.compile(
    r"\b(?:image|plate|base|plinth|lid|stand|key|detail|opening|block|upper|lower)\b"
)


@dataclass(frozen=True)
class Size:
    """What one record of measuring says, before it is kept."""

    state: str
    basis: str
    part: str = ""
    height_mm: int | None = None
    width_mm: int | None = None
    depth_mm: int | None = None
    diameter_mm: int | None = None
    mass_g: int | None = None
    source_text: str = ""

    @property
    def is_weight_only(self) -> bool:
        return bool(self.mass_g) and not any(getattr(self, name) for name in LENGTHS)

    @property
    def is_empty(self) -> bool:
        return not any(getattr(self, name) for name in (*LENGTHS, "mass_g"))


def length_mm(cell: Any, reading: Reading) -> int | None:
    """Read one length, nothing where it is 0; a unit in the cell counts before the column's."""
    found = _quantity(cell, reading, MM, read_mm, "a length")
    return _checked_mm(found) if found else _nothing(reading)


def mass_g(cell: Any, reading: Reading) -> int | None:
    """Read one weight, nothing where it is 0; a unit in the cell counts before the column's."""
    found = _quantity(cell, reading, GRAMS, read_grams, "a weight")
    return _checked_g(found) if found else _nothing(reading)


def _quantity(
    cell: Any,
    reading: Reading,
    units: Mapping[str, Fraction],
    read: Callable[[str, str], int],
    expected: str,
) -> int:
    if isinstance(cell, bool) or not isinstance(cell, _WRITTEN):
        raise CellRefusedError(expected)
    if not isinstance(cell, str):
        return _converted(cell, units[reading.unit])
    try:
        return read(_ABOUT.sub("", plain_text(cell)), reading.unit)
    except QuantityError as error:
        raise CellRefusedError(f"{expected}. {error}") from error


@lru_cache(maxsize=8192)
def _converted(number: float, factor: Fraction) -> int:
    return int(Fraction(text_of(number)) * factor + Fraction(1, 2))


def sizes_of(cell: Any, reading: Reading, *, state: str, basis: str) -> list[Size]:
    """Read a text of sizes; what it says of a frame, mount, crate or part counts before `state`."""
    if isinstance(cell, bool) or not isinstance(cell, _WRITTEN):
        raise CellRefusedError("a size, as in 345 × 270 × 40 mm")
    written = plain_text(cell, lines=True)
    elements = _parsed(written, reading.unit)
    for element in elements:
        for warning in element.warnings:
            reading.say(warning)
    said = [element for element in elements if _says(element)]
    sizes = [_size(element, reading, state, basis, written) for element in said]
    return [size for size in _one_whole(sizes, said, reading) if not size.is_empty]


def latest_lengths(
    records: Iterable[Mapping[str, Any]], *, state: str, basis: str, part: str
) -> dict[str, int | None]:
    """Return each length as the latest record of this kind that has it; `records` latest first."""
    wanted = (state, basis, part)
    alike = [r for r in records if (r["state"], r["basis"], r["part"]) == wanted]
    return {name: next((r[name] for r in alike if r[name]), None) for name in LENGTHS}


def _nothing(reading: Reading) -> None:
    reading.say("0 is read as not known.")


@lru_cache(maxsize=4096)
def _parsed(written: str, unit: str) -> tuple[Element, ...]:
    return parse(written, default_unit=unit)


def _says(element: Element) -> bool:
    return element.has_size or element.mass_g is not None


def _size(element: Element, reading: Reading, state: str, basis: str, written: str) -> Size:
    if element.gross_g is not None or element.cased_g is not None:
        reading.say("The weight with its packing is left out.")
    height, width, depth = element.height_mm, element.width_mm, element.depth_mm
    if element.length_mm is not None:
        if width is None:
            width = element.length_mm
            reading.say("The length is read as the width.")
        elif height is None:
            height = element.length_mm
            reading.say("The length is read as the height.")
        else:
            reading.say("The length is left out beside height and width.")
    for mm in (height, width, depth, element.diameter_mm):
        _checked_mm(mm or 1)
    state = _state(element, state)
    return Size(
        state=state,
        basis=basis,
        part=_part(element) if state == "part" else "",
        height_mm=height or None,
        width_mm=width or None,
        depth_mm=depth or None,
        diameter_mm=element.diameter_mm or None,
        mass_g=_checked_g(element.mass_g) if element.mass_g else None,
        source_text=written,
    )


def _state(element: Element, given: str) -> str:
    label = element.label
    if _CRATE.search(label):
        return "crated"
    if _MOUNT.search(label):
        return "mounted"
    if _PARTS.search(label) or "each" in element.qualifiers or element.count > 1:
        return "part"
    if "unframed" in element.qualifiers:
        return "bare"
    return "framed" if "framed" in element.qualifiers else given


def _part(element: Element) -> str:
    words = " ".join(element.label.split())[:60]
    return words or (f"each of {element.count}" if element.count > 1 else "each")


def _one_whole(
    sizes: Sequence[Size], elements: Sequence[Element], reading: Reading
) -> Iterator[Size]:
    """Leave one size to each state: what is said to be overall, or else parts of nothing known."""
    for size, element in zip(sizes, elements, strict=True):
        alike = [e for s, e in zip(sizes, elements, strict=True) if s.state == size.state]
        whole = [e for e in alike if "overall" in e.qualifiers]
        if size.state == "part" or len(alike) == 1 or whole[:1] == [element]:
            yield size
            continue
        if not whole and element is alike[0]:
            reading.say("Several sizes are given and none as overall: they are kept as parts.")
        yield replace(size, state="part", part=_part(element) if element.label else "part")


def _checked_mm(mm: int) -> int:
    if not 0 < mm <= LARGEST_MM:
        raise CellRefusedError(f"a length from 1 to {LARGEST_MM:,} mm; this is {mm:,} mm")
    return mm


def _checked_g(grams: int) -> int:
    if not 0 < grams <= LARGEST_G:
        raise CellRefusedError(f"a weight from 1 to {LARGEST_G:,} g; this is {grams:,} g")
    return grams
