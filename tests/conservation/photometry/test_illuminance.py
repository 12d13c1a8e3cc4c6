"""Illuminance, flux and angles: exact cases, and what must hold whatever the photometry."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation.photometry import (
    Luminaire,
    Opening,
    aimed,
    beam_angle,
    contributions,
    distribution,
    field_angle,
    flux_lm,
    illuminance,
    intensity_cd,
    lux_at,
    read_lm63,
    spread,
    unfold,
)
from conservation.photometry.intensity import lookup
from conservation.photometry.model import LampTilt, PhotometryError
from conservation.ranges import OutOfRangeError
from tests.conservation.photometry.lamps import EVEN, FILES, LAMBERT, axial, photometries

FLOOR = (0, 0, 1)
TURN = st.floats(-180, 180)


def test_isotropic_inverse_square_and_cosine():
    """E = I cos(i) / d², exact: to 1e-9."""
    rng = np.random.default_rng(3)
    points, normals = rng.normal(size=(2, 3000, 3)) * [[[1000]], [[1]]]
    normals[0] = (0, 0, 5)
    lamp = Luminaire("L", EVEN, (100, -300, 2500), pan_deg=30, tilt_deg=70, spin_deg=11)
    away = np.array(lamp.at_mm) - points
    d = np.linalg.norm(away, axis=1) / 1000
    cosine = (away * normals).sum(axis=1) / 1000 / d / np.linalg.norm(normals, axis=1)
    want = 1000 * np.maximum(cosine, 0) / d**2
    assert np.allclose(illuminance([lamp], points, normals).lux, want, rtol=1e-9, atol=1e-9)


@given(st.floats(0, 80), st.floats(500, 5000), TURN)
def test_a_lamp_over_a_floor_and_before_a_wall(angle, height, around):
    """E_h = I cos³(a) / h² and E_v = I sin(a) cos²(a) / h²; the textbook's forms."""
    a, turn = math.radians(angle), math.radians(around)
    reach = height * math.tan(a)
    point = [reach * math.cos(turn), reach * math.sin(turn), 0]
    toward = (-math.cos(turn), -math.sin(turn), 0)
    lamp = Luminaire("L", EVEN, (0, 0, height))
    level, wall = (float(illuminance([lamp], [point], n).lux[0]) for n in (FLOOR, toward))
    metres = height / 1000
    assert level == pytest.approx(1000 * math.cos(a) ** 3 / metres**2, rel=1e-9)
    want = 1000 * math.sin(a) * math.cos(a) ** 2 / metres**2
    assert wall == pytest.approx(want, rel=1e-9, abs=1e-9)


def test_lambert_at_the_angles_of_its_table():
    """E_h = I0 cos⁴(a) / h², exact at the table's angles: to 1e-9."""
    a = np.radians(np.arange(0, 80))
    points = np.column_stack([2000 * np.tan(a), np.zeros_like(a), np.zeros_like(a)])
    found = illuminance([Luminaire("L", LAMBERT, (0, 0, 2000))], points, FLOOR).lux
    assert np.allclose(found, 250 * np.cos(a) ** 4, rtol=1e-9)


def test_the_spot_over_a_table():
    """Worked by hand: 2000 / 4, and 1150 cos³(15) / 4."""
    spot = Luminaire("L", read_lm63(FILES / "spot.ies"), (0, 0, 2000))
    points = [[0, 0, 0], [2000 * math.tan(math.radians(15)), 0, 0]]
    found = illuminance([spot], points, FLOOR).lux
    assert found.tolist() == pytest.approx([500, 259.1], abs=0.051)


def test_flux_of_exact_cases():
    """4 pi I and pi I0 by the zonal sum; by exact integration of the table for one degree."""
    assert flux_lm(EVEN) == pytest.approx(4000 * math.pi, rel=1e-12)
    assert flux_lm(LAMBERT) == pytest.approx(1000 * math.pi, rel=1e-12)
    for step, want in ((10, 3133.593), (5, 3139.597), (2.5, 3141.094)):
        coarse = axial(lambda up: 1000 * np.maximum(np.cos(up), 0), step=step, last=90)
        assert flux_lm(coarse) == pytest.approx(math.pi * 1000, rel=1e-12)
        assert flux_lm(coarse, rule="linear") == pytest.approx(want, abs=5.1e-4)


@pytest.mark.parametrize("kind", ["A", "B"])
def test_flux_of_kinds_a_and_b(kind):
    """5000 cos(v) cos(h) is Lambert about the axis: pi I0; even light fills half the sphere."""
    v = np.arange(-90, 91.0)
    table = 5000 * np.outer(np.cos(np.radians(v)), np.cos(np.radians(v)))
    assert flux_lm(distribution(v, v, table, kind)) == pytest.approx(5000 * math.pi, rel=2e-4)
    even = distribution([-90, 0, 90], [-90, 90], np.full((2, 3), 100.0), kind)
    assert flux_lm(even) == pytest.approx(200 * math.pi, rel=1e-12)
    assert flux_lm(even, rule="linear") == pytest.approx(200 * math.pi, rel=1e-12)


@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_where_the_angles_of_each_kind_lie(kind):
    """By hand: level aim along x, z up; right of it is -y.

    Kind A turns about the upright pole, kind B about the level one, kind C about the axis.
    """
    v, h = math.radians(20), math.radians(35)
    up_right = {
        "A": (math.cos(v) * math.cos(h), -math.cos(v) * math.sin(h), math.sin(v)),
        "B": (math.cos(v) * math.cos(h), -math.sin(h), math.sin(v) * math.cos(h)),
        "C": (math.cos(v), math.sin(v) * math.sin(h), math.sin(v) * math.cos(h)),
    }[kind]
    whole = np.arange(0, 181, 5.0) if kind == "C" else np.arange(-90, 91, 5.0)
    around = np.arange(0, 361, 5.0) if kind == "C" else whole
    table = np.zeros((len(around), len(whole)))
    table[np.flatnonzero(around == 35)[0], np.flatnonzero(whole == 20)[0]] = 900
    lamp = Luminaire("L", distribution(whole, around, table, kind), (0, 0, 0), tilt_deg=90)
    point = np.array([up_right]) * 3000
    assert float(illuminance([lamp], point, -point[0]).lux[0]) == pytest.approx(100, rel=1e-9)


def test_plane_zero_turns_with_the_luminaire():
    """Down-aimed: plane 0 toward x, counter-clockwise from above; spin and pan both turn it."""
    table = distribution([0, 90], [0, 90, 180, 270, 360], [[8, 8], [4, 4], [2, 2], [1, 1], [8, 8]])
    east, north = [[1000, 0, -1000]], [[0, 1000, -1000]]

    def level(point, **turned):
        lamp = Luminaire("L", table, (0, 0, 0), **turned)
        return float(illuminance([lamp], point, FLOOR).lux[0] * 2**1.5)

    assert level(east) == pytest.approx(8)
    assert level(north) == pytest.approx(4)
    assert level(north, spin_deg=90) == pytest.approx(8)
    assert level(north, pan_deg=90) == pytest.approx(8)
    assert level(east, spin_deg=90) == pytest.approx(1)


@given(photometries() | photometries("A") | photometries("B"))
def test_unfolding_changes_neither_flux_nor_intensity(photometry):
    whole = unfold(photometry)
    for rule in ("zonal", "linear"):
        want = flux_lm(photometry, rule=rule)
        assert flux_lm(whole, rule=rule) == pytest.approx(want, rel=1e-12, abs=1e-9)
    assert unfold(whole) is whole
    up, around = np.meshgrid(photometry.vertical_deg, photometry.horizontal_deg)
    assert np.allclose(intensity_cd(photometry, up, around), photometry.candela, atol=1e-9)
    if photometry.kind != "C":
        if photometry.horizontal_deg[0] == 0:
            assert np.allclose(intensity_cd(photometry, up, -around), photometry.candela)
        if photometry.vertical_deg[0] == 0:
            assert np.allclose(intensity_cd(photometry, -up, around), photometry.candela)
        return
    image = {"quadrant": 360 - around, "about 0-180": -around, "about 90-270": 180 - around}
    if photometry.symmetry in image:
        turned = intensity_cd(photometry, up, image[photometry.symmetry])
        assert np.allclose(turned, photometry.candela, atol=1e-9)


@given(photometries(), st.integers(0, 30))
def test_an_axial_luminaire_may_turn_about_its_axis(photometry, seed):
    rng = np.random.default_rng(seed)
    points, normals = rng.normal(size=(2, 40, 3)) * [[[2000]], [[1]]]
    same = distribution(photometry.vertical_deg, [0], photometry.candela[:1])
    pan, tilt, spin = rng.uniform([-180, 0, -180], [180, 180, 180])
    one = Luminaire("L", same, (0, 0, 0), pan, tilt)
    levels = illuminance([one], points, normals).lux
    turned = illuminance([replace(one, spin_deg=spin)], points, normals).lux
    written_out = illuminance([replace(one, photometry=same.unfolded)], points, normals).lux
    # Dark beyond the last angle: on that edge rounding decides, so points there do not count.
    toward = np.degrees(np.arccos(points @ one.axes[2] / np.linalg.norm(points, axis=1)))
    clear = np.abs(toward[:, None] - same.vertical_deg).min(axis=1) > 1e-6
    assert np.allclose(turned[clear], levels[clear], rtol=1e-9, atol=1e-9)
    assert np.allclose(written_out[clear], levels[clear], rtol=1e-9, atol=1e-9)


@given(photometries(), st.floats(0, 1), st.floats(0.1, 1))
def test_light_is_linear_in_dimming_and_maintenance(photometry, dimming, maintenance):
    points = [[x, 400, 0] for x in range(-2000, 2001, 500)]
    full = aimed("L", photometry, (0, 0, 2500), (700, 0, 0))
    levels = illuminance([full], points, FLOOR).lux
    less = replace(full, dimming=dimming, maintenance=maintenance)
    scaled = illuminance([less], points, FLOOR).lux
    assert np.allclose(scaled, levels * dimming * maintenance, rtol=1e-12)
    both = illuminance([full, less], points, FLOOR).lux
    each = contributions([full, less], points, FLOOR).lux
    assert np.allclose(each.sum(axis=0), both, rtol=1e-12)
    assert np.allclose(each[1], scaled, rtol=1e-12)


@given(photometries() | photometries("A") | photometries("B"), st.integers(0, 50))
def test_intensities_against_a_plain_double_loop(photometry, seed):
    """The same bilinear rule written out for one point at a time."""
    whole = photometry.unfolded
    up, around, table = whole.vertical_deg, whole.horizontal_deg, whole.candela
    rng = np.random.default_rng(seed)
    for v, h in rng.uniform([up[0], around[0]], [up[-1], around[-1]], (10, 2)):
        j = min(int(np.searchsorted(up, v)), len(up) - 1) or 1
        i = min(int(np.searchsorted(around, h)), len(around) - 1) or 1
        s = (v - up[j - 1]) / (up[j] - up[j - 1])
        t = (h - around[i - 1]) / (around[i] - around[i - 1])
        near = (1 - s) * table[i - 1, j - 1] + s * table[i - 1, j]
        far = (1 - s) * table[i, j - 1] + s * table[i, j]
        want = (1 - t) * near + t * far
        assert float(intensity_cd(photometry, v, h)) == pytest.approx(want, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    "angles",
    [
        np.arange(0, 91, 5.0),
        np.array([0, 1, 2.5, 7, 20, 90]),
        np.array([0, 1.234567, 20.1, 33.333, 90]),
    ],
    ids=["even", "on a grid", "odd"],
)
def test_each_way_to_find_a_cell(angles):
    table = distribution(angles, [0], [angles**2])
    asked = np.linspace(0, 90, 1801)
    assert np.allclose(intensity_cd(table, asked), np.interp(asked, angles, angles**2))
    assert lookup(table) is lookup(table)


def test_dark_outside_the_table_and_behind_the_surface():
    half = axial(lambda up: 100 + 0 * up, last=90)
    assert intensity_cd(half, [90, 90.1, 180]).tolist() == [100, 0, 0]
    lamp = Luminaire("L", half, (0, 0, 2000))
    assert illuminance([lamp], [[0, 0, 3000]], (0, 0, -1)).lux[0] == 0
    assert illuminance([lamp], [[0, 0, 0]], (0, 0, -1)).lux[0] == 0


def test_beam_and_field_of_the_spot():
    """Worked by hand from the table of plane 0."""
    spot = read_lm63(FILES / "spot.ies")
    assert beam_angle(spot).angle_deg == pytest.approx(33.488, abs=5.1e-4)
    assert field_angle(spot).angle_deg == pytest.approx(60.0, abs=1e-9)
    assert beam_angle(spot, 90).angle_deg == pytest.approx(33.488, abs=5.1e-4)
    assert beam_angle(spot, 90).peak_cd == pytest.approx(1600)


def test_spread_off_the_axis_and_at_the_edge():
    wing = distribution([0, 30, 60, 90], [0, 180], [[100, 1000, 0, 0], [100, 0, 0, 0]])
    found = beam_angle(wing)
    assert found.peak_deg == 30
    assert "30 degrees off" in found.notes[0]
    assert found.to_deg == pytest.approx(45)
    assert found.from_deg == pytest.approx(30 * 400 / 900)
    assert spread(EVEN, 0.5).angle_deg == 360
    assert "table ends" in spread(EVEN, 0.5).notes[0]
    flood = read_lm63(FILES / "flood_b_2019.ies")
    for plane in ("horizontal", "vertical"):
        assert beam_angle(flood, plane).angle_deg == pytest.approx(120, abs=1e-3)
    for photometry, plane in ((flood, 0.0), (EVEN, "vertical")):
        with pytest.raises(PhotometryError):
            beam_angle(photometry, plane)


def test_points_in_the_near_field_are_warned_of():
    """Five times the largest luminous dimension."""
    lamp = Luminaire("L7", replace(EVEN, opening=Opening("rectangular", 100, 600, 0)), (0, 0, 0))
    points = [[0, 0, -2999], [0, 0, -3001], [0, 0, 1000]]
    found = illuminance([lamp], points, FLOOR)
    assert [(n.luminaire, n.points, n.needed_mm) for n in found.near] == [("L7", 1, 3000)]
    assert "five times" in found.warnings[0]
    assert found.near[0].nearest_mm == pytest.approx(2999)
    assert illuminance([lamp], points[1:], FLOOR).warnings == ()


def test_the_tilt_of_a_lamp_changes_its_light():
    tilting = replace(LAMBERT, lamp_tilt=LampTilt(1, (0, 90), (1.0, 0.5)))
    lamp = aimed("L", tilting, (0, 0, 2000), (2000, 0, 0))
    level = float(illuminance([lamp], [[2000, 0, 0]], FLOOR).lux[0])
    assert level == pytest.approx(lux_at(1000 * 0.75, 2000 * math.sqrt(2), 45), rel=1e-9)


@pytest.mark.parametrize(
    "values",
    [
        {"dimming": 1.1},
        {"dimming": float("nan")},
        {"maintenance": 0},
        {"tilt_deg": 181},
        {"spin_deg": math.inf},
        {"at_mm": (0, 0, 2e6)},
    ],
)
def test_luminaires_outside_their_range_are_refused(values):
    with pytest.raises(OutOfRangeError):
        Luminaire("L", EVEN, **{"at_mm": (0, 0, 0), **values})


@pytest.mark.parametrize(
    ("points", "normals", "words"),
    [
        ([[0, 0]], FLOOR, "rows of three"),
        ([[0, 0, math.nan]], FLOOR, "no number"),
        ([["a", 0, 0]], FLOOR, "numbers"),
        ([[0, 0, 0]], (0, 0, 0), "no length"),
        ([[0, 0, 0]], [FLOOR, FLOOR], "normals"),
        ([[0, 0, 2000]], FLOOR, "place of L"),
        ([[0, 0, 2e6]], FLOOR, "1 km"),
    ],
)
def test_points_that_make_no_sense_are_refused(points, normals, words):
    with pytest.raises(PhotometryError, match=words):
        illuminance([Luminaire("L", EVEN, (0, 0, 2000))], points, normals)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (([0, 90], [0], [[1, 2, 3]]), "columns"),
        (([0, 90], [0], [[1, -2]]), "Intensities"),
        (([0, 90], [0], [[1, math.nan]]), "Intensities"),
        (([90, 0], [0], [[1, 2]]), "ascend"),
        (([0, 190], [0], [[1, 2]]), "from 0 to 180"),
        (([0, 90], [0, 45], [[1, 2], [1, 2]]), "kind C has 0 alone"),
        (([0], [0], [[1]]), "at least two"),
        (([0, 90], [0], [["a", 2]]), "no number"),
        (([0, 90], [0], [[1, 2]], "B"), "at least two within"),
    ],
)
def test_tables_that_make_no_sense_are_refused(table, words):
    with pytest.raises(PhotometryError, match=words):
        distribution(*table)
