"""Rectangles on walls and tables, and how even light is."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation.photometry import (
    Luminaire,
    illuminance,
    illuminance_on,
    lying,
    uniformity,
    upright,
)
from conservation.photometry.model import PhotometryError
from conservation.photometry.surfaces import is_large
from conservation.ranges import OutOfRangeError
from tests.conservation.photometry.lamps import EVEN, LAMBERT


def test_a_wall_seen_from_the_room():
    """Facing y: as one faces it, its right is -x."""
    wall = upright((1000, 0, 500), 800, 600, 90)
    assert np.allclose(wall.normal, (0, 1, 0))
    assert np.allclose(wall.middle_mm, (600, 0, 800))
    points = wall.points_mm(2, 3)
    assert points.shape == (3, 2, 3)
    assert np.allclose(points[0, 0], (800, 0, 600))
    assert np.allclose(points[2, 1], (400, 0, 1000))


def test_a_table_turned():
    table = lying((0, 0, 900), 800, 600, 90)
    assert np.allclose(table.normal, (0, 0, 1))
    assert np.allclose(table.middle_mm, (-300, 400, 900))
    assert table.cells(100) == (8, 6)
    assert table.cells(250) == (4, 3)


@given(st.floats(-180, 180), st.integers(1, 7), st.integers(1, 7))
def test_a_surface_is_its_points(facing, columns, rows):
    wall = upright((0, 0, 1000), 1200, 900, facing)
    turn = math.radians(facing)
    at = (2000 * math.cos(turn), 2000 * math.sin(turn), 2600)
    lamp = Luminaire("L", LAMBERT, at, facing + 180 if facing < 180 else 0, 40)
    found = illuminance_on(wall, [lamp], columns, rows).lux
    assert found.shape == (rows, columns)
    for row, column in ((0, 0), (rows - 1, columns - 1)):
        point = wall.points_mm(columns, rows)[row, column]
        one = illuminance([lamp], [point], wall.normal).lux[0]
        assert found[row, column] == pytest.approx(one, rel=1e-12)


def test_the_flux_that_falls_on_a_far_disc():
    """Mean level times area is flux: 1000 cd over a small solid angle, by geometry."""
    plate = lying((-500, -500, 0), 1000, 1000)
    found = illuminance_on(plate, [Luminaire("L", EVEN, (0, 0, 1000))], 200, 200).lux
    # A square seen from above its middle at half its edge: 4 asin(a²/(a²+h²)), a = 0.5, h = 1.
    sr = 4 * math.asin(0.25 / (1 + 0.25))
    assert found.mean() == pytest.approx(1000 * sr, rel=1e-5)


def test_uniformity_of_levels():
    found = uniformity([[20, 40], [60, 80]])
    assert (found.min_lux, found.mean_lux, found.max_lux) == (20, 50, 80)
    assert (found.min_to_mean, found.max_to_min) == (0.4, 4)
    assert "3 to 1" in found.notes[0]
    assert uniformity([20, 80], large=True).notes == ()
    assert uniformity([0, 0]).max_to_min == 1
    assert uniformity([0, 5]).max_to_min == math.inf
    assert is_large(upright((0, 0, 0), 1200, 600, 0))


@pytest.mark.parametrize("levels", [[], [-1], [math.nan], [math.inf]])
def test_levels_that_are_none(levels):
    with pytest.raises(PhotometryError):
        uniformity(levels)


def test_rectangles_outside_their_range():
    with pytest.raises(OutOfRangeError):
        upright((0, 0, 0), 0, 600, 0)
    with pytest.raises(OutOfRangeError):
        lying((0, 0, math.nan), 100, 600)
    with pytest.raises(PhotometryError, match="cells"):
        lying((0, 0, 0), 100, 600).points_mm(5000, 5000)
