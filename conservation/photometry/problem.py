"""Read from JSON which luminaires light which pieces, and say of every fault what to do."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from conservation.json_reading import JsonReader, short
from conservation.photometry.aiming import place_before
from conservation.photometry.dimming import HIGHEST_LUX, MOST_PIECES
from conservation.photometry.illuminance import MOST_LUMINAIRES
from conservation.photometry.luminaire import FARTHEST_MM, Luminaire, Place, aimed
from conservation.photometry.model import Photometry
from conservation.photometry.practice import practice
from conservation.photometry.reading import read_photometry
from conservation.photometry.surfaces import Rectangle, lying, upright
from conservation.ranges import ConservationError
from conservation.tables import OURS, Tables

STEP_MM = 50.0
MOST_FILES = 200
MOST_CELLS = 20_000_000
PROBLEM = ("photometry", "luminaires", "pieces", "step_mm")
LUMINAIRE = (
    *("id", "photometry", "at_mm", "height_mm", "angle_deg", "aim_mm", "piece"),
    *("spin_deg", "dimming", "maintenance"),
)
PIECE = (
    *("id", "corner_mm", "width_mm", "height_mm", "facing_deg", "lying", "turn_deg"),
    *("max_lux", "other_lux"),
)


class InvalidAiming(ConservationError):  # noqa: N818
    """The input cannot be read; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults


@dataclass(frozen=True)
class Piece:
    """A piece as a rectangle in mm, its limit and other light that falls on it, in lx."""

    id: str
    surface: Rectangle
    max_lux: float | None
    other_lux: float


@dataclass(frozen=True)
class Aimed:
    """A luminaire, where it is aimed in mm, and the piece that it is aimed at, if one is named."""

    luminaire: Luminaire
    target_mm: Place
    piece: Piece | None


@dataclass(frozen=True)
class Problem:
    """Luminaires and pieces; a piece counts in cells of at most `step_mm`."""

    luminaires: tuple[Aimed, ...]
    pieces: tuple[Piece, ...]
    step_mm: float


def read_problem(data: Any, folder: Path, *, tables: Tables = OURS) -> Problem:
    """Return the problem; paths of photometric files count from the folder.

    Lengths in mm, angles in degrees, light in lx. Raises InvalidAiming with every fault found, or
    PhotometricFileError. At most 2000 luminaires and pieces, and 20 million luminaires times cells.
    Source: none, a form of input of our own.

    >>> read_problem({"luminaires": [], "pieces": []}, Path())
    Traceback (most recent call last):
        ...
    conservation.photometry.problem.InvalidAiming: pieces is empty: give at least one. \
luminaires is empty: give at least one.
    """
    if not isinstance(data, dict):
        raise InvalidAiming(["The problem must be a JSON object with luminaires and pieces."])
    reader = _Reader(tables)
    reader.known(data, PROBLEM, "problem")
    step = reader.number(data, "step_mm", "problem", 1, FARTHEST_MM, STEP_MM)
    files = _files(reader, data.get("photometry", {}), folder)
    pieces = [
        _piece(reader, row, f"pieces[{n}]")
        for n, row in enumerate(reader.some(data, "pieces", MOST_PIECES))
    ]
    rows = reader.some(data, "luminaires", MOST_LUMINAIRES)
    reader.once("piece", [piece.id for piece in pieces if piece])
    by_id = {piece.id: piece for piece in pieces if piece is not None}
    lamps = [_aimed(reader, row, f"luminaires[{n}]", files, by_id) for n, row in enumerate(rows)]
    reader.once("luminaire", [lamp.luminaire.id for lamp in lamps if lamp])
    cells = sum(math.prod(piece.surface.cells(step)) for piece in by_id.values())
    if cells * len(rows) > MOST_CELLS:
        reader.faults.append(
            f"There are {cells * len(rows):,} cells times luminaires, at most {MOST_CELLS:,} are"
            " taken: give a greater step_mm."
        )
    if reader.faults:
        raise InvalidAiming(reader.faults)
    return Problem(tuple(lamp for lamp in lamps if lamp), tuple(by_id.values()), step)


class _Reader(JsonReader):
    def __init__(self, tables: Tables) -> None:
        super().__init__()
        self.tables = tables

    def some(self, data: dict[str, Any], key: str, most: int) -> list[Any]:
        before = len(self.faults)
        rows = self.rows(data, key, most)
        if not rows and len(self.faults) == before:
            self.faults.append(f"{key} is empty: give at least one.")
        return rows

    def number(
        self,
        row: dict[str, Any],
        key: str,
        where: str,
        least: float,
        most: float,
        default: float | None = None,
    ) -> float:
        value = row.get(key)
        if value is None and default is not None:
            return default
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.faults.append(f"{where}.{key} is {short(value)}: give a number.")
        elif not least <= value <= most:
            self.faults.append(
                f"{where}.{key} is {short(value)}: it must lie from {least:g} to {most:g}."
            )
        else:
            return float(value)
        return max(least, 1.0)

    def place(self, row: dict[str, Any], key: str, where: str) -> Place:
        value = row.get(key)
        if (
            isinstance(value, list)
            and len(value) == 3
            and all(
                isinstance(part, int | float)
                and not isinstance(part, bool)
                and abs(part) <= FARTHEST_MM
                for part in value
            )
        ):
            return float(value[0]), float(value[1]), float(value[2])
        self.faults.append(
            f"{where}.{key} is {short(value)}: give x, y and z in mm, each within 1 km."
        )
        return 0.0, 0.0, 0.0


def _files(reader: _Reader, paths: Any, folder: Path) -> dict[str, Photometry]:
    if not isinstance(paths, dict) or not all(isinstance(path, str) for path in paths.values()):
        reader.faults.append("photometry must be a JSON object of names and paths of files.")
        return {}
    if len(paths) > MOST_FILES:
        reader.faults.append(f"photometry names {len(paths)} files: at most {MOST_FILES}.")
        return {}
    return {name: read_photometry(folder / path) for name, path in paths.items()}


def _piece(reader: _Reader, row: dict[str, Any], where: str) -> Piece | None:
    before = len(reader.faults)
    reader.known(row, PIECE, where)
    name = reader.name(row, "id", where)
    corner = reader.place(row, "corner_mm", where)
    width = reader.number(row, "width_mm", where, 1, FARTHEST_MM)
    height = reader.number(row, "height_mm", where, 1, FARTHEST_MM)
    lies = reader.flag(row, "lying", where, False)
    other = reader.number(row, "other_lux", where, 0, HIGHEST_LUX, 0.0)
    most = None
    if row.get("max_lux") is not None:
        most = reader.number(row, "max_lux", where, 0, HIGHEST_LUX)
    key, odd = ("turn_deg", "facing_deg") if lies else ("facing_deg", "turn_deg")
    angle = reader.number(row, key, where, -360, 360, 0.0 if lies else None)
    if row.get(odd) is not None:
        reader.faults.append(f"{where}.{odd} has no meaning here: give {key}.")
    if len(reader.faults) > before:
        return None
    make = lying if lies else upright
    return Piece(name, make(corner, width, height, angle), most, other)


def _aimed(
    reader: _Reader,
    row: dict[str, Any],
    where: str,
    files: dict[str, Photometry],
    pieces: dict[str, Piece],
) -> Aimed | None:
    before = len(reader.faults)
    reader.known(row, LUMINAIRE, where)
    name = reader.name(row, "id", where)
    file = row.get("photometry")
    if not isinstance(file, str) or file not in files:
        known = ", ".join(files) or "none"
        reader.faults.append(f"{where}.photometry is {short(file)}: named files are {known}.")
    piece = pieces.get(reader.name(row, "piece", where)) if row.get("piece") is not None else None
    if piece is None and row.get("piece") is not None:
        reader.faults.append(f"{where}.piece is {short(row['piece'])}: name a piece of the list.")
    if row.get("aim_mm") is None and piece is None:
        reader.faults.append(f"{where} is aimed at nothing: give piece or aim_mm.")
    if (row.get("at_mm") is None) == (row.get("height_mm") is None):
        reader.faults.append(
            f"{where} needs at_mm, or height_mm for a place square before its piece."
        )
    spin = reader.number(row, "spin_deg", where, -360, 360, 0.0)
    dimming = reader.number(row, "dimming", where, 0, 1, 1.0)
    maintenance = reader.number(row, "maintenance", where, 0.01, 1, 1.0)
    if row.get("aim_mm") is not None:
        target = reader.place(row, "aim_mm", where)
    else:
        target = piece.surface.middle_mm if piece else (0.0, 0.0, 0.0)
    if len(reader.faults) > before:
        return None
    at = _at(reader, row, where, target, piece)
    if at == target:
        reader.faults.append(f"{where} is aimed at its own place: give another aim_mm.")
    if len(reader.faults) > before or not isinstance(file, str):
        return None
    lamp = aimed(
        name, files[file], at, target, spin_deg=spin, dimming=dimming, maintenance=maintenance
    )
    return Aimed(lamp, target, piece)


def _at(
    reader: _Reader, row: dict[str, Any], where: str, target: Place, piece: Piece | None
) -> Place:
    if row.get("at_mm") is not None:
        if row.get("angle_deg") is not None:
            reader.faults.append(f"{where}.angle_deg has no meaning beside at_mm: drop one.")
        return reader.place(row, "at_mm", where)
    if piece is None:
        reader.faults.append(f"{where}.height_mm needs the piece that it stands before.")
        return target
    height = reader.number(row, "height_mm", where, -FARTHEST_MM, FARTHEST_MM)
    angle = reader.number(row, "angle_deg", where, 1, 89, practice(reader.tables).usual_deg)
    try:
        return place_before(target, piece.surface.normal, height, angle, tables=reader.tables)
    except ConservationError as error:
        reader.faults.append(f"{where}: {error}")
        return target
