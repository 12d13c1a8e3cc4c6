"""Rectangles on walls and tables as arrays of points, and how evenly light falls on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from conservation.photometry.illuminance import MOST_POINTS, Illuminance, illuminance
from conservation.photometry.luminaire import FARTHEST_MM, Luminaire, Place, place_mm
from conservation.photometry.model import FloatArray, PhotometryError
from conservation.photometry.practice import practice
from conservation.ranges import in_range
from conservation.tables import OURS, Tables


@dataclass(frozen=True)
class Rectangle:
    """A rectangle in mm: its first corner, and two edges of unit length times its sizes.

    Seen from the side that it faces, `along` runs to the right and `up` upwards from the corner at
    lower left; a lying rectangle faces up.
    """

    corner_mm: Place
    along: Place
    up: Place
    width_mm: float
    height_mm: float

    @property
    def normal(self) -> Place:
        """The unit direction that the rectangle faces."""
        x, y, z = np.cross(self.along, self.up)
        return float(x), float(y), float(z)

    @property
    def middle_mm(self) -> Place:
        """The rectangle's middle in mm."""
        x, y, z = (
            c + a * self.width_mm / 2 + u * self.height_mm / 2
            for c, a, u in zip(self.corner_mm, self.along, self.up, strict=True)
        )
        return x, y, z

    def points_mm(self, columns: int, rows: int) -> FloatArray:
        """Return the middles of equal cells in mm: an array rows x columns x 3, from below.

        At most 5 million cells; others raise PhotometryError. Source: none, geometry.
        """
        if columns < 1 or rows < 1 or columns * rows > MOST_POINTS:
            raise PhotometryError(
                f"A grid of {columns} x {rows} cells: give 1 to {MOST_POINTS:,} cells."
            )
        x = (np.arange(columns) + 0.5) / columns * self.width_mm
        y = (np.arange(rows) + 0.5) / rows * self.height_mm
        across, upward = np.meshgrid(x, y)
        points: FloatArray = (
            np.array(self.corner_mm)
            + across[..., None] * np.array(self.along)
            + upward[..., None] * np.array(self.up)
        )
        return points

    def cells(self, step_mm: float) -> tuple[int, int]:
        """Return how many columns and rows make cells of at most a step in mm."""
        step = in_range("The step", step_mm, 1, FARTHEST_MM, unit="mm")
        return max(1, math.ceil(self.width_mm / step)), max(1, math.ceil(self.height_mm / step))


def upright(
    corner_mm: Sequence[float], width_mm: float, height_mm: float, facing_deg: float
) -> Rectangle:
    """Return an upright rectangle from its lower left corner in mm, as one faces it.

    `facing_deg` is where it looks, counter-clockwise from x seen from above. Sizes 1 mm to 1 km,
    direction -360 to 360 degrees; others raise OutOfRangeError. Source: geometry.

    >>> [round(part) for part in upright((0, 0, 1000), 800, 600, 90).normal]
    [0, 1, 0]
    """
    turn = math.radians(in_range("The facing", facing_deg, -360, 360, unit="degrees"))
    along = (-math.sin(turn), math.cos(turn), 0.0)
    return _rectangle(corner_mm, along, (0.0, 0.0, 1.0), width_mm, height_mm)


def lying(
    corner_mm: Sequence[float], width_mm: float, height_mm: float, turn_deg: float = 0.0
) -> Rectangle:
    """Return a lying rectangle facing up; its width runs at an angle from x, seen from above.

    Sizes 1 mm to 1 km, angle -360 to 360 degrees; others raise OutOfRangeError. Source: geometry.

    >>> lying((0, 0, 900), 800, 600).middle_mm
    (400.0, 300.0, 900.0)
    """
    turn = math.radians(in_range("The turn", turn_deg, -360, 360, unit="degrees"))
    along = (math.cos(turn), math.sin(turn), 0.0)
    return _rectangle(corner_mm, along, (-along[1], along[0], 0.0), width_mm, height_mm)


def _rectangle(
    corner: Sequence[float], along: Place, up: Place, width: float, height: float
) -> Rectangle:
    return Rectangle(
        place_mm("The corner", corner),
        along,
        up,
        in_range("The width", width, 1, FARTHEST_MM, unit="mm"),
        in_range("The height", height, 1, FARTHEST_MM, unit="mm"),
    )


@dataclass(frozen=True)
class Uniformity:
    """How evenly light falls: levels in lx and their ratios; `notes` name what practice asks."""

    min_lux: float
    mean_lux: float
    max_lux: float
    min_to_mean: float
    max_to_min: float
    notes: tuple[str, ...] = ()


def uniformity(lux: ArrayLike, *, large: bool = False, tables: Tables = OURS) -> Uniformity:
    """Return least, mean and highest of levels in lx, least to mean, and highest to least.

    Levels from 0, at least one; others raise PhotometryError. Highest to least is infinite where
    the least is 0. Above what practice asks of a small or a large piece a note says so. Source:
    table `lighting_practice`; E_min / E_mean is CIE S 017's uniformity.

    >>> found = uniformity([50, 100, 150])
    >>> found.min_to_mean, found.max_to_min
    (0.5, 3.0)
    """
    levels = np.asarray(lux, dtype=np.float64)
    if not levels.size or not np.isfinite(levels).all() or levels.min() < 0:
        raise PhotometryError("Levels must be at least one, finite and from 0 lx.")
    low, mean, high = float(levels.min()), float(levels.mean()), float(levels.max())
    ratio = high / low if low else (math.inf if high else 1.0)
    habit = practice(tables)
    most = habit.even_large if large else habit.even_small
    notes: tuple[str, ...] = ()
    if ratio > most:
        words = "more than 100" if ratio > 100 else f"{ratio:.1f}"
        notes = (
            f"The light falls unevenly, {words} to 1: practice asks for {most:g} to 1 at most on a"
            f" {'large' if large else 'small'} piece ({habit.sources[2].cite()}).",
        )
    return Uniformity(low, mean, high, low / mean if mean else 1.0, ratio, notes)


def illuminance_on(
    rectangle: Rectangle,
    luminaires: Sequence[Luminaire],
    columns: int,
    rows: int,
    *,
    tables: Tables = OURS,
) -> Illuminance:
    """Return the illuminance in lx on the cells of a rectangle: an array rows x columns.

    Range, errors, warnings and source: as illuminance.

    >>> from conservation.photometry.model import distribution
    >>> even = distribution([0, 180], [0], [[1000, 1000]])
    >>> lamp = Luminaire("L1", even, (500, 500, 2000))
    >>> illuminance_on(lying((0, 0, 0), 1000, 1000), [lamp], 1, 1).lux.tolist()
    [[250.0]]
    """
    points = rectangle.points_mm(columns, rows)
    found = illuminance(luminaires, points.reshape(-1, 3), rectangle.normal, tables=tables)
    return Illuminance(found.lux.reshape(rows, columns), found.near)


def is_large(rectangle: Rectangle, *, tables: Tables = OURS) -> bool:
    """Return whether a rectangle counts as large, by its longer edge in mm.

    No range, no errors. Source: table `lighting_practice`.

    >>> is_large(lying((0, 0, 0), 800, 600))
    False
    """
    return max(rectangle.width_mm, rectangle.height_mm) > practice(tables).large_from_mm
