"""Photometries for tests: our own files, and tables from formulas."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import strategies as st

from conservation.photometry import Photometry, distribution

FILES = Path(__file__).parents[3] / "fixtures" / "reference" / "photometry"
EVEN = distribution([0, 180], [0], [[1000, 1000]])


def axial(formula, step=1.0, last=180):
    """A table of kind C, the same all around, of a formula of the vertical angle in radians."""
    up = np.linspace(0, last, round(last / step) + 1)
    return distribution(up, [0], formula(np.radians(up))[None, :])


LAMBERT = axial(lambda up: 1000 * np.maximum(np.cos(up), 0), last=90)


def angles(first: float, last: float):
    """Ascending angles from first to last, up to four between."""
    inner = st.lists(st.integers(int(first) + 1, int(last) - 1), max_size=4, unique=True).map(
        sorted
    )
    return inner.map(lambda found: [first, *map(float, found), last])


@st.composite
def photometries(draw, kind: str = "C") -> Photometry:
    """Any photometry of a kind, in any of its symmetries."""
    if kind == "C":
        up = draw(st.sampled_from([(0, 90), (90, 180), (0, 180)]).flatmap(lambda a: angles(*a)))
        spans = [(0, 90), (0, 180), (90, 270), (0, 360)]
        around = draw(st.just([0.0]) | st.sampled_from(spans).flatmap(lambda a: angles(*a)))
    else:
        up = draw(st.sampled_from([(0, 90), (-90, 90)]).flatmap(lambda a: angles(*a)))
        around = draw(st.sampled_from([(0, 90), (-90, 90)]).flatmap(lambda a: angles(*a)))
    size = len(up) * len(around)
    values = draw(st.lists(st.integers(0, 5000), min_size=size, max_size=size))
    return distribution(up, around, np.reshape(values, (len(around), len(up))), kind)
