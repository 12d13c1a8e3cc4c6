"""A luminaire at a place: aimed, spun about its axis, dimmed and aged.

Places in mm, x and y level, z up. `pan_deg` turns the aim counter-clockwise seen from above, from
x; `tilt_deg` lifts it from straight down (0) through level (90) to straight up (180); `spin_deg`
turns the luminaire about its axis, from plane 0 to plane 90. At spin 0 plane 0 lies in the upright
plane of the aim, on its upper side. This is a choice of this package, no standard.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from conservation.photometry.model import FloatArray, Photometry, PhotometryError
from conservation.ranges import in_range

FARTHEST_MM = 1e6
Place = tuple[float, float, float]


@dataclass(frozen=True)
class Luminaire:
    """A luminaire at a place in mm, with angles in degrees.

    `dimming` 0 to 1 scales its output; `maintenance` above 0, to 1, is what age and dirt leave of
    it. Values outside raise OutOfRangeError.
    """

    id: str
    photometry: Photometry
    at_mm: Place
    pan_deg: float = 0.0
    tilt_deg: float = 0.0
    spin_deg: float = 0.0
    dimming: float = 1.0
    maintenance: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what lies outside."""
        place_mm(f"The place of {self.id}", self.at_mm)
        in_range(f"The pan of {self.id}", self.pan_deg, -360, 360, unit="degrees")
        in_range(f"The tilt of {self.id}", self.tilt_deg, 0, 180, unit="degrees")
        in_range(f"The spin of {self.id}", self.spin_deg, -360, 360, unit="degrees")
        in_range(f"The dimming of {self.id}", self.dimming, 0, 1)
        in_range(f"The maintenance factor of {self.id}", self.maintenance, 1e-6, 1)

    @property
    def axes(self) -> FloatArray:
        """Three unit rows: toward plane 0, toward plane 90, along the photometric axis."""
        pan, tilt, spin = (math.radians(a) for a in (self.pan_deg, self.tilt_deg, self.spin_deg))
        first = np.array(
            (math.cos(tilt) * math.cos(pan), math.cos(tilt) * math.sin(pan), math.sin(tilt))
        )
        second = np.array((-math.sin(pan), math.cos(pan), 0.0))
        axis = np.array(
            (math.sin(tilt) * math.cos(pan), math.sin(tilt) * math.sin(pan), -math.cos(tilt))
        )
        return np.stack(
            (
                math.cos(spin) * first + math.sin(spin) * second,
                math.cos(spin) * second - math.sin(spin) * first,
                axis,
            )
        )

    @property
    def factor(self) -> float:
        """What dimming, maintenance and the lamp's tilt make of the intensities.

        The tilt counts from straight down for kind C and from level for kinds A and B.
        """
        whole = self.dimming * self.maintenance
        if self.photometry.lamp_tilt is None:
            return whole
        tilt = self.tilt_deg if self.photometry.kind == "C" else abs(self.tilt_deg - 90)
        return whole * self.photometry.lamp_tilt.factor(tilt)


def aimed(
    id: str,
    photometry: Photometry,
    at_mm: Sequence[float],
    target_mm: Sequence[float],
    *,
    spin_deg: float = 0.0,
    dimming: float = 1.0,
    maintenance: float = 1.0,
) -> Luminaire:
    """Return a luminaire at a place in mm whose axis goes through a target in mm.

    Places within 1 km; a target at the luminaire's own place raises PhotometryError, other values
    outside raise OutOfRangeError. Source: geometry.

    >>> from conservation.photometry.model import distribution
    >>> lamp = distribution([0, 90], [0], [[1000, 0]])
    >>> one = aimed("L1", lamp, (0, 0, 3000), (1000, 0, 2000))
    >>> round(one.pan_deg, 6), round(one.tilt_deg, 6)
    (0.0, 45.0)
    """
    at, target = place_mm(f"The place of {id}", at_mm), place_mm(f"The target of {id}", target_mm)
    pan, tilt = pan_and_tilt_deg(at, target)
    return Luminaire(id, photometry, at, pan, tilt, spin_deg, dimming, maintenance)


def pan_and_tilt_deg(at_mm: Sequence[float], target_mm: Sequence[float]) -> tuple[float, float]:
    """Return pan (from x, counter-clockwise) and tilt (from straight down), in degrees.

    Places in mm within 1 km; the same place twice raises PhotometryError. Source: geometry.

    >>> pan_and_tilt_deg((0, 0, 2000), (0, 500, 2000))
    (90.0, 90.0)
    """
    at, target = place_mm("The place", at_mm), place_mm("The target", target_mm)
    x, y, z = (t - a for t, a in zip(target, at, strict=True))
    if not (x or y or z):
        raise PhotometryError("The target is the luminaire's own place: give another target.")
    level = math.hypot(x, y)
    pan = math.degrees(math.atan2(y, x)) if level else 0.0
    return pan, math.degrees(math.atan2(level, -z))


def place_mm(name: str, place: Sequence[float]) -> Place:
    """Return a place as three numbers in mm within 1 km; others raise OutOfRangeError.

    Source: none, a check of input.

    >>> place_mm("The place", [1, 2, 3])
    (1.0, 2.0, 3.0)
    """
    try:
        x, y, z = place
    except (TypeError, ValueError) as error:
        raise PhotometryError(f"{name} needs three numbers in mm: x, y and z.") from error
    return (
        in_range(name, x, -FARTHEST_MM, FARTHEST_MM, unit="mm"),
        in_range(name, y, -FARTHEST_MM, FARTHEST_MM, unit="mm"),
        in_range(name, z, -FARTHEST_MM, FARTHEST_MM, unit="mm"),
    )
