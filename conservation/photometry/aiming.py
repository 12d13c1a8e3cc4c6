"""Where a luminaire goes and how it is aimed, so that light falls on a piece at a wanted angle.

The angle counts from upright: 30 degrees to the middle of a picture is common practice (museum
lighting guides, from memory), 25 to 35 the usual range; steeper light rakes a relief and throws
frames' shadows, flatter light is mirrored and shaded by visitors.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from conservation.photometry.luminaire import (
    FARTHEST_MM,
    pan_and_tilt_deg,
    place_mm,
)
from conservation.photometry.model import PhotometryError
from conservation.photometry.practice import practice
from conservation.ranges import in_range
from conservation.tables import OURS, Tables


@dataclass(frozen=True)
class Setback:
    """How far before a wall a luminaire hangs, and how far it then is from what it is aimed at."""

    setback_mm: float
    distance_mm: float
    incidence_deg: float
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Aim:
    """How a luminaire is turned: pan and tilt in degrees, distance in mm, and how light arrives.

    `from_upright_deg` is the angle between the light and the upright, `incidence_deg` that between
    the light and the surface's normal.
    """

    pan_deg: float
    tilt_deg: float
    distance_mm: float
    from_upright_deg: float
    incidence_deg: float
    warnings: tuple[str, ...] = ()


def setback(
    lamp_height_mm: float,
    aim_height_mm: float,
    angle_deg: float | None = None,
    *,
    tables: Tables = OURS,
) -> Setback:
    """Return how far in mm before an upright wall a luminaire goes for an angle from upright.

    Heights within 1 km, the luminaire higher than the aim, angle 1 to 89 degrees; others raise
    OutOfRangeError or PhotometryError. None takes the usual angle, and an unusual one is warned of.
    Source: geometry, (z_lamp - z_aim) tan(angle); the angles: table `lighting_practice`.

    >>> found = setback(3600, 1550, 30)
    >>> round(found.setback_mm, 1), round(found.distance_mm, 1), round(found.incidence_deg)
    (1183.6, 2367.1, 60)
    """
    lamp = in_range("The height of the luminaire", lamp_height_mm, -FARTHEST_MM, FARTHEST_MM)
    aim = in_range("The height of the aim", aim_height_mm, -FARTHEST_MM, FARTHEST_MM)
    usual = practice(tables).usual_deg if angle_deg is None else angle_deg
    angle = in_range("The angle from upright", usual, 1, 89, unit="degrees")
    if lamp <= aim:
        raise PhotometryError("The luminaire hangs no higher than its aim: give a greater height.")
    turn = math.radians(angle)
    drop = lamp - aim
    return Setback(
        drop * math.tan(turn), drop / math.cos(turn), 90 - angle, _unusual(angle, tables)
    )


def aim(
    at_mm: Sequence[float],
    target_mm: Sequence[float],
    normal: Sequence[float],
    *,
    tables: Tables = OURS,
) -> Aim:
    """Return how a luminaire at a place in mm is turned to a target on a surface with a normal.

    Places within 1 km; the same place twice, or a normal without length, raises PhotometryError.
    An angle outside 25 to 35 degrees to an upright surface, or light from behind, is warned of.
    Source: geometry; the angles are common practice, no source.

    >>> found = aim((0, 1183.6, 3600), (0, 0, 1550), (0, 1, 0))
    >>> round(found.pan_deg), round(found.tilt_deg), round(found.incidence_deg)
    (-90, 30, 60)
    """
    at, target = place_mm("The place", at_mm), place_mm("The target", target_mm)
    facing = place_mm("The normal", normal)
    length = math.hypot(*facing)
    if not length:
        raise PhotometryError("The normal has no length: give the direction that the piece faces.")
    pan, tilt = pan_and_tilt_deg(at, target)
    back = tuple(a - t for a, t in zip(at, target, strict=True))
    distance = math.hypot(*back)
    cosine = sum(b * f for b, f in zip(back, facing, strict=True)) / distance / length
    incidence = math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
    upright = abs(facing[2]) / length < 1e-6
    warnings = _unusual(tilt, tables) if upright and incidence < 90 else ()
    if incidence >= 90:
        warnings = ("The luminaire stands behind the surface: no light of it falls there.",)
    return Aim(pan, tilt, distance, tilt, incidence, warnings)


def place_before(
    target_mm: Sequence[float],
    normal: Sequence[float],
    lamp_height_mm: float,
    angle_deg: float | None = None,
    *,
    tables: Tables = OURS,
) -> tuple[float, float, float]:
    """Return the place in mm of a luminaire square before a target on an upright surface.

    Range, errors and source: as setback; a normal that is not level raises PhotometryError.

    >>> x, y, z = place_before((500, 0, 1550), (0, 1, 0), 3600)
    >>> round(x), round(y), round(z)
    (500, 1184, 3600)
    """
    x, y, z = place_mm("The target", target_mm)
    facing = place_mm("The normal", normal)
    level = math.hypot(facing[0], facing[1])
    if level == 0 or abs(facing[2]) > 1e-6 * level:
        raise PhotometryError("The surface does not stand upright: give the luminaire's place.")
    away = setback(lamp_height_mm, z, angle_deg, tables=tables).setback_mm
    return x + away * facing[0] / level, y + away * facing[1] / level, float(lamp_height_mm)


def _unusual(angle: float, tables: Tables) -> tuple[str, ...]:
    habit = practice(tables)
    low, high = habit.least_deg, habit.most_deg
    if low <= angle <= high:
        return ()
    return (
        f"The light comes at {angle:.0f} degrees from upright: {low:.0f} to {high:.0f} is usual"
        f" ({habit.sources[1].cite()}).",
    )
