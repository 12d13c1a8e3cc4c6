"""When nothing can hang: a sentence with figures, and a way out that works."""

from copy import deepcopy

import pytest

from layouts import Problem, check, solve
from tests.layouts.problems import piece, problem, wall

ZONES = [{"from_mm": 0, "to_mm": 1500, "lux": 50}, {"from_mm": 1500, "to_mm": 6000, "lux": 150}]


def rules(answer):
    assert answer.status == "infeasible"
    assert answer.placements == ()
    return {conflict.rule: conflict for conflict in reversed(answer.conflicts)}


def fits(data):
    answer = solve(data)
    assert answer.placements
    assert check(Problem.from_dict(data), answer) == []


def test_light_short_of_metres():
    pieces = [piece(f"P{n}", 600, max_lux=50 if n < 4 else None) for n in range(8)]
    data = problem([wall(zones=ZONES)], pieces, min_gap_mm=100)
    found = rules(solve(data))["light"]
    assert found.sentence == (
        "Objects limited to 50 lx need 2,800 mm with their labels and gaps of 100 mm; clear wall "
        "at or below 50 lx is 1,500 mm: short by 1,200 mm."
    )
    assert found.relaxation.startswith("Bring at least 1,200 mm more wall down to 50 lx")
    wider = deepcopy(data)
    even_gaps = 4 * (6000 - 8 * 600) // 9 - 4 * 100
    for zone, end in zip(wider["walls"][0]["zones"], ("to_mm", "from_mm"), strict=True):
        zone[end] += found.amount + 100 + even_gaps + 10
    fits(wider)


def test_wall_too_short():
    data = problem([wall()], [piece(f"P{n}", 900) for n in range(7)], min_gap_mm=50)
    found = rules(solve(data))["length"]
    assert found.amount == 7 * 950 - 6000
    data["walls"][0]["length_mm"] += found.amount + 50
    fits(data)


def test_too_heavy_for_any_stretch():
    fixings = [{"from_mm": 0, "to_mm": 6000, "max_kg_per_object": 40}]
    data = problem([wall(fixings=fixings)], [piece("Vane", 900, mass_g=60_000)])
    found = rules(solve(data))["load"]
    assert found.sentence == (
        "Vane weighs 60 kg; the strongest stretch of N carries 40 kg an object."
    )
    data["walls"][0]["fixings"][0]["max_kg_per_object"] += found.amount / 1000
    fits(data)


def test_too_sensitive_for_any_stretch():
    zones = [{"from_mm": 0, "to_mm": 4000, "lux": 50}, {"from_mm": 4000, "to_mm": 6000, "lux": 150}]
    data = problem([wall(zones=zones)], [piece("Flag", 900, max_lux=30)])
    found = rules(solve(data))["light"]
    assert found.sentence == "Flag bears 30 lx; the darkest stretch of N has 50 lx."
    data["walls"][0]["zones"][0]["lux"] -= found.amount
    fits(data)


def test_too_high_for_the_datum():
    data = problem([wall()], [piece("Chart", 900, 3200)], datum_mm=1500)
    found = rules(solve(data))["height"]
    assert "reaches 100 mm beyond the floor" in found.sentence
    data["arrangement"]["datum_mm"] += found.amount
    fits(data)


def test_gap_too_large_names_the_one_that_works():
    door = {"x_mm": 2000, "y_mm": 0, "width_mm": 100, "height_mm": 3000, "what": "pilaster"}
    pieces = [piece(f"P{n}", 850) for n in range(6)]
    data = problem([wall(length=6400, blocked=[door])], pieces, min_gap_mm=110)
    found = rules(solve(data))["gap"]
    data["arrangement"]["min_gap_mm"] -= found.amount
    fits(data)
    data["arrangement"]["min_gap_mm"] += 1
    assert solve(data).placements == ()


def test_together_against_light():
    pieces = [piece("A", 600, max_lux=50), piece("B", 600), piece("C", 600, max_lux=50)]
    pieces[1]["wall"] = "E"
    data = problem(
        [wall(length=3000), wall("E", 3000, zones=[{"from_mm": 0, "to_mm": 3000, "lux": 200}])],
        pieces,
        together=[["A", "B"]],
    )
    found = rules(solve(data))["several"]
    assert found.sentence == (
        "These 3 demands cannot hold together on these walls: A and B hang together; B hangs on E; "
        "A bears 50 lx."
    )
    assert [way.demand for way in found.relaxations[:3]] == ["together", "fixed", "light"]
    fits(data | {"together": []})


@pytest.mark.parametrize("rule", [{"kind": "even"}, {"kind": "rows", "rows": 2}])
def test_together_against_the_order_given(rule):
    pieces = [piece(name, 300) for name in "ABCD"]
    data = problem([wall()], pieces, together=[["A", "D"]], order=list("ABDC"), **rule)
    found = rules(solve(data))["together"]
    assert found.sentence == ("A, D are to hang together, and the order asked for puts B between.")
    data["arrangement"]["order"] = list("BADC")
    fits(data)


@pytest.mark.parametrize("kind", ["even", "by_section", "mirrored"])
def test_infeasible_names_everything_unplaced(kind):
    data = problem([wall()], [piece(f"P{n}", 3000, section="1") for n in range(4)], kind=kind)
    assert solve(data).unplaced == ("P0", "P1", "P2", "P3")
