"""Worked figures of point sources; computed by hand from the inverse square and cosine laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation.photometry import (
    aim,
    cone_sr,
    dimming_for,
    luminance_cd_m2,
    lux_at,
    mean_cd,
    place_before,
    practice,
    setback,
    spot_mm,
)
from conservation.photometry.model import PhotometryError
from conservation.ranges import OutOfRangeError
from conservation.tables import Tables


@pytest.mark.parametrize(
    ("candela", "distance", "incidence", "lux"),
    [(1000, 2000, 0, 250), (1000, 2000, 60, 125), (1000, 3000, 0, 111.11), (1000, 2000, 90, 0)],
)
def test_a_point_source(candela, distance, incidence, lux):
    assert lux_at(candela, distance, incidence) == pytest.approx(lux, abs=0.0051)


@pytest.mark.parametrize(
    ("angle", "sr", "candela", "spot"),
    [
        (10, 0.02391, 41.83, 350),
        (24, 0.13730, 7.283, 850),
        (36, 0.30752, 3.252, 1300),
        (60, 0.84179, 1.188, 2309),
    ],
)
def test_cones(angle, sr, candela, spot):
    assert cone_sr(angle) == pytest.approx(sr, abs=5.1e-6)
    assert mean_cd(1, angle) == pytest.approx(candela, rel=2e-4)
    assert spot_mm(2000, angle) == pytest.approx(spot, abs=0.51)


def test_a_whole_sphere_is_four_pi():
    assert cone_sr(360) == pytest.approx(4 * math.pi, rel=1e-15)


def test_a_picture_lit_at_thirty_degrees():
    """Lamp at 3.60 m, aim at 1.55 m, 1000 cd."""
    found = setback(3600, 1550, 30)
    assert found.setback_mm == pytest.approx(1183.6, abs=0.051)
    assert found.distance_mm == pytest.approx(2367.1, abs=0.051)
    assert found.incidence_deg == 60
    level = lux_at(1000, found.distance_mm, found.incidence_deg)
    assert level == pytest.approx(89.23, abs=0.0051)
    assert dimming_for(level, 50) == pytest.approx(0.5603, abs=5.1e-5)
    assert dimming_for(40, 50) == 1
    assert found.warnings == ()


def test_paper_in_a_dim_room():
    assert luminance_cd_m2(50, 0.8) == pytest.approx(12.7, abs=0.051)


@given(st.floats(26, 34), st.floats(0, 359), st.floats(2000, 5000))
def test_placing_and_aiming_agree(angle, facing, height):
    normal = (math.cos(math.radians(facing)), math.sin(math.radians(facing)), 0.0)
    at = place_before((300, -200, 1500), normal, height, angle)
    found = aim(at, (300, -200, 1500), normal)
    assert found.tilt_deg == pytest.approx(angle, abs=1e-9)
    assert found.incidence_deg == pytest.approx(90 - angle, abs=1e-9)
    assert np.cos(np.radians(found.pan_deg - facing)) == pytest.approx(-1, abs=1e-9)
    assert found.distance_mm == pytest.approx(setback(height, 1500, angle).distance_mm)
    assert found.warnings == ()


def test_unusual_angles_and_light_from_behind_are_said():
    assert "15 degrees" in setback(3600, 1550, 15).warnings[0]
    assert "behind" in aim((0, -1000, 3000), (0, 0, 1500), (0, 1, 0)).warnings[0]
    assert aim((0, 100, 3000), (0, 0, 0), (0, 0, 1)).warnings == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: lux_at(-1, 2000),
        lambda: lux_at(1000, 0),
        lambda: lux_at(float("nan"), 2000),
        lambda: lux_at(1000, 2000, 181),
        lambda: cone_sr(0),
        lambda: spot_mm(2000, 180),
        lambda: dimming_for(0, 50),
        lambda: luminance_cd_m2(50, 1.1),
        lambda: setback(3600, 1550, 90),
        lambda: setback("high", 1550),
    ],
)
def test_what_lies_outside_is_refused(call):
    with pytest.raises(OutOfRangeError):
        call()


def test_places_that_make_no_sense_are_refused():
    with pytest.raises(PhotometryError, match="no higher"):
        setback(1500, 1550)
    with pytest.raises(PhotometryError, match="own place"):
        aim((0, 0, 0), (0, 0, 0), (0, 1, 0))
    with pytest.raises(PhotometryError, match="no length"):
        aim((0, 0, 1), (0, 0, 0), (0, 0, 0))
    with pytest.raises(PhotometryError, match="upright"):
        place_before((0, 0, 0), (0, 0, 1), 3000)
    with pytest.raises(PhotometryError, match="three numbers"):
        aim((0, 0), (0, 0, 0), (0, 1, 0))


def test_a_museum_replaces_the_habits_of_practice(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        """
table = "lighting_practice"

[sources.house]
body = "Marrowby Museum"
title = "Light"
year = 2026
edition = "House rules 2026"
status = "house rule"

[[rows]]
id = "aiming"
source = "house"
usual_deg = 20
least_deg = 10
most_deg = 22

[[rows]]
id = "far_field"
source = "house"
least_ratio = 10
"""
    )
    tables = Tables.with_own([own])
    assert setback(3600, 1550, tables=tables).incidence_deg == 70
    (words,) = setback(3600, 1550, 30, tables=tables).warnings
    assert "10 to 22 is usual (House rules 2026" in words
    assert practice(tables).far_field_ratio == 10
    assert setback(3600, 1550, 30).warnings == ()
