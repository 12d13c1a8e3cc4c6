"""Find how luminaires are aimed and dimmed, and what light falls on the pieces.

The file is a JSON object, lengths in mm, z up:
  photometry   names of LM-63 (.ies) or EULUMDAT (.ldt) files; paths count from this file's folder
  luminaires   id, photometry; where: at_mm, or height_mm with angle_deg (30 if absent) for a place
               square before its piece; aimed at piece (its middle) or at aim_mm; and perhaps
               spin_deg, dimming (as it is now, 0 to 1), maintenance (what age and dirt leave)
  pieces       id, corner_mm (lower left as one faces it), width_mm, height_mm, facing_deg (from x,
               counter-clockwise from above) or "lying": true with turn_deg; and perhaps max_lux,
               other_lux (light that falls anyway)
  step_mm      the largest cell in which light is computed, 50 if absent
Luminaires and pieces may stand in CSV files: "pieces": "pieces.csv", with heads like id,
corner_mm.0, corner_mm.1, corner_mm.2, width_mm.
Limits are held with new lamps; what is left after maintenance is shown beside. Direct light in the
far field only. Exit code 1: other light alone is too much for a piece.

Example:
  $ python -m conservation aim fixtures/reference/photometry/gallery.json --table
"""

from __future__ import annotations

import argparse
import math
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from conservation.cli.common import Answer, Commands, Grid, new_command, tables_of
from conservation.cli.files import read_with_lists
from conservation.photometry.aiming import Aim, aim
from conservation.photometry.dimming import Dimming, Lit, dim
from conservation.photometry.flux import beam_angle, flux_lm
from conservation.photometry.illuminance import (
    LIMITS,
    NearField,
    contributions,
)
from conservation.photometry.luminaire import Luminaire
from conservation.photometry.model import FloatArray, Photometry, PhotometryError
from conservation.photometry.practice import cautions, practice
from conservation.photometry.problem import Aimed, Piece, Problem, read_problem
from conservation.photometry.surfaces import Uniformity, is_large, uniformity
from conservation.tables import Tables

NEW_LAMPS = (
    "Dimming is for new lamps, so that limits are kept from the first day; the aged mean is what"
    " the maintenance factors leave of it."
)

LISTS: dict[str, tuple[str, ...]] = {"luminaires": (), "pieces": ()}


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "aim", __doc__)
    parser.add_argument("file", help="JSON; - for standard input")


def run(given: argparse.Namespace) -> Answer:
    """Aim, light and dim."""
    folder = Path() if given.file == "-" else Path(given.file).parent
    tables = tables_of(given)
    problem = read_problem(read_with_lists(given.file, LISTS), folder, tables=tables)
    lit = _light(problem, tables)
    names = [item.luminaire.id for item in problem.luminaires]
    dimming = dim(
        names,
        [
            Lit(piece.id, found.lux, piece.max_lux, piece.other_lux)
            for piece, found in zip(problem.pieces, lit, strict=True)
        ],
    )
    lamps = [_lamp(item, dimming, n, tables) for n, item in enumerate(problem.luminaires)]
    pieces = [
        _piece(problem, piece, found, dimming, tables)
        for piece, found in zip(problem.pieces, lit, strict=True)
    ]
    warnings = _warnings(problem, lamps, lit)
    data = {
        "luminaires": lamps,
        "pieces": [_finite(asdict(piece)) for piece in pieces],
        "kept": dimming.kept,
        "warnings": warnings,
        "notes": [NEW_LAMPS, *LIMITS],
        "cautions": cautions(tables),
        "sources": practice(tables).sources,
    }
    grids = (_lamp_grid(lamps), _piece_grid(pieces))
    notes = (*warnings, NEW_LAMPS, *LIMITS, *cautions(tables))
    return Answer(data, grids, notes, 0 if dimming.kept else 1)


@dataclass(frozen=True)
class _Lamp:
    id: str
    file: str
    at_mm: tuple[float, ...]
    aim_mm: tuple[float, ...]
    pan_deg: float
    tilt_deg: float
    distance_mm: float
    incidence_deg: float | None
    flux_lm: float
    beam_deg: float | None
    dimming_given: float
    dimming: float
    bound_by: str | None
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class _Levels:
    id: str
    limit_lux: float | None
    kept: bool
    as_given: Uniformity
    dimmed: Uniformity
    maintained_mean_lux: float


@dataclass(frozen=True, eq=False)
class _Light:
    lux: FloatArray
    near: tuple[NearField | None, ...]


def _light(problem: Problem, tables: Tables) -> list[_Light]:
    """Return the levels at each piece's cells from each luminaire, new and undimmed."""
    new = [replace(item.luminaire, dimming=1.0, maintenance=1.0) for item in problem.luminaires]
    grids = [
        piece.surface.points_mm(*piece.surface.cells(problem.step_mm)).reshape(-1, 3)
        for piece in problem.pieces
    ]
    facing = [
        np.broadcast_to(piece.surface.normal, grid.shape)
        for piece, grid in zip(problem.pieces, grids, strict=True)
    ]
    found = contributions(new, np.concatenate(grids), np.concatenate(facing), tables=tables)
    ends = np.cumsum([len(grid) for grid in grids])
    parts = np.split(found.lux, ends[:-1], axis=1)
    near = {item.luminaire: item.needed_mm for item in found.near}
    lamps = [(n, lamp, near[lamp.id]) for n, lamp in enumerate(new) if lamp.id in near]
    return [
        _Light(part, tuple(_near(lamp, part[n], grid, mm) for n, lamp, mm in lamps))
        for part, grid in zip(parts, grids, strict=True)
    ]


def _near(lamp: Luminaire, lux: FloatArray, points: FloatArray, needed: float) -> NearField | None:
    """Return which of a piece's points lie nearer to a luminaire than is needed, in mm."""
    away = np.linalg.norm(points - np.array(lamp.at_mm), axis=1)
    near = (away < needed) & (lux > 0)
    if not near.any():
        return None
    return NearField(lamp.id, int(near.sum()), float(away[near].min()), needed)


def _lamp(item: Aimed, dimming: Dimming, n: int, tables: Tables) -> _Lamp:
    lamp, photometry = item.luminaire, item.luminaire.photometry
    turned: Aim | None = None
    if item.piece is not None:
        normal = item.piece.surface.normal
        turned = aim(lamp.at_mm, item.target_mm, normal, tables=tables)
    return _Lamp(
        id=lamp.id,
        file=f"{photometry.form} {photometry.name}".strip(),
        at_mm=lamp.at_mm,
        aim_mm=item.target_mm,
        pan_deg=lamp.pan_deg,
        tilt_deg=lamp.tilt_deg,
        distance_mm=math.dist(lamp.at_mm, item.target_mm),
        incidence_deg=turned.incidence_deg if turned else None,
        flux_lm=flux_lm(photometry),
        beam_deg=_beam_deg(photometry),
        dimming_given=lamp.dimming,
        dimming=dimming.luminaires[n].dimming,
        bound_by=dimming.luminaires[n].bound_by,
        warnings=turned.warnings if turned else (),
    )


def _beam_deg(photometry: Photometry) -> float | None:
    try:
        return beam_angle(photometry, 0.0 if photometry.kind == "C" else "horizontal").angle_deg
    except PhotometryError:
        return None


def _piece(
    problem: Problem, piece: Piece, found: _Light, dimming: Dimming, tables: Tables
) -> _Levels:
    lamps = [item.luminaire for item in problem.luminaires]
    given = np.array([lamp.dimming for lamp in lamps])
    chosen = np.array([item.dimming for item in dimming.luminaires])
    aged = chosen * np.array([lamp.maintenance for lamp in lamps])
    large = is_large(piece.surface, tables=tables)

    def levels(use: FloatArray) -> FloatArray:
        summed: FloatArray = use @ found.lux + piece.other_lux
        return summed

    kept = next(item.kept for item in dimming.pieces if item.id == piece.id)
    return _Levels(
        piece.id,
        piece.max_lux,
        kept,
        uniformity(levels(given), large=large, tables=tables),
        uniformity(levels(chosen), large=large, tables=tables),
        float(levels(aged).mean()),
    )


def _warnings(problem: Problem, lamps: list[_Lamp], lit: list[_Light]) -> list[str]:
    found = [f"{lamp.id}: {words}" for lamp in lamps for words in lamp.warnings]
    for piece, light in zip(problem.pieces, lit, strict=True):
        found += [f"{piece.id}: {near.sentence}" for near in light.near if near]
    seen = {item.luminaire.photometry: None for item in problem.luminaires}
    found += [f"{item.name or item.form}: {note}" for item in seen for note in item.notes]
    return found


def _finite(data: dict[str, Any]) -> dict[str, Any]:
    """An endless ratio (a dark corner) has no number in JSON: null."""
    return {
        key: _finite(value)
        if isinstance(value, dict)
        else None
        if isinstance(value, float) and math.isinf(value)
        else value
        for key, value in data.items()
    }


def _lamp_grid(lamps: list[_Lamp]) -> Grid:
    heads = ("luminaire", "x mm", "y mm", "z mm", "pan °", "tilt °", "mm to aim", "incidence °")
    rows = [
        (
            *(lamp.id, *(round(part) for part in lamp.at_mm), lamp.pan_deg, lamp.tilt_deg),
            *(round(lamp.distance_mm), lamp.incidence_deg, lamp.beam_deg, round(lamp.flux_lm)),
            *(100 * lamp.dimming, lamp.bound_by or "-"),
        )
        for lamp in lamps
    ]
    return Grid("Luminaires", (*heads, "beam °", "lm", "dim to %", "bound by"), rows)


def _piece_grid(pieces: list[_Levels]) -> Grid:
    heads = ("piece", "limit lx", "given max", "min", "mean", "max", "max:min", "aged mean", "kept")
    rows = [
        (
            *(piece.id, piece.limit_lux, piece.as_given.max_lux, piece.dimmed.min_lux),
            *(piece.dimmed.mean_lux, piece.dimmed.max_lux, piece.dimmed.max_to_min),
            *(piece.maintained_mean_lux, piece.kept),
        )
        for piece in pieces
    ]
    return Grid("Pieces, in lx: as given, then dimmed", heads, rows)
