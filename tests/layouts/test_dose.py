"""Doses of light: what a piece bears in lux hours, against the worst zone that it touches."""

from dataclasses import replace

import pytest

from layouts import InvalidProblem, Problem, check, solve
from layouts.geometry import cells_of, clear_runs
from tests.layouts.problems import piece, problem, wall


def zone(start, end, lux, hours=None):
    return {"from_mm": start, "to_mm": end, "lux": lux, "hours": hours}


def hung(data):
    answer = solve(data, seconds=10)
    assert answer.placements, [c.sentence for c in answer.conflicts]
    assert check(Problem.from_dict(data), answer) == []
    return answer


def test_runs_are_cut_where_the_dose_is_noticed():
    """50 lx for 600 h are 30,000 lx h, for 200 h 10,000; 100 lx for 200 h 20,000 lx h."""
    zones = [zone(0, 1000, 50, 600), zone(1000, 2000, 50, 200), zone(2000, 3000, 100, 200)]
    task = Problem.from_dict(
        problem([wall(length=3000, zones=zones)], [piece("A", 300, max_lux_hours=25_000)])
    )
    cells = cells_of(clear_runs(task), task)
    assert [(c.from_mm, c.to_mm, c.lux_hours) for c in cells] == [
        (0, 1000, 30_000),
        (1000, 3000, 20_000),
    ]
    without = replace(task, pieces=(replace(task.pieces[0], max_lux_hours=None),))
    assert len(cells_of(clear_runs(without), without)) == 1


@pytest.mark.parametrize(
    "kind",
    ["even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster"],
)
def test_each_kind_keeps_the_dose(kind):
    """Both walls have 50 lx; on N for 600 h, on E for 200 h, so 12,000 lx h bear E only."""
    walls = [wall("N", 3000, zones=[zone(0, 3000, 50, 600)])]
    walls += [wall("E", 3000, zones=[zone(0, 3000, 50, 200)])]
    pieces = [piece(f"P{n}", 300, 300, section="1") for n in range(6)]
    for n in (1, 4):
        pieces[n]["max_lux_hours"] = 12_000
    rows = 2 if kind == "rows" else 1
    answer = hung(problem(walls, pieces, kind=kind, rows=rows))
    where = {p.id: p.wall for p in answer.placements}
    assert where["P1"] == where["P4"] == "E"


def test_whole_width_counts_and_one_millimetre_too_far_is_found():
    zones = [zone(0, 1000, 50, 600), zone(1000, 2000, 50, 200)]
    data = problem(
        [wall(length=2000, zones=zones)],
        [piece("A", 300, max_lux_hours=10_000), piece("B", 300)],
    )
    answer = hung(data)
    task = Problem.from_dict(data)
    place = next(p for p in answer.placements if p.id == "A")
    assert place.x_mm >= 1000
    for x_mm, rules in ((1000, set()), (999, {"dose"})):
        moved = tuple(replace(p, x_mm=x_mm) if p.id == "A" else p for p in answer.placements)
        found = check(task, replace(answer, placements=moved))
        assert {fault.rule for fault in found if fault.rule == "dose"} == rules
    assert "A bears 10,000 lx h and would have 30,000 lx h: 50 lx for 600 h." in [
        fault.sentence for fault in found
    ]


def test_zone_without_hours_sets_no_dose():
    hung(problem([wall(zones=[zone(0, 6000, 50)])], [piece("A", 300, max_lux_hours=1)]))


def test_too_large_a_dose_everywhere_is_told_in_figures():
    zones = [zone(0, 2000, 50, 700), zone(2000, 6000, 80, 400)]
    data = problem([wall(zones=zones)], [piece("A", 300, max_lux_hours=30_000)])
    found = solve(data).conflicts[0]
    assert (found.rule, found.sentence) == (
        "dose",
        "A bears 30,000 lx h over the exhibition; the stretch of N with the least has 32,000 lx h.",
    )
    assert "down by 2,000 lx h" in found.relaxation
    zones[1]["hours"] = 375
    hung(data)


def test_too_few_metres_of_small_dose_are_told_in_figures():
    """Four of 300 mm need 1,200 mm; 1,000 mm have 10,000 lx h."""
    zones = [zone(0, 1000, 50, 200), zone(1000, 6000, 50, 600)]
    pieces = [piece(f"P{n}", 300, max_lux_hours=10_000) for n in range(4)]
    (found,) = solve(problem([wall(zones=zones)], pieces)).conflicts
    assert found.sentence == (
        "Objects limited to 10,000 lx h need 1,200 mm with their labels and gaps of 0 mm; clear "
        "wall at or below 10,000 lx h is 1,000 mm: short by 200 mm."
    )


def test_dose_that_clashes_with_the_order_is_told_in_figures():
    zones = [zone(0, 3000, 50, 600), zone(3000, 6000, 50, 100)]
    pieces = [piece("A", 2500, max_lux_hours=5_000), piece("B", 2500)]
    answer = solve(problem([wall(zones=zones)], pieces, order=["A", "B"]))
    said = " ".join(f"{c.sentence} {c.relaxation}" for c in answer.conflicts)
    assert (answer.status, "5,000 lx h" in said) == ("infeasible", True)


def test_fixed_piece_with_too_large_a_dose_is_told():
    one = piece("A", 300, max_lux_hours=5_000, wall="N", x_mm=10)
    (found,) = solve(problem([wall(zones=[zone(0, 5000, 50, 200)])], [one])).conflicts
    assert found.sentence.startswith("Fixed in place: A bears 5,000 lx h and would have 10,000")


@pytest.mark.parametrize(
    ("walls", "more", "said"),
    [
        ([wall(zones=[zone(0, 10, 50, -1)])], {}, "walls[0].zones[0].hours is -1"),
        ([wall(zones=[zone(0, 10, 50, 1.5)])], {}, "walls[0].zones[0].hours is 1.5"),
        ([wall()], {"max_lux_hours": "low"}, "pieces[0].max_lux_hours is 'low'"),
        ([wall()], {"reserve": "yes"}, "pieces[0].reserve is 'yes': give true or false."),
    ],
)
def test_bad_values_are_told(walls, more, said):
    with pytest.raises(InvalidProblem) as refusal:
        Problem.from_dict(problem(walls, [piece("A", 300, **more)]))
    assert said in " ".join(refusal.value.faults)


def test_what_is_new_and_empty_is_left_out():
    plain = Problem.from_dict(problem([wall(zones=[zone(0, 10, 50)])], [piece("A", 300)])).to_dict()
    assert "hours" not in plain["walls"][0]["zones"][0]
    assert not {"max_lux_hours", "reserve"} & plain["pieces"][0].keys()
    data = problem(
        [wall(zones=[zone(0, 10, 50, 0)])],
        [piece("A", 300, max_lux_hours=50_000_000), piece("B", 300, reserve=True)],
    )
    whole = Problem.from_dict(data)
    assert whole.to_dict()["walls"][0]["zones"][0]["hours"] == 0
    assert Problem.from_dict(whole.to_dict()) == whole


def test_place_in_reserve_hangs_as_any_piece():
    data = problem([wall(length=1000)], [piece("A", 300), piece("B", 400, reserve=True)])
    answer = hung(data)
    assert {p.id for p in answer.placements} == {"A", "B"}
    assert answer.measures.smallest_gap_mm == 100
    assert "reserve" not in solve(problem([wall()], [piece("A", 300)])).to_dict()
