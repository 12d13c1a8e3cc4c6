"""A photometry: luminous intensities over two angles, as one file or table gives them.

Kind C: the vertical angle runs from the photometric axis (0, down) to 180, the horizontal angle
counter-clockwise seen from above. Kinds A and B: both angles run from -90 to 90 about the axis, up
and to the right positive; kind A turns about an upright pole, kind B about a level one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from conservation.ranges import ConservationError, in_range

FloatArray = NDArray[np.float64]
Kind = Literal["A", "B", "C"]
Symmetry = Literal["axial", "quadrant", "about 0-180", "about 90-270", "front", "none"]
MM_OF_UNIT = {1: 304.8, 2: 1000.0}
BRIGHTEST_CD = 1e9


class PhotometryError(ConservationError):
    """A table of intensities or a place of light cannot be used; the text is a sentence."""


@dataclass(frozen=True)
class Opening:
    """The luminous opening in mm: its shape in words, and its size along the luminaire's axes."""

    shape: str = "point"
    width_mm: float = 0.0
    length_mm: float = 0.0
    height_mm: float = 0.0

    @property
    def largest_mm(self) -> float:
        """The largest luminous dimension in mm; 0 for a point."""
        return max(self.width_mm, self.length_mm, self.height_mm)


@dataclass(frozen=True)
class LampTilt:
    """How a lamp's flux changes with the tilt of its luminaire: factors over angles in degrees.

    `geometry`: 1 lamp upright, 2 lamp level and staying so, 3 lamp level and tilting along.
    """

    geometry: int
    angles_deg: tuple[float, ...]
    factors: tuple[float, ...]

    def factor(self, tilt_deg: float) -> float:
        """Return the factor at a tilt of 0 to 180 degrees, linear between the angles.

        Beyond the table its nearest value holds; others raise OutOfRangeError. Source: ANSI/IES
        LM-63, TILT=INCLUDE.

        >>> round(LampTilt(1, (0, 45, 90), (1.0, 0.9, 0.8)).factor(30), 4)
        0.9333
        """
        tilt = in_range("The tilt", tilt_deg, 0, 180, unit="degrees")
        return float(np.interp(tilt, self.angles_deg, self.factors))


@dataclass(frozen=True, eq=False)
class Photometry:
    """Luminous intensities in cd: one row a horizontal angle, one column a vertical angle.

    The candela are what the luminaire gives at full output: multipliers and lumens of the file are
    in them. `rated_lumens` is None for absolute photometry. `notes` say what was doubtful.
    """

    kind: Kind
    vertical_deg: FloatArray
    horizontal_deg: FloatArray
    candela: FloatArray
    symmetry: Symmetry = "none"
    opening: Opening = Opening()
    rated_lumens: float | None = None
    watts: float | None = None
    lamp_tilt: LampTilt | None = None
    form: str = "table"
    name: str = ""
    keywords: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()

    @cached_property
    def unfolded(self) -> Photometry:
        """The same photometry with its symmetry written out; itself where there is none."""
        return unfold(self)

    @property
    def peak_cd(self) -> float:
        """The highest intensity of the table in cd."""
        return float(self.candela.max())


def distribution(
    vertical_deg: ArrayLike,
    horizontal_deg: ArrayLike,
    candela: ArrayLike,
    kind: Kind = "C",
    *,
    opening: Opening = Opening(),
    name: str = "",
) -> Photometry:
    """Return a photometry from a table of one's own: rows by horizontal, columns by vertical angle.

    Angles in degrees, ascending; kind C: vertical within 0 to 180, horizontal 0 alone (axial), 0 to
    90, 0 to 180, 90 to 270 or 0 to 360; kinds A and B: -90 to 90, or 0 to 90 mirrored. Intensities
    0 to 1e9 cd. Others raise PhotometryError. Source: ANSI/IES LM-63.

    >>> even = distribution([0, 90, 180], [0], [[100, 100, 100]])
    >>> even.symmetry, even.peak_cd
    ('axial', 100.0)
    """
    try:
        up = np.array(vertical_deg, dtype=np.float64, ndmin=1)
        round_ = np.array(horizontal_deg, dtype=np.float64, ndmin=1)
        table = np.array(candela, dtype=np.float64, ndmin=2)
    except (TypeError, ValueError) as error:
        raise PhotometryError("The table of intensities holds what is no number.") from error
    if up.ndim != 1 or round_.ndim != 1 or table.shape != (round_.size, up.size):
        raise PhotometryError(
            f"The table is {table.shape}: it needs {round_.size} rows by horizontal angle and"
            f" {up.size} columns by vertical angle."
        )
    if not (np.isfinite(table).all() and table.min() >= 0 and table.max() <= BRIGHTEST_CD):
        raise PhotometryError("Intensities must be finite and from 0 to 1e9 cd.")
    if fault := angles_fault(kind, up, round_):
        raise PhotometryError(f"{fault[1]}: {fault[2]}.")
    for array in (up, round_, table):
        array.setflags(write=False)
    return Photometry(kind, up, round_, table, symmetry_of(kind, round_), opening, name=name)


def angles_fault(
    kind: Kind, vertical: FloatArray, horizontal: FloatArray
) -> tuple[int, str, str] | None:
    """Return what is wrong with angles in degrees (at which number, what, cure), or None.

    Source: ANSI/IES LM-63 (ranges by kind of photometry; the set 90 to 270 from memory). No errors.

    >>> angles_fault("C", np.array([0.0, 90.0]), np.array([0.0, 45.0]))[1]
    'the horizontal angles run from 0 to 45'
    """
    for first, name, angles in (
        (0, "vertical", vertical),
        (len(vertical), "horizontal", horizontal),
    ):
        if not np.isfinite(angles).all():
            return first, f"a {name} angle is no number", "give degrees"
        falls = np.flatnonzero(np.diff(angles) <= 0)
        if falls.size:
            at = int(falls[0]) + 1
            what = f"{name} angle {at + 1} is {angles[at]:g} after {angles[at - 1]:g}"
            return first + at, what, "angles must ascend"
    if vertical.size < 2:
        return 0, "there is only one vertical angle", "give at least two"
    least, most = (0, 180) if kind == "C" else (-90, 90)
    if vertical[0] < least or vertical[-1] > most:
        what = f"the vertical angles run from {vertical[0]:g} to {vertical[-1]:g}"
        return 0, what, f"kind {kind} has them from {least} to {most}"
    return _horizontal_fault(kind, horizontal, len(vertical))


def _horizontal_fault(kind: Kind, angles: FloatArray, index: int) -> tuple[int, str, str] | None:
    low, high = float(angles[0]), float(angles[-1])
    what = f"the horizontal angles run from {low:g} to {high:g}"
    if kind == "C":
        if (
            angles.size == 1
            or (low, high) in ((0, 90), (0, 180), (90, 270))
            or (low == 0 and 180 < high <= 360)
        ):
            return None
        return index, what, "kind C has 0 alone, 0 to 90, 0 to 180, 90 to 270 or 0 to 360"
    if angles.size > 1 and low >= -90 and high <= 90:
        return None
    return index, what, f"kind {kind} has at least two within -90 to 90"


def symmetry_of(kind: Kind, horizontal_deg: FloatArray) -> Symmetry:
    """Return the symmetry that a file's horizontal angles in degrees stand for.

    Angles that angles_fault accepts; no errors. Source: ANSI/IES LM-63.

    >>> symmetry_of("C", np.array([0.0, 45.0, 90.0]))
    'quadrant'
    """
    low, high = float(horizontal_deg[0]), float(horizontal_deg[-1])
    if kind != "C":
        return "front" if low == 0 else "none"
    if horizontal_deg.size == 1:
        return "axial"
    known: dict[tuple[float, float], Symmetry] = {
        (0, 90): "quadrant",
        (0, 180): "about 0-180",
        (90, 270): "about 90-270",
    }
    return known.get((low, high), "none")


def unfold(photometry: Photometry) -> Photometry:
    """Return the photometry with its symmetry written out, angles in degrees, without symmetry.

    Axial tables get the planes 0 and 360. Kinds A and B are mirrored where an angle begins at 0.
    No range and no errors beyond those of reading. Source: ANSI/IES LM-63.

    >>> unfold(distribution([0, 90], [0, 90], [[5, 1], [5, 2]])).horizontal_deg
    array([  0.,  90., 180., 270., 360.])
    """
    p = photometry
    up, around, table = p.vertical_deg, p.horizontal_deg, p.candela
    if p.kind != "C":
        if around[0] == 0:
            around, table = _mirror(around, table)
        if up[0] == 0:
            up, turned = _mirror(up, table.T)
            table = turned.T
    elif p.symmetry == "axial":
        around, table = np.array([0.0, 360.0]), np.vstack([table, table])
    else:
        if p.symmetry == "about 90-270":
            around, table = _from_zero(around, table)
        if around[-1] == 90:
            around, table = _fold_out(around, table)
        if around[-1] == 180:
            around, table = _fold_out(around, table)
        if around[-1] < 360:
            around, table = np.append(around, 360.0), np.vstack([table, table[:1]])
    if up is p.vertical_deg and around is p.horizontal_deg:
        return p
    return replace(
        p,
        vertical_deg=up,
        horizontal_deg=around,
        candela=np.ascontiguousarray(table),
        symmetry="none",
    )


def _mirror(angles: FloatArray, rows: FloatArray) -> tuple[FloatArray, FloatArray]:
    return (
        np.concatenate([-angles[:0:-1], angles]),
        np.concatenate([rows[:0:-1], rows]),
    )


def _fold_out(angles: FloatArray, rows: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mirror about the last angle."""
    return (
        np.concatenate([angles, 2 * angles[-1] - angles[-2::-1]]),
        np.concatenate([rows, rows[-2::-1]]),
    )


def _from_zero(angles: FloatArray, rows: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Turn planes 90 to 270, mirrored about the plane 90-270, into planes 0 to 360."""
    whole = np.concatenate([angles, 540 - angles[-2::-1]])  # 90 to 450
    table = np.concatenate([rows, rows[-2::-1]])
    late = whole >= 360
    if not (whole == 360).any():
        # Plane 0 is not in the table: it lies between the mirrored neighbours of plane 180.
        at = int(np.searchsorted(whole, 360.0))
        share = (360 - whole[at - 1]) / (whole[at] - whole[at - 1])
        row = (1 - share) * table[at - 1] + share * table[at]
        whole, table = np.insert(whole, at, 360.0), np.insert(table, at, row, axis=0)
        late = whole >= 360
    first = np.concatenate([whole[late] - 360, whole[(whole > 90) & (whole <= 360)]])
    return first, np.concatenate([table[late], table[(whole > 90) & (whole <= 360)]])
