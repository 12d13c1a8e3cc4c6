"""Luminous flux of a table, and its beam and field angles.

Two rules of flux are given, since coarse tables differ by some per cent between rules: `zonal`
takes the mean of a cell's corners times the cell's solid angle (the usual zonal sum); `linear`
integrates the interpolation between the vertical angles exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from conservation.photometry.intensity import intensity_cd
from conservation.photometry.model import FloatArray, Photometry, PhotometryError
from conservation.ranges import in_range

Rule = Literal["zonal", "linear"]
Plane = float | Literal["horizontal", "vertical"]
BEAM, FIELD = 0.5, 0.1


def flux_lm(photometry: Photometry, *, rule: Rule = "zonal") -> float:
    """Return the luminous flux in lm that a table of intensities gives.

    Any photometry; another rule raises PhotometryError. Source: definition of flux as the integral
    of intensity over solid angle (CIE S 017); the zonal sum is the usual one of goniophotometry.

    >>> from conservation.photometry.model import distribution
    >>> round(flux_lm(distribution([0, 90, 180], [0], [[100, 100, 100]])), 3)
    1256.637
    """
    if rule not in ("zonal", "linear"):
        raise PhotometryError(f"The rule is {rule!r}: give zonal or linear.")
    up, around = np.radians(photometry.vertical_deg), np.radians(photometry.horizontal_deg)
    if photometry.kind == "C":
        return float(_weights(up, rule) @ _mean_over(around, photometry.candela)) * 2 * np.pi
    # Angles of latitude become angles from a pole, so that one rule serves all kinds.
    pole, turn = (around, up) if photometry.kind == "B" else (up, around)
    table = photometry.candela if photometry.kind == "B" else photometry.candela.T
    once = _weights(pole + np.pi / 2, rule) @ (table @ _trapezoid(turn))
    return float(once * (2 if pole[0] == 0 else 1) * (2 if turn[0] == 0 else 1))


def _trapezoid(angles: FloatArray) -> FloatArray:
    half = np.diff(angles) / 2
    weights = np.zeros_like(angles)
    weights[:-1] += half
    weights[1:] += half
    return weights


def _mean_over(around: FloatArray, candela: FloatArray) -> FloatArray:
    if around.size == 1:
        only: FloatArray = candela[0]
        return only
    if np.degrees(around[-1]) > 180 and around[0] == 0 and np.degrees(around[-1]) < 360 - 1e-9:
        around = np.append(around, 2 * np.pi)
        candela = np.vstack([candela, candela[:1]])
    mean: FloatArray = _trapezoid(around) @ candela / (around[-1] - around[0])
    return mean


def _weights(up: FloatArray, rule: Rule) -> FloatArray:
    """Return for each angle from the pole, in radians, what its intensity weighs."""
    near, far = up[:-1], up[1:]
    zone = np.cos(near) - np.cos(far)
    if rule == "zonal":
        share = zone / 2
    else:
        moment = (np.sin(far) - far * np.cos(far)) - (np.sin(near) - near * np.cos(near))
        share = (moment - near * zone) / (far - near)
    weights = np.zeros_like(up)
    weights[:-1] += zone - share
    weights[1:] += share
    return weights


@dataclass(frozen=True)
class Spread:
    """A full angle in degrees within which a plane keeps a share of its highest intensity.

    Angles of a plane run through the photometric axis (0): `from_deg` to `to_deg`, with the peak
    between. `notes` say what is doubtful, such as an edge of the table.
    """

    angle_deg: float
    from_deg: float
    to_deg: float
    peak_cd: float
    peak_deg: float
    notes: tuple[str, ...] = ()


def beam_angle(photometry: Photometry, plane: Plane = 0.0) -> Spread:
    """Return the full angle in degrees at 50 % of the plane's highest intensity.

    Plane: a horizontal angle 0 to 360 for kind C, "horizontal" or "vertical" for kinds A and B;
    others, or a plane without light, raise OutOfRangeError or PhotometryError. Source: CIE S 017
    (beam angle), IES (field angle); the peak is that of the plane.

    >>> from conservation.photometry.model import distribution
    >>> beam_angle(distribution([0, 10, 20, 90], [0], [[1000, 750, 250, 0]])).angle_deg
    30.0
    """
    return spread(photometry, BEAM, plane)


def field_angle(photometry: Photometry, plane: Plane = 0.0) -> Spread:
    """Return the full angle in degrees at 10 % of the plane's highest intensity.

    Range, errors and source: as beam_angle.

    >>> from conservation.photometry.model import distribution
    >>> field_angle(distribution([0, 20, 90], [0], [[1000, 100, 0]])).angle_deg
    40.0
    """
    return spread(photometry, FIELD, plane)


def spread(photometry: Photometry, share: float, plane: Plane = 0.0) -> Spread:
    """Return the full angle in degrees at a share (above 0, below 1) of the plane's peak.

    Other range, errors and source: as beam_angle.

    >>> from conservation.photometry.model import distribution
    >>> round(spread(distribution([0, 20], [0], [[1000, 0]]), 0.25).angle_deg, 6)
    30.0
    """
    level = in_range("The share", share, 1e-6, 1 - 1e-6)
    angles, candela = _profile(photometry, plane)
    top = candela.max()
    if top <= 0:
        raise PhotometryError("There is no light in this plane: choose another.")
    peaks = np.flatnonzero(candela == top)
    peak = int(peaks[np.argmin(np.abs(angles[peaks]))])
    low, at_low = _crossing(angles[peak::-1], candela[peak::-1], level * top)
    high, at_high = _crossing(angles[peak:], candela[peak:], level * top)
    notes = []
    if angles[peak] != 0:
        notes.append(f"The peak lies {angles[peak]:g} degrees off the photometric axis.")
    if at_low or at_high:
        notes.append("The table ends before the intensity falls to this share.")
    return Spread(high - low, low, high, float(top), float(angles[peak]), tuple(notes))


def _crossing(angles: FloatArray, candela: FloatArray, level: float) -> tuple[float, bool]:
    """Return where the intensity first falls below a level, outwards, and whether it never does."""
    below = np.flatnonzero(candela < level)
    if not below.size:
        return float(angles[-1]), True
    at = int(below[0])
    part = (candela[at - 1] - level) / (candela[at - 1] - candela[at])
    return float(angles[at - 1] + part * (angles[at] - angles[at - 1])), False


def _profile(photometry: Photometry, plane: Plane) -> tuple[FloatArray, FloatArray]:
    """Return the angles through the photometric axis in a plane, and the intensities there."""
    whole = photometry.unfolded
    if photometry.kind == "C":
        if isinstance(plane, str):
            raise PhotometryError("Kind C has planes by number: give a horizontal angle, 0 to 360.")
        turn = in_range("The plane", plane, 0, 360, unit="degrees")
        up = whole.vertical_deg
        ahead = intensity_cd(photometry, up, turn)
        behind = intensity_cd(photometry, up, (turn + 180) % 360)
        first = 1 if up[0] == 0 else 0
        return (
            np.concatenate([-up[first:][::-1], up]),
            np.concatenate([behind[first:][::-1], ahead]),
        )
    if plane == "horizontal":
        return whole.horizontal_deg, intensity_cd(photometry, 0.0, whole.horizontal_deg)
    if plane == "vertical":
        return whole.vertical_deg, intensity_cd(photometry, whole.vertical_deg, 0.0)
    raise PhotometryError("Kinds A and B have two planes: give horizontal or vertical.")
