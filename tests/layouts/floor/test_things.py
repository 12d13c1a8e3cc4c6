"""Doors, what stands out, loads, viewing, standing: single things with known answers."""

from __future__ import annotations

import pytest

from layouts.floor import Floor, check, solve_floor
from layouts.floor.rules import load, names
from tests.layouts.floor.rooms import box, doors, outline


def room(*pieces: dict, **more) -> dict:
    return {
        "outline": outline(6000, 8000),
        "doors": doors(6000, 8000),
        "pieces": list(pieces),
        **more,
    }


def on_wall(bottom_mm: int, depth_mm: int, **more) -> dict:
    row = {"id": "W", "kind": "wall_piece", "width_mm": 800, "height_mm": 600, "wall": 1}
    return {**row, "along_mm": 3000, "bottom_mm": bottom_mm, "depth_mm": depth_mm, **more}


def broken(problem: dict, rule: str) -> list:
    report = solve_floor(problem)
    assert check(Floor.from_dict(problem), report) == []
    return [finding for finding in report.findings if finding.rule == rule]


@pytest.mark.parametrize(
    ("bottom_mm", "depth_mm", "kept"),
    [
        (760, 150, False),
        (680, 150, True),
        (685, 150, True),
        (686, 150, False),
        (1500, 90, True),
        (1500, 100, True),
        (1500, 101, False),
        (2030, 150, False),
        (2031, 150, True),
    ],
)
def test_what_stands_out_from_a_wall(bottom_mm, depth_mm, kept):
    """US 2010 ADA Standards 307.2: over 685 and up to 2030 mm at most 100 mm, as printed."""
    assert (broken(room(on_wall(bottom_mm, depth_mm)), "protrude") == []) is kept


@pytest.mark.parametrize(("overhang_mm", "kept"), [(305, True), (306, False)])
def test_overhang_on_a_post(overhang_mm, kept):
    """US 2010 ADA Standards 307.3: at most 305 mm."""
    piece = box("post", 3000, 4000, 900, 900, bottom_mm=800, overhang_mm=overhang_mm)
    assert (broken(room(piece), "protrude") == []) is kept


@pytest.mark.parametrize(("bottom_mm", "kept"), [(2029, False), (2030, True)])
def test_headroom_under_what_hangs(bottom_mm, kept):
    """US 2010 ADA Standards 307.4: 2030 mm."""
    piece = box("kite", 3000, 4000, 900, 900, kind="suspended", bottom_mm=bottom_mm)
    report = solve_floor(room(piece))
    assert ([f.rule for f in report.findings] == []) is kept
    assert any("overhead" in words for words in report.cautions)


def test_load_on_the_floor():
    """Worked by hand: 900 kg × 9.80665 / 0.6 m² = 14.71 kN/m²; 8.826 kN / 5 = 1.77 m²."""
    report = solve_floor(room(box("A", 3000, 4000, 1000, 600, mass_g=900_000)))
    (load_row,) = report.loads
    assert load_row.n_per_m2 == pytest.approx(14_710, abs=1)
    assert load_row.spreader_mm2 == pytest.approx(1.765e6, rel=1e-3)
    (finding,) = report.findings
    assert finding.rule == "floor_load"
    assert "from memory" in finding.source
    assert "1.77 m²" in finding.cure
    kept = solve_floor(room(box("A", 3000, 4000, 1000, 600, mass_g=900_000), floor_n_per_m2=15_000))
    assert kept.findings == ()


def test_feet_carry_the_load_where_they_are_given():
    (row,) = solve_floor(
        room(box("A", 3000, 4000, 1000, 600, mass_g=100_000, bearing_mm2=40_000))
    ).loads
    assert row.n_per_m2 == pytest.approx(100 * 9.80665 / 0.04, abs=1)


@pytest.mark.parametrize(("far_mm", "kept"), [(1500, True), (1499, False)])
def test_viewing_distance_to_what_stands_opposite(far_mm, kept):
    """Common practice, no source: 1.5 times the diagonal; 800 × 600 has one of 1000 mm."""
    opposite = box("B", 40 + far_mm + 300, 3400, 600, 900, height_mm=1300)
    found = broken(room(on_wall(1200, 40), opposite), "viewing")
    assert (found == []) is kept
    low = {**opposite, "height_mm": 900}
    assert broken(room(on_wall(1200, 40), low), "viewing") == []


def test_door_leaf_strikes_a_plinth():
    swinging = doors(6000, 8000)
    swinging[0] |= {"opens": "in", "hinge": "left"}
    plinth = box("A", 3000, 650, 300, 300)
    assert broken({**room(plinth), "doors": swinging}, "swing")[0].things == ("in", "A")
    # The left jamb seen from inside is at x 3500; the corner beyond the arc stays clear.
    beyond = box("A", 2550, 950, 100, 100)
    assert broken({**room(beyond), "doors": swinging}, "swing") == []
    swinging[0]["hinge"] = "right"
    assert broken({**room(beyond), "doors": swinging}, "swing") != []


@pytest.mark.parametrize(("clear_mm", "kept"), [(815, True), (814, False)])
def test_clear_width_of_a_door(clear_mm, kept):
    """US 2010 ADA Standards 404.2.3: 815 mm."""
    problem = room() | {"doors": doors(6000, 8000, clear_mm=clear_mm)}
    assert (broken(problem, "door") == []) is kept


def test_pieces_in_each_other_and_beyond_the_room():
    problem = room(
        box("A", 2000, 3000, 800, 800),
        box("B", 2700, 3000, 800, 800),
        box("C", 100, 5000, 600, 600),
    )
    assert [f.things for f in broken(problem, "overlap")] == [("A", "B")]
    assert [f.things for f in broken(problem, "outside")] == [("C",)]


def test_seat_under_a_picture_is_no_overlap():
    seat = box("S", 200, 3400, 400, 800, height_mm=450, kind="seat")
    assert broken(room(seat, on_wall(1200, 40)), "overlap") == []


def test_rule_sets_tell_where_each_limit_comes_from():
    for name in names():
        rules = load(name)
        assert rules.title
        for limit in rules.limits.values():
            assert limit.value > 0
            assert limit.means
            assert limit.source or limit.status
    iso = load("iso_21542_2011")
    assert iso.value("route_mm") == 1200
    assert "from memory" in iso.cite("route_mm")
    assert "403.5.1" in load("us_ada_2010").cite("route_mm")


def test_metric_limits_are_the_inches_to_the_nearest_five():
    """1 in = 25.4 mm: the printed millimetres stand within 3 mm of the inches."""
    inches = {"route_mm": 36, "short_mm": 32, "short_length_mm": 24, "between_short_mm": 48}
    inches |= {"turn_element_mm": 48, "turn_approach_mm": 42, "turning_mm": 60, "headroom_mm": 80}
    inches |= {"protrude_mm": 4, "protrude_above_mm": 27, "post_overhang_mm": 12, "door_mm": 32}
    rules = load("us_ada_2010")
    for name, value in inches.items():
        assert rules.value(name) == pytest.approx(value * 25.4, abs=3)
    assert rules.value("passing_every_mm") == pytest.approx(200 * 304.8, abs=50)


def test_own_limit_replaces_that_of_the_set_and_says_so():
    problem = room(on_wall(1500, 90), limits={"protrude_mm": 80})
    (finding,) = broken(problem, "protrude")
    assert finding.source == "the project's own limit"


def test_cautions_name_what_people_must_decide():
    words = " ".join(
        solve_floor(
            room(box("V", 3000, 4000, 900, 900, kind="showcase", mass_g=90_000, height_mm=2000))
        ).cautions
    )
    for part in ("certifies nothing", "Escape routes", "Floor load", "Glass", "Lifting: V"):
        assert part in words
