"""Read EULUMDAT (.ldt) files: line by line to the lamps, then numbers.

Intensities stand in cd for 1000 lm of the lamps; with an absolute measurement (a negative number of
lamps) the flux is the luminaire's. A decimal comma is read as a point. Source: the EULUMDAT
description of 1990 (Stockmar), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from conservation.photometry.files import (
    MOST_ANGLES,
    MOST_VALUES,
    Numbers,
    PhotometricFileError,
    number,
    read_text,
)
from conservation.photometry.model import (
    BRIGHTEST_CD,
    FloatArray,
    Opening,
    Photometry,
    distribution,
)

MOST_LAMP_SETS = 20
LINES_OF_A_SET = 6
RATIOS = 10


def read_eulumdat(path: str | Path, *, lamp_set: int = 1) -> Photometry:
    """Return the photometry of a .ldt file with one of its sets of lamps; cd and mm.

    Sets count from 1. Raises PhotometricFileError for a file over 10 MB, of over 3700 angles either
    way or a million values, or one that is broken. Source: EULUMDAT.

    >>> round(read_eulumdat("fixtures/reference/photometry/lambert.ldt").peak_cd, 3)
    1000.0
    """
    return parse_eulumdat(read_text(path), str(path), lamp_set=lamp_set)


@dataclass
class _Lines:
    name: str
    lines: list[str]
    at: int = 0

    def text(self) -> str:
        if self.at >= len(self.lines):
            raise self.wrong("the file ends here", "ask its maker for the whole file")
        self.at += 1
        return self.lines[self.at - 1].strip()

    def real(self, what: str, least: float, most: float, *, empty: float | None = None) -> float:
        word = self.text().replace(",", ".")
        if not word and empty is not None:
            return empty
        value = number(word, self.name, self.at)
        if not least <= value <= most:
            raise self.wrong(f"{what} is {value:g}", f"give a number from {least:g} to {most:g}")
        return value

    def whole(self, what: str, least: int, most: int) -> int:
        value = self.real(what, least, most)
        if value != int(value):
            raise self.wrong(f"{what} is {value:g}", "give a whole number")
        return int(value)

    def wrong(self, what: str, cure: str) -> PhotometricFileError:
        return PhotometricFileError(self.name, max(1, self.at), what, cure)


@dataclass(frozen=True)
class _LampSet:
    lamps: float
    lumens: float
    watts: float


@dataclass(frozen=True)
class _Head:
    symmetry: int
    planes: int
    angles: int
    name: str
    opening: Opening
    conversion: float
    tilt_deg: float
    lamps: _LampSet


def parse_eulumdat(text: str, name: str = "the text", *, lamp_set: int = 1) -> Photometry:
    """Return the photometry of the text of a .ldt file; cd and mm.

    Raises PhotometricFileError; range as read_eulumdat. Source: EULUMDAT.

    >>> parse_eulumdat("only a line")
    Traceback (most recent call last):
        ...
    conservation.photometry.files.PhotometricFileError: the text, line 1: the file ends here; ask \
its maker for the whole file.
    """
    lines = _Lines(name, text.splitlines())
    head = _head(lines, lamp_set)
    numbers = Numbers.of(name, lines.lines, lines.at, decimal_comma=True)
    numbers.take(RATIOS, "direct ratios")
    return _table(numbers, head)


def _head(lines: _Lines, lamp_set: int) -> _Head:
    lines.text()
    lines.whole("the type indicator", 0, 3)
    symmetry = lines.whole("the symmetry indicator", 0, 4)
    planes = lines.whole("the number of C planes", 1, MOST_ANGLES)
    lines.real("the distance of C planes", 0, 360)
    angles = lines.whole("the number of angles in a plane", 2, MOST_ANGLES)
    lines.real("the distance of angles", 0, 180)
    if planes * angles > MOST_VALUES:
        what = f"the file announces {planes * angles:,} intensities"
        raise lines.wrong(what, f"at most {MOST_VALUES:,} are taken: ask for a coarser table")
    lines.text()
    name = lines.text()
    for _ in range(3):
        lines.text()
    for what in ("length", "width", "height"):
        lines.real(f"the {what} of the luminaire", 0, 1e6, empty=0)
    opening = _opening(lines)
    lines.real("the downward flux fraction", 0, 1000, empty=0)
    lines.real("the light output ratio", 0, 1000, empty=0)
    conversion = lines.real("the conversion factor", 1e-9, 1e9)
    tilt = lines.real("the tilt during measurement", -360, 360, empty=0)
    sets = lines.whole("the number of lamp sets", 1, MOST_LAMP_SETS)
    if not 1 <= lamp_set <= sets:
        raise lines.wrong(f"lamp set {lamp_set} is asked for", f"the file has sets 1 to {sets}")
    lamps = [_lamp_set(lines) for _ in range(sets)][lamp_set - 1]
    return _Head(symmetry, planes, angles, name, opening, conversion, tilt, lamps)


def _opening(lines: _Lines) -> Opening:
    length = lines.real("the length of the luminous area", 0, 1e6, empty=0)
    width = lines.real("the width of the luminous area", 0, 1e6, empty=0)
    tall = max(lines.real("the height of the luminous area", 0, 1e6, empty=0) for _ in range(4))
    if not (length or width or tall):
        return Opening()
    if not width:
        return Opening("round", length, length, tall)
    return Opening("rectangular", width, length, tall)


def _lamp_set(lines: _Lines) -> _LampSet:
    lamps = lines.real("the number of lamps", -100_000, 100_000)
    lines.text()
    lumens = lines.real("the flux of the lamps", 1e-9, 1e9)
    for _ in range(2):
        lines.text()
    return _LampSet(lamps, lumens, lines.real("the watts", 0, 1e7, empty=0))


def _table(numbers: Numbers, head: _Head) -> Photometry:
    first = numbers.at
    around = np.array(numbers.take(head.planes, "C planes"))
    _ascending(numbers, around, first, 360)
    first = numbers.at
    up = np.array(numbers.take(head.angles, "angles in a plane"))
    _ascending(numbers, up, first, 180)
    first = numbers.at
    planes = _planes(head.symmetry, around)
    notes = []
    stored = len(planes)
    if numbers.left == head.planes * head.angles and stored != head.planes:
        stored = head.planes
        notes.append("The file holds all planes that it lists, in spite of its symmetry.")
    values = np.array(numbers.take(stored * head.angles, "intensities"))
    bad = np.flatnonzero(values < 0)
    if bad.size:
        at = int(bad[0])
        cure = "give intensities of at least 0 or ask its maker for the file again"
        raise numbers.wrong(f"an intensity is {values[at]:g}", cure, first + at)
    if numbers.left:
        what = f"{numbers.left:,} numbers are left over after {values.size:,} intensities"
        raise numbers.wrong(what, "correct the counts of planes and angles", numbers.at)
    factor = head.conversion * head.lamps.lumens / 1000
    if values.max() * factor > BRIGHTEST_CD:
        raise numbers.wrong("an intensity is over 1e9 cd", "correct flux or intensities")
    if head.conversion != 1:
        notes.append(f"The conversion factor {head.conversion:g} is applied to the intensities.")
    if head.tilt_deg:
        notes.append(f"The luminaire was measured at a tilt of {head.tilt_deg:g} degrees.")
    table = values.reshape(stored, head.angles) * factor
    if stored == head.planes:
        planes = around
    photometry = _distribution(numbers, planes, up, table)
    return replace(
        photometry,
        opening=head.opening,
        rated_lumens=None if head.lamps.lamps < 0 else head.lamps.lumens,
        watts=head.lamps.watts,
        form="EULUMDAT",
        name=head.name,
        notes=tuple(notes),
    )


def _ascending(numbers: Numbers, angles: FloatArray, first: int, most: float) -> None:
    for n, angle in enumerate(angles):
        if not 0 <= angle <= most or (n and angle <= angles[n - 1]):
            cure = f"angles must ascend from 0 to at most {most:g}"
            raise numbers.wrong(f"angle {n + 1} is {angle:g}", cure, first + n)


def _planes(symmetry: int, around: FloatArray) -> FloatArray:
    """Return the angles of the planes that a file of this symmetry holds, as they come.

    Symmetry to the plane C90-C270 starts at C270 and ends at C90, through C0.
    """
    if symmetry == 1:
        return around[:1]
    if symmetry == 2:
        return around[around <= 180]
    if symmetry == 3:
        return np.concatenate([around[around >= 270] - 360, around[around <= 90]])
    if symmetry == 4:
        return around[around <= 90]
    return around


def _distribution(
    numbers: Numbers, planes: FloatArray, up: FloatArray, table: FloatArray
) -> Photometry:
    """Bring planes into an order that LM-63 knows as well."""
    if planes[0] < 0:
        # C270 to C90 through C0, mirrored about the plane 90-270: its image runs from 90 to 270.
        planes, table = 180 - planes[::-1], table[::-1]
    if planes.size == 1:
        planes = np.zeros(1)
    last = float(planes[-1])
    known = (float(planes[0]), last) in ((0, 0), (0, 90), (0, 180), (90, 270))
    if not known and not (planes[0] == 0 and last > 180):
        what = f"the stored C planes run from {planes[0]:g} to {last:g}"
        raise numbers.wrong(what, "correct the C planes or the symmetry indicator")
    return distribution(up, planes, table, "C")
