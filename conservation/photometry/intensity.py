"""Intensities between the angles of a table: bilinear after unfolding, dark outside it.

Axes of a luminaire: `axis` is its photometric axis (nadir of kind C, the middle of kinds A and B);
`first` lies in plane 0 of kind C and is up for kinds A and B; `second` lies in plane 90, and right
is against it. Source: ANSI/IES LM-63 and LM-75 (from memory) for the kinds.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from conservation.photometry.model import FloatArray, Photometry, PhotometryError

IntArray = NDArray[np.intp]
FINEST_BINS = 7_200
STEPS_DEG = (45.0, 30.0, 22.5, 15.0, 10.0, 7.5, 5.0, 2.5, 2.0, 1.0, 0.5, 0.25, 0.2, 0.1, 0.05)


class _Axis:
    """Finds the cell between two angles fast: by a table of equal bins where the angles allow."""

    def __init__(self, angles: FloatArray) -> None:
        self.angles = angles
        self.first, self.last = float(angles[0]), float(angles[-1])
        self.widths = np.diff(angles)
        self.bins: IntArray | None = None
        self.even = bool(np.allclose(self.widths, self.widths[0], rtol=0, atol=1e-9))
        self.step = float(self.widths[0]) if self.even else 0.0
        if not self.even:
            for step in STEPS_DEG:
                at = (angles - self.first) / step
                if np.abs(at - np.round(at)).max() < 1e-9 and at[-1] < FINEST_BINS:
                    count = round(float(at[-1]))
                    middles = self.first + (np.arange(count) + 0.5) * step
                    self.bins = np.searchsorted(angles, middles).astype(np.intp) - 1
                    self.step = step
                    break

    def cells(self, values: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return the index of the cell of each value and how far through the cell it lies."""
        most = len(self.widths) - 1
        if self.step:
            count = most if self.bins is None else len(self.bins) - 1
            index = ((values - self.first) * (1 / self.step)).astype(np.intp)
            np.clip(index, 0, count, out=index)
            if self.bins is not None:
                index = self.bins.take(index)
        else:
            index = np.searchsorted(self.angles, values, side="right") - 1
            np.clip(index, 0, most, out=index)
        if self.even:
            share = (values - self.angles.take(index)) * (1 / self.step)
        else:
            share = (values - self.angles.take(index)) / self.widths.take(index)
        return index, share


class Lookup:
    """A photometry made ready for many directions."""

    def __init__(self, photometry: Photometry) -> None:
        self.kind = photometry.kind
        self.axial = photometry.symmetry == "axial"
        whole = photometry if self.axial else photometry.unfolded
        self.up = _Axis(whole.vertical_deg)
        self.around = None if self.axial else _Axis(whole.horizontal_deg)
        self.columns = len(whole.vertical_deg)
        self.flat = np.ascontiguousarray(whole.candela).ravel()

    def at(self, vertical: FloatArray, horizontal: FloatArray | None) -> FloatArray:
        """Return intensities in cd at angles in degrees; 0 outside the table."""
        cell, up = self.up.cells(vertical)
        if self.around is None or horizontal is None:
            low = self.flat.take(cell)
            found = low + up * (self.flat.take(cell + 1) - low)
        else:
            row, share = self.around.cells(horizontal)
            cell += row * self.columns
            low = self.flat.take(cell)
            near = low + up * (self.flat.take(cell + 1) - low)
            cell += self.columns
            low = self.flat.take(cell)
            far = low + up * (self.flat.take(cell + 1) - low)
            found = near + share * (far - near)
            if self.kind != "C":
                found[(horizontal < self.around.first) | (horizontal > self.around.last)] = 0.0
        if self.up.first > 0 or self.up.last < 180:
            found[(vertical < self.up.first) | (vertical > self.up.last)] = 0.0
        return found

    def toward(self, first: FloatArray, second: FloatArray, axis: FloatArray) -> FloatArray:
        """Return intensities in cd toward directions given by their parts along the axes."""
        if self.kind == "C":
            across = np.sqrt(first * first + second * second)
            vertical = np.degrees(np.arctan2(across, axis))
            if self.axial:
                return self.at(vertical, None)
            horizontal = np.degrees(np.arctan2(second, first))
            horizontal[horizontal < 0] += 360.0
            return self.at(vertical, horizontal)
        if self.kind == "B":
            level = np.sqrt(first * first + axis * axis)
            horizontal = np.degrees(np.arctan2(-second, level))
            return self.at(np.degrees(np.arctan2(first, axis)), horizontal)
        level = np.sqrt(second * second + axis * axis)
        horizontal = np.degrees(np.arctan2(-second, axis))
        return self.at(np.degrees(np.arctan2(first, level)), horizontal)


@lru_cache(maxsize=64)
def lookup(photometry: Photometry) -> Lookup:
    """Return the lookup of a photometry, made once; no range, no errors. Source: none, a cache.

    >>> from conservation.photometry.model import distribution
    >>> lookup(distribution([0, 90], [0], [[10, 0]])).axial
    True
    """
    return Lookup(photometry)


def intensity_cd(
    photometry: Photometry, vertical_deg: ArrayLike, horizontal_deg: ArrayLike = 0.0
) -> FloatArray:
    """Return intensities in cd at the table's own angles in degrees, bilinear between them.

    Kind C: horizontal angles of any turn; others: 0 outside the table. Angles that are no numbers
    raise PhotometryError. Source: ANSI/IES LM-63; bilinear interpolation is common practice.

    >>> from conservation.photometry.model import distribution
    >>> float(intensity_cd(distribution([0, 90], [0], [[100, 0]]), 45))
    50.0
    """
    up, around = np.broadcast_arrays(
        np.asarray(vertical_deg, dtype=np.float64), np.asarray(horizontal_deg, dtype=np.float64)
    )
    if not (np.isfinite(up).all() and np.isfinite(around).all()):
        raise PhotometryError("An angle is no number: give degrees.")
    if photometry.kind == "C":
        # The last plane, 360, stays itself: files may differ there from plane 0.
        around = np.where((around < 0) | (around > 360), around % 360, around)
    ready = lookup(photometry)
    flat = np.array(around, dtype=np.float64).ravel()
    return ready.at(np.array(up).ravel(), flat).reshape(up.shape)
