"""Bounds that cost little, for rows of any length and near pairs however few.

Each is a number of mm that the sum over near pairs of weight times distance reaches or exceeds.
"""

from __future__ import annotations

import numpy as np

from layouts.related.row import Row


def by_stars_mm(row: Row) -> float:
    """Return a bound from each piece's own near pairs.

    Two of its partners may stand beside it, the next two have a piece between at least, and so on:
    the heaviest pairs get the nearest places, and what stands between is as short as pieces are.
    """
    count = len(row.lengths)
    shortest = np.concatenate([[0], np.cumsum(np.sort(row.lengths))])
    between = shortest[np.arange(count) // 2]
    heaviest_first = -np.sort(-row.weights, axis=1)
    halves = (row.weights * (row.lengths[:, None] + row.lengths[None, :])).sum() / 4
    return float(halves + (heaviest_first * between).sum() / 2)


def by_spectrum_mm(row: Row) -> float:
    """Return a bound from how hard the row is to cut in two anywhere.

    Were the row cut where lengths m and M - m lie on both sides, near pairs of weight
    e m (M - m) / M at least would be cut, e being the second eigenvalue of the weights' Laplacian
    against the lengths. A piece is passed by half of what a cut at its left and one at its right
    would part, so that the sum is e (M^2 - sum of l^3 / M) / 6, whatever the order.

    Source: M. Juvan and B. Mohar, Optimal linear labelings and eigenvalues of graphs, Discrete
    Applied Mathematics 36 (1992) 153-168, for equal lengths (from memory); with lengths as masses
    it is our extension.
    """
    lengths = row.lengths.astype(np.float64)
    if len(lengths) < 2 or lengths.min() <= 0:
        return 0.0
    laplacian = np.diag(row.weights.sum(axis=1)) - row.weights
    root = np.sqrt(lengths)
    values = np.linalg.eigvalsh(laplacian / root[:, None] / root[None, :])
    whole = lengths.sum()
    second = max(0.0, float(values[1]) - 1e-9 * float(values[-1]))
    return second * float(whole**2 - (lengths**3).sum() / whole) / 6
