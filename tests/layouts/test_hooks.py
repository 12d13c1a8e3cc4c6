"""Hooks, wires and rows in closed form.

Published cases: hook height from a printed hanging guide (centre 57 in, height 20 in, drop 2 in
gives 65 in; 57, 30, 1 gives 71). Wire and lever values follow from Pythagoras and statics.
"""

import pytest

from layouts.hooks import (
    hook_height_mm,
    hook_offsets_mm,
    people_needed,
    two_hook_loads_n,
    wire_pull,
    wire_rise_mm,
)
from layouts.spacing import equal_gap_mm, spread

INCH = 25.4


@pytest.mark.parametrize(
    ("centre", "height", "drop", "expected"),
    [
        (57 * INCH, 20 * INCH, 2 * INCH, 65 * INCH),
        (57 * INCH, 30 * INCH, 1 * INCH, 71 * INCH),
        (1500, 800, 65, 1835),
    ],
)
def test_hook_height_published(centre, height, drop, expected):
    found = hook_height_mm(centre_mm=centre, height_mm=height, drop_mm=drop)
    assert found == pytest.approx(expected, abs=1e-9)


def test_hook_height_is_not_the_misprinted_formula():
    """One web page prints centre - height - drop; it puts the hook below the picture's middle."""
    found = hook_height_mm(centre_mm=1450, height_mm=800, drop_mm=65)
    assert found == 1785
    assert found != 1450 - 800 - 65
    assert found > 1450


def test_wire_rise_one_hook():
    assert wire_rise_mm(rings_apart_mm=600, wire_mm=650) == pytest.approx(125.0, abs=1e-9)


def test_wire_rise_two_hooks():
    found = wire_rise_mm(rings_apart_mm=600, wire_mm=650, hooks_apart_mm=200)
    assert found == pytest.approx(103.078, abs=0.001)


def test_wire_too_short():
    with pytest.raises(ValueError, match="cannot hang"):
        wire_rise_mm(rings_apart_mm=600, wire_mm=599)


@pytest.mark.parametrize(
    ("angle", "share"),
    [(60, 0.577), (45, 0.707), (30, 1.0), (20, 1.462), (15, 1.932), (10, 2.879), (5, 5.737)],
)
def test_wire_tension_table(angle, share):
    """Rigging tables print tension over weight by the angle of the sling from horizontal."""
    from math import cos, radians

    wire = 1000.0
    pull = wire_pull(weight_n=100, rings_apart_mm=wire * cos(radians(angle)), wire_mm=wire)
    assert pull.angle_degrees == pytest.approx(angle, abs=1e-6)
    assert pull.tension_n / 100 == pytest.approx(share, abs=0.0006)


def test_wire_tension_worked_example():
    pull = wire_pull(weight_n=100, rings_apart_mm=600, wire_mm=650)
    assert pull.tension_n == pytest.approx(130.0, abs=1e-9)


def test_two_hooks_by_the_lever():
    found = two_hook_loads_n(weight_n=200, left_mm=0, right_mm=800, centre_of_gravity_mm=300)
    assert found == (125.0, 75.0)


def test_row_equal_gaps():
    assert equal_gap_mm(length_mm=6000, widths_mm=[800, 1200, 600]) == 850


def test_row_given_gap_is_centred():
    row = spread(length_mm=6000, widths_mm=[800, 1200, 600], most_mm=300)
    assert row.gaps_mm == (1400, 300, 300, 1400)


def test_row_gaps_and_widths_fill_the_wall_exactly():
    row = spread(length_mm=6001, widths_mm=[800, 1200, 600])
    assert sum(row.gaps_mm) + 2600 == 6001
    assert max(row.gaps_mm) - min(row.gaps_mm) == 1


@pytest.mark.parametrize(
    ("width", "height", "mass", "people"),
    [(1500, 800, 20_000, 1), (1501, 800, 0, 2), (300, 1501, 0, 2), (300, 300, 20_001, 2),
     (300, 300, None, 1)],
)  # fmt: skip
def test_people_needed_common_practice(width, height, mass, people):
    """Common practice, no source: two above 20 kg or any side above 1.5 m."""
    found = people_needed(width_mm=width, height_mm=height, depth_mm=50, mass_g=mass)
    assert found == people


def test_hook_offsets_common_practice():
    """Common practice, no source: two hooks at the quarter points of wide or heavy pieces."""
    assert hook_offsets_mm(width_mm=600, mass_g=10_000) == (300,)
    assert hook_offsets_mm(width_mm=800, mass_g=1_000) == (200, 600)
    assert hook_offsets_mm(width_mm=400, mass_g=10_001) == (100, 300)
