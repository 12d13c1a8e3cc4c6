"""Light from a point: the formulas of the textbook, for one figure at a time."""

from __future__ import annotations

import math

from conservation.ranges import in_range

MOST_CD = 1e9
MOST_MM = 1e6
MOST_LUX = 1e7


def lux_at(candela: float, distance_mm: float, incidence_deg: float = 0.0) -> float:
    """Return the illuminance in lx at a distance in mm, at an angle to the surface's normal.

    Intensity 0 to 1e9 cd, distance 1 mm to 1 km, angle 0 to 180 degrees (0 lx from 90 on); others
    raise OutOfRangeError. Source: inverse square and cosine laws (CIE S 017).

    >>> lux_at(1000, 2000)
    250.0
    """
    light = in_range("The intensity", candela, 0, MOST_CD, unit="cd")
    metres = in_range("The distance", distance_mm, 1, MOST_MM, unit="mm") / 1000
    angle = in_range("The angle of incidence", incidence_deg, 0, 180, unit="degrees")
    if angle >= 90:
        return 0.0
    return light * math.cos(math.radians(angle)) / metres**2


def cone_sr(full_angle_deg: float) -> float:
    """Return the solid angle in sr of a cone of a full angle above 0, to 360 degrees.

    Others raise OutOfRangeError. Source: geometry, 2 pi (1 - cos(B/2)).

    >>> round(cone_sr(36), 5)
    0.30752
    """
    return 4 * math.pi * math.sin(math.radians(_full(full_angle_deg)) / 4) ** 2


def mean_cd(lumens: float, full_angle_deg: float) -> float:
    """Return the mean intensity in cd of lumens spread over a cone of a full angle in degrees.

    Lumens 0 to 1e9, angle above 0, to 360; others raise OutOfRangeError. Source: definition of
    intensity (CIE S 017).

    >>> round(mean_cd(1, 24), 3)
    7.283
    """
    return in_range("The flux", lumens, 0, MOST_CD, unit="lm") / cone_sr(full_angle_deg)


def spot_mm(distance_mm: float, full_angle_deg: float) -> float:
    """Return the diameter in mm of a cone's spot on a surface square to its axis.

    Distance 1 mm to 1 km, full angle above 0, below 180 degrees; others raise OutOfRangeError.
    Source: geometry, 2 d tan(B/2).

    >>> round(spot_mm(2000, 24))
    850
    """
    distance = in_range("The distance", distance_mm, 1, MOST_MM, unit="mm")
    angle = in_range("The angle of the cone", full_angle_deg, 0.01, 179.9, unit="degrees")
    return 2 * distance * math.tan(math.radians(angle) / 2)


def dimming_for(lux: float, target_lux: float) -> float:
    """Return the dimming, 0 to 1, that brings a level in lx to a target; 1 where it is below.

    Level above 0, to 1e7 lx, target 0 to 1e7 lx; others raise OutOfRangeError. Source: light is
    proportional to output.

    >>> round(dimming_for(89.23, 50), 4)
    0.5603
    """
    level = in_range("The level", lux, 1e-9, MOST_LUX, unit="lx")
    return min(1.0, in_range("The target", target_lux, 0, MOST_LUX, unit="lx") / level)


def luminance_cd_m2(lux: float, reflectance: float) -> float:
    """Return the luminance in cd/m² of a matt surface under a level in lx.

    Level 0 to 1e7 lx, reflectance 0 to 1; others raise OutOfRangeError. Source: CIE S 017, L = rho
    E / pi for a perfectly matt surface.

    >>> round(luminance_cd_m2(50, 0.8), 1)
    12.7
    """
    level = in_range("The level", lux, 0, MOST_LUX, unit="lx")
    return in_range("The reflectance", reflectance, 0, 1) * level / math.pi


def _full(full_angle_deg: float) -> float:
    return in_range("The angle of the cone", full_angle_deg, 0.01, 360, unit="degrees")
