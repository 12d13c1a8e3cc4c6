"""Read LM-63 files of 1986, 1991, 1995, 2002 and 2019: kinds A, B and C, TILT=NONE and INCLUDE.

Candela are value x multiplier x ballast factor, and x ballast-lamp factor up to 1995 (that field is
kept for future use in 2002 and tells how the file was made in 2019). Source: ANSI/IES LM-63 in
these editions; the opening's negative sizes of 1995 on, and lines of 1986, from memory.
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
    read_text,
)
from conservation.photometry.model import (
    BRIGHTEST_CD,
    MM_OF_UNIT,
    Kind,
    LampTilt,
    Opening,
    Photometry,
    angles_fault,
    distribution,
)

KINDS: dict[int, Kind] = {1: "C", 2: "B", 3: "A"}
EDITIONS = {
    "IESNA:LM-63-2002": 2002,
    "IESNA:LM-63-1995": 1995,
    "IESNA91": 1991,
    "IES:LM-63-2019": 2019,
}
NEEDED = {1991: ("TEST", "MANUFAC"), 2002: ("TEST", "TESTLAB", "ISSUEDATE", "MANUFAC")}
MOST_TILTS = 1_000
LONGEST_TEXT = 2_000


@dataclass(frozen=True)
class _Head:
    edition: int
    keywords: tuple[tuple[str, str], ...]
    tilt: str
    next_line: int
    notes: tuple[str, ...]


def read_lm63(path: str | Path) -> Photometry:
    """Return the photometry of an LM-63 file; intensities in cd, sizes in mm.

    Raises PhotometricFileError for a file over 10 MB, of over 3700 angles either way or a million
    values, or one that is broken. Source: ANSI/IES LM-63.

    >>> read_lm63("fixtures/reference/photometry/lambert.ies").peak_cd
    1000.0
    """
    return parse_lm63(read_text(path), str(path))


def parse_lm63(text: str, name: str = "the text") -> Photometry:
    """Return the photometry of the text of an LM-63 file; intensities in cd, sizes in mm.

    Raises PhotometricFileError; range as read_lm63. Source: ANSI/IES LM-63.

    >>> parse_lm63("TILT=NONE 1 -1 1 2 1 1 2 0 0 0 1 1 9 0 90 0 80 0").peak_cd
    80.0
    """
    lines = text.splitlines()
    head = _head(lines, name)
    kind = head.tilt.partition(" ")[0].upper()
    rest = head.tilt.partition(" ")[2]
    if kind not in ("NONE", "INCLUDE"):
        raise PhotometricFileError(
            name,
            head.next_line,
            f"TILT={head.tilt[:40]} names another file, which is not supported",
            "put the tilt table into the file with TILT=INCLUDE, or use TILT=NONE",
        )
    if rest:
        lines = [*lines]
        lines[head.next_line - 1] = rest
    numbers = Numbers.of(name, lines, head.next_line - (1 if rest else 0))
    tilt = _tilt(numbers) if kind == "INCLUDE" else None
    return _body(numbers, head, tilt)


def _head(lines: list[str], name: str) -> _Head:
    at = next((n for n, line in enumerate(lines) if line.strip().upper().startswith("TILT=")), None)
    if at is None:
        raise PhotometricFileError(
            name,
            None,
            "no line begins with TILT=",
            "give an LM-63 or a .ldt file",
        )
    first = lines[0].strip() if at else ""
    edition = EDITIONS.get(first.upper(), 1986)
    notes = []
    if edition == 1986 and first.upper().startswith(("IES:LM-63", "IESNA:LM-63")):
        edition = 2019
        notes.append(f"The edition {first[:40]!r} is unknown: read as LM-63-2019.")
    keywords = _keywords(lines[1 if edition > 1986 else 0 : at], edition)
    have = {key for key, _ in keywords}
    wanted = NEEDED[2002] if edition >= 2002 else NEEDED.get(edition, ())
    if missing := [key for key in wanted if key not in have]:
        notes.append(f"LM-63-{edition} asks for [{'], ['.join(missing)}], which the file lacks.")
    tilt = " ".join(lines[at].strip()[5:].split())
    return _Head(edition, keywords, tilt, at + 1, tuple(notes))


def _keywords(lines: list[str], edition: int) -> tuple[tuple[str, str], ...]:
    found: list[tuple[str, str]] = []
    for line in (line.strip() for line in lines):
        key, closed, text = line[1:].partition("]")
        if edition == 1986 or not (line.startswith("[") and closed):
            if line:
                found.append(("", line[:LONGEST_TEXT]))
        elif key.strip().upper() == "MORE" and found:
            whole = f"{found[-1][1]} {text.strip()}"[:LONGEST_TEXT]
            found[-1] = (found[-1][0], whole)
        else:
            found.append((key.strip().upper(), text.strip()[:LONGEST_TEXT]))
    return tuple(found)


def _tilt(numbers: Numbers) -> LampTilt:
    geometry = numbers.whole("the lamp geometry of TILT", 1, 3)
    count = numbers.whole("the number of tilt angles", 1, MOST_TILTS)
    first = numbers.at
    angles = numbers.take(count, "tilt angles")
    for n, angle in enumerate(angles):
        if not 0 <= angle <= 180 or (n and angle <= angles[n - 1]):
            cure = "tilt angles must ascend from 0 to at most 180"
            raise numbers.wrong(f"tilt angle {n + 1} is {angle:g}", cure, first + n)
    first = numbers.at
    factors = numbers.take(count, "tilt factors")
    for n, factor in enumerate(factors):
        if not 0 <= factor <= 100:
            cure = "give a factor from 0 to 100"
            raise numbers.wrong(f"tilt factor {n + 1} is {factor:g}", cure, first + n)
    return LampTilt(geometry, tuple(angles), tuple(factors))


def _body(numbers: Numbers, head: _Head, tilt: LampTilt | None) -> Photometry:
    lamps = numbers.whole("the number of lamps", 1, 100_000)
    lumens = numbers.take(1, "lumens")[0]
    if lumens <= 0 and lumens != -1:
        raise numbers.wrong(f"the lumens of a lamp are {lumens:g}", "give lumens, or -1 for none")
    factor = _positive(numbers, "the multiplier")
    n_up = numbers.whole("the number of vertical angles", 2, MOST_ANGLES)
    n_round = numbers.whole("the number of horizontal angles", 1, MOST_ANGLES)
    if n_up * n_round > MOST_VALUES:
        what = f"the file announces {n_up * n_round:,} intensities"
        raise numbers.wrong(what, f"at most {MOST_VALUES:,} are taken: ask for a coarser table")
    kind = KINDS[numbers.whole("the photometric type", 1, 3)]
    unit_mm = MM_OF_UNIT[numbers.whole("the unit", 1, 2)]
    opening = _opening(numbers.take(3, "sizes of the opening"), unit_mm)
    factor *= _positive(numbers, "the ballast factor")
    third, watts = numbers.take(2, "numbers of the lamp")
    notes = list(head.notes)
    if head.edition < 2002:
        numbers.at -= 1
        if third <= 0:
            raise numbers.wrong(f"the ballast-lamp factor is {third:g}", "give a number above 0")
        numbers.at += 1
        factor *= third
    elif head.edition == 2002 and third != 1:
        notes.append(f"The field for future use is {third:g}: it is not applied.")
    photometry = _table(numbers, kind, n_up, n_round, factor)
    if photometry.vertical_deg[-1] not in (90, 180):
        notes.append(
            f"The vertical angles end at {photometry.vertical_deg[-1]:g}: dark beyond them."
        )
    if photometry.symmetry == "none" and kind == "C" and photometry.horizontal_deg[-1] < 360:
        notes.append(
            f"The horizontal angles end at {photometry.horizontal_deg[-1]:g}: closed with plane 0."
        )
    keywords = dict(reversed(head.keywords))
    return replace(
        photometry,
        opening=opening,
        rated_lumens=None if lumens == -1 else lumens * lamps,
        watts=watts,
        lamp_tilt=tilt,
        form=f"LM-63-{head.edition}",
        name=keywords.get("LUMINAIRE") or keywords.get("LUMCAT") or keywords.get("", ""),
        keywords=head.keywords,
        notes=tuple(notes),
    )


def _positive(numbers: Numbers, what: str) -> float:
    value = numbers.take(1, what)[0]
    if value <= 0:
        raise numbers.wrong(f"{what} is {value:g}", "give a number above 0")
    return value


def _table(numbers: Numbers, kind: Kind, n_up: int, n_round: int, factor: float) -> Photometry:
    first = numbers.at
    up = np.array(numbers.take(n_up, "vertical angles"))
    around = np.array(numbers.take(n_round, "horizontal angles"))
    if fault := angles_fault(kind, up, around):
        raise numbers.wrong(fault[1], fault[2], first + fault[0])
    first = numbers.at
    values = np.array(numbers.take(n_up * n_round, "intensities"))
    bad = np.flatnonzero((values < 0) | (values * factor > BRIGHTEST_CD))
    if bad.size:
        at = int(bad[0])
        cure = "give candela from 0 to 1e9 or ask its maker for the file again"
        raise numbers.wrong(f"an intensity is {values[at]:g}", cure, first + at)
    if numbers.left:
        what = f"{numbers.left:,} numbers are left over after {values.size:,} intensities"
        raise numbers.wrong(what, "correct the counts of angles", numbers.at)
    return distribution(up, around, values.reshape(n_round, n_up) * factor, kind)


def _opening(sizes: list[float], unit_mm: float) -> Opening:
    """Return the opening; negative sizes are round ones (LM-63-1995 on)."""
    width, length, height = sizes
    round_across, round_along = width < 0, length < 0
    width, length = abs(width) * unit_mm, abs(length) * unit_mm
    tall = abs(height) * unit_mm
    if not (width or length or tall):
        return Opening()
    if height < 0:
        shape = "sphere or cylinder"
    elif round_across or round_along:
        shape = "round"
    else:
        shape = "rectangular"
    return Opening(shape, width, length, tall)
