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
        widths = np.diff(angles)
        self.narrow = 1 / widths
        self.bins: IntArray | None = None
        ideal = np.linspace(self.first, self.last, len(angles))
        self.even = bool(np.abs(angles - ideal).max() < 1e-9)
        self.step = float(self.last - self.first) / len(widths) if self.even else 0.0
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
        most = len(self.narrow) - 1
        if self.even:
            share = values - self.first if self.first else values.copy()
            share *= 1 / self.step
            index = share.astype(np.intp)
            np.clip(index, 0, most, out=index)
            share -= index
            return index, share
        if self.bins is not None:
            index = ((values - self.first) * (1 / self.step)).astype(np.intp)
            np.clip(index, 0, len(self.bins) - 1, out=index)
            index = self.bins.take(index)
        else:
            index = np.searchsorted(self.angles, values, side="right") - 1
            np.clip(index, 0, most, out=index)
        share = values - self.angles.take(index)
        share *= self.narrow.take(index)
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
        self.rise = np.diff(self.flat, append=0.0)

    def at(self, vertical: FloatArray, horizontal: FloatArray | None) -> FloatArray:
        """Return intensities in cd at angles in degrees; 0 outside the table."""
        cell, up = self.up.cells(vertical)
        if self.around is None or horizontal is None:
            found = self._between(cell, up)
        else:
            row, share = self.around.cells(horizontal)
            cell += row * self.columns
            found = self._between(cell, up)
            cell += self.columns
            far = self._between(cell, up)
            far -= found
            far *= share
            found += far
            if self.kind != "C":
                found[(horizontal < self.around.first) | (horizontal > self.around.last)] = 0.0
        if self.up.first > 0 or self.up.last < 180:
            found[(vertical < self.up.first) | (vertical > self.up.last)] = 0.0
        return found

    def _between(self, cell: IntArray, share: FloatArray) -> FloatArray:
        found = self.rise.take(cell)
        found *= share
        found += self.flat.take(cell)
        return found

    def toward(self, first: FloatArray, second: FloatArray, axis: FloatArray) -> FloatArray:
        """Return intensities in cd toward directions given by their parts along the axes."""
        if self.kind == "C":
            across = np.sqrt(first * first + second * second)
            vertical = _degrees(across, axis)
            if self.axial:
                return self.at(vertical, None)
            horizontal = _degrees(second, first)
            horizontal += 360.0 * (horizontal < 0)
            return self.at(vertical, horizontal)
        if self.kind == "B":
            level = np.sqrt(first * first + axis * axis)
            return self.at(_degrees(first, axis), _degrees(-second, level))
        level = np.sqrt(second * second + axis * axis)
        return self.at(_degrees(first, level), _degrees(-second, axis))


def _degrees(opposite: FloatArray, adjacent: FloatArray) -> FloatArray:
    angle: FloatArray = np.arctan2(opposite, adjacent)
    angle *= 180 / np.pi
    return angle


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
