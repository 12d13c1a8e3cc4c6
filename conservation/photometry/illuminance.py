"""Illuminance at points: direct light in the far field, summed over luminaires.

E = I cos(i) / d² for each luminaire, 0 where the surface faces away; light thrown back by walls and
ceilings is not counted, and nothing is taken to stand in the way. Nearer than five times the
luminous size the inverse square no longer holds: such points come with a warning.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from conservation.photometry.intensity import Lookup, lookup
from conservation.photometry.luminaire import FARTHEST_MM, Luminaire
from conservation.photometry.model import FloatArray, PhotometryError
from conservation.photometry.practice import practice
from conservation.tables import OURS, Tables

MOST_POINTS = 5_000_000
MOST_LUMINAIRES = 2_000
MOST_CELLS = 50_000_000
BLOCK = 8_192
SAME_PLACE_SQ_MM = 1e-12
LIMITS = (
    "Only direct light in the far field is counted: reflected light and daylight come on top, and"
    " nothing is taken to stand in the way of the light.",
)


@dataclass(frozen=True)
class NearField:
    """Points that lie nearer to a luminaire than its far field begins, in mm."""

    luminaire: str
    points: int
    nearest_mm: float
    needed_mm: float

    @property
    def sentence(self) -> str:
        """The warning with its reason."""
        return (
            f"{self.points} points lie as near as {self.nearest_mm:.0f} mm to {self.luminaire}: the"
            f" inverse square holds from {self.needed_mm:.0f} mm on, five times its luminous size;"
            " measure there."
        )


@dataclass(frozen=True, eq=False)
class Illuminance:
    """Illuminance in lx at each point, and where the far field is not reached."""

    lux: FloatArray
    near: tuple[NearField, ...] = ()

    @property
    def warnings(self) -> tuple[str, ...]:
        """The warnings in sentences."""
        return tuple(item.sentence for item in self.near)


def illuminance(
    luminaires: Sequence[Luminaire],
    points_mm: ArrayLike,
    normals: ArrayLike,
    *,
    tables: Tables = OURS,
) -> Illuminance:
    """Return the illuminance in lx at points in mm on surfaces with the given normals.

    Points: rows of x, y, z within 1 km; normals: one, or a row for each point, of any length above
    0. At most 5 million points and 2000 luminaires; others raise PhotometryError, and so does a
    point at a luminaire's own place. Points in the near field are warned of. Source: inverse square
    and cosine laws (CIE S 017); how far the near field goes: table `lighting_practice`.

    >>> from conservation.photometry.model import distribution
    >>> spot = distribution([0, 180], [0], [[1000, 1000]])
    >>> lamp = Luminaire("L1", spot, (0, 0, 2000))
    >>> float(illuminance([lamp], [[0, 0, 0]], [0, 0, 1]).lux[0])
    250.0
    """
    return _compute(luminaires, points_mm, normals, practice(tables).far_field_ratio, each=False)


def contributions(
    luminaires: Sequence[Luminaire],
    points_mm: ArrayLike,
    normals: ArrayLike,
    *,
    tables: Tables = OURS,
) -> Illuminance:
    """Return illuminances in lx by luminaire (rows) and point (columns).

    Range, errors, warnings and source: as illuminance; at most 50 million values.

    >>> from conservation.photometry.model import distribution
    >>> spot = distribution([0, 180], [0], [[1000, 1000]])
    >>> lamps = [Luminaire("L1", spot, (0, 0, 2000)), Luminaire("L2", spot, (0, 0, 1000))]
    >>> contributions(lamps, [[0, 0, 0]], [0, 0, 1]).lux.ravel().tolist()
    [250.0, 1000.0]
    """
    return _compute(luminaires, points_mm, normals, practice(tables).far_field_ratio, each=True)


def _compute(
    luminaires: Sequence[Luminaire],
    points_mm: ArrayLike,
    normals: ArrayLike,
    far_ratio: float,
    *,
    each: bool,
) -> Illuminance:
    points, facing = _points(points_mm), _normals(normals)
    count = points.shape[1]
    if facing.shape[1] not in (1, count):
        raise PhotometryError(
            f"There are {facing.shape[1]} normals for {count} points: give one, or one for each."
        )
    if len(luminaires) > MOST_LUMINAIRES:
        raise PhotometryError(f"At most {MOST_LUMINAIRES} luminaires are taken at once.")
    if each and len(luminaires) * count > MOST_CELLS:
        raise PhotometryError(f"At most {MOST_CELLS:,} luminaires times points are taken at once.")
    lamps = [_Lamp(item, far_ratio) for item in luminaires]
    lux = np.zeros((len(lamps), count) if each else count)
    for start in range(0, count, BLOCK):
        part = slice(start, start + BLOCK)
        here = np.ascontiguousarray(points[:, part])
        face = facing if facing.shape[1] == 1 else np.ascontiguousarray(facing[:, part])
        along = (face * here).sum(axis=0)
        for n, lamp in enumerate(lamps):
            found = lamp.lux(here, face, along)
            if each:
                lux[n, part] = found
            else:
                lux[part] += found
    return Illuminance(lux, tuple(near for lamp in lamps if (near := lamp.near_field())))


class _Lamp:
    """A luminaire made ready for blocks of points."""

    def __init__(self, luminaire: Luminaire, far_ratio: float) -> None:
        self.luminaire = luminaire
        self.ready: Lookup = lookup(luminaire.photometry)
        self.at = np.array(luminaire.at_mm)
        self.axes = luminaire.axes
        self.offset = (self.axes @ self.at)[:, None]
        # Intensities are in cd and places in mm: 1e6 mm² are a square metre.
        self.scale = luminaire.factor * 1e6
        self.far_sq = (far_ratio * luminaire.photometry.opening.largest_mm) ** 2
        self.nearest_sq = math.inf
        self.near = 0

    def lux(self, here: FloatArray, face: FloatArray, along: FloatArray) -> FloatArray:
        first, second, axis = self.axes @ here - self.offset
        square = first * first
        square += second * second
        square += axis * axis
        nearest = square.min()
        if nearest < SAME_PLACE_SQ_MM:
            raise PhotometryError(
                f"A point is the place of {self.luminaire.id} itself: move one of them."
            )
        falling = self.at @ face - along
        np.maximum(falling, 0.0, out=falling)
        if not falling.any():
            return falling
        found = self.ready.toward(first, second, axis)
        found *= falling
        found *= self.scale
        found /= square * np.sqrt(square)
        if nearest < self.far_sq:
            self._count_near(square, found)
        return found

    def _count_near(self, square: FloatArray, found: FloatArray) -> None:
        near = (square < self.far_sq) & (found > 0)
        if near.any():
            self.near += int(near.sum())
            self.nearest_sq = min(self.nearest_sq, float(square[near].min()))

    def near_field(self) -> NearField | None:
        if not self.near:
            return None
        nearest, needed = math.sqrt(self.nearest_sq), math.sqrt(self.far_sq)
        return NearField(self.luminaire.id, self.near, nearest, needed)


def _points(points_mm: ArrayLike) -> FloatArray:
    points = _rows("Points", points_mm)
    if points.shape[1] > MOST_POINTS:
        raise PhotometryError(f"At most {MOST_POINTS:,} points are taken at once.")
    if points.size and np.abs(points).max() > FARTHEST_MM:
        raise PhotometryError("A point is farther than 1 km away: give places in mm.")
    return points


def _normals(normals: ArrayLike) -> FloatArray:
    rows = _rows("Normals", normals)
    length = np.sqrt((rows * rows).sum(axis=0))
    if not (length > 0).all():
        raise PhotometryError("A normal has no length: give the direction that the surface faces.")
    unit: FloatArray = rows / length
    return unit


def _rows(name: str, values: ArrayLike) -> FloatArray:
    """Return rows of three numbers as three rows."""
    try:
        array = np.atleast_2d(np.asarray(values, dtype=np.float64))
    except (TypeError, ValueError) as error:
        raise PhotometryError(f"{name} must be numbers.") from error
    if array.ndim != 2 or array.shape[1] != 3:
        raise PhotometryError(f"{name} must be rows of three numbers, x, y and z.")
    if not np.isfinite(array).all():
        raise PhotometryError(f"{name} hold what is no number.")
    return np.ascontiguousarray(array.T)
