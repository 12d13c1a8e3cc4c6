"""What makes an impossible hang possible: each relaxation does, and one unit less does not."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from layouts import Problem, Solution, check, solve
from layouts.clashes import only
from layouts.relaxing.demands import KINDS, demands_of, levels_of, loosened
from layouts.relaxing.kinds import Demand
from layouts.relaxing.smallest import applied
from tests.layouts.problems import DOOR, piece, problem, wall
from tests.layouts.test_clashes import possible, tiny

EXAMPLES = 20 if settings.default.derandomize else settings.default.max_examples


def zoned(length, *parts, **more):
    """Return zones from one mark to the next: (lux, until)."""
    marks = [0, *(until for _, until in parts)]
    return [
        {"from_mm": start, "to_mm": stop, "lux": lux, **more}
        for start, (lux, stop) in zip(marks, parts, strict=False)
    ]


def bearing(length, **limits):
    return [{"from_mm": 0, "to_mm": length, **limits}]


PILLAR = {"x_mm": 2000, "y_mm": 0, "width_mm": 100, "height_mm": 3000, "what": "pillar"}
BRIGHT = [{"from_mm": 0, "to_mm": 3000, "lux": 200}]


def ten(width=500, **more):
    return [piece(f"P{n}", width, **more) for n in range(10)]


def by_light():
    zones = zoned(6000, (50, 1500), (150, 6000))
    pieces = [piece(f"P{n}", 600, max_lux=50 if n < 3 else None) for n in range(6)]
    return problem([wall(zones=zones)], pieces, min_gap_mm=100)


def by_load_a_metre():
    pieces = [piece(f"P{n}", 600, mass_g=21_000) for n in range(4)]
    return problem([wall(fixings=bearing(6000, max_kg_per_m=13))], pieces)


def by_section_gap():
    pieces = [piece(f"P{n}", 700, section="AB"[n // 4]) for n in range(8)]
    return problem([wall()], pieces, kind="by_section", section_gap_mm=800, min_gap_mm=10)


def by_sections():
    """Sections in the order B, A; each bears only one wall, and these stand the other way."""
    walls = [wall("N", 3000), wall("E", 3000, zones=BRIGHT)]
    pieces = [piece("A1", 900, section="A", max_lux=50), piece("B1", 900, section="B", wall="E")]
    return problem(walls, pieces, kind="by_section", sections=["B", "A"])


def by_whole_sections():
    pieces = [
        piece("A1", 900, section="A", wall="N"),
        piece("B1", 900, section="B", wall="E"),
        piece("A2", 900, section="A", wall="S"),
    ]
    return problem([wall(n, 3000) for n in "NES"], pieces, kind="by_section")


def by_order():
    walls = [wall("N", 3000), wall("E", 3000)]
    pieces = [piece("A", 900, wall="E"), piece("B", 900, wall="N")]
    return problem(walls, pieces, order=["A", "B"])


def by_together():
    walls = [wall(length=3000), wall("E", 3000, zones=BRIGHT)]
    pieces = [piece("A", 600, max_lux=50), piece("B", 600, wall="E"), piece("C", 600)]
    return problem(walls, pieces, together=[["A", "B"]])


def by_rows():
    pieces = [piece(f"P{n}", 900, 1300) for n in range(4)]
    return problem([wall(length=2500)], pieces, kind="rows", rows=2, row_gap_mm=300, datum_mm=1400)


def by_dose():
    zones = zoned(6000, (50, 6000), hours=1000)
    return problem([wall(zones=zones)], [piece("A", 600, max_lux_hours=30_000), piece("B", 600)])


def by_apart():
    rule = [{"pieces": ["A", "B"], "at_least_mm": 5000}]
    return problem([wall()], [piece("A", 600), piece("B", 600)], apart=rule)


PLANTED = {
    "gap": lambda: problem(
        [wall(length=6400, blocked=[PILLAR])],
        [piece(f"P{n}", 850) for n in range(6)],
        min_gap_mm=110,
    ),
    "length": lambda: problem([wall()], [piece(f"P{n}", 900) for n in range(7)], min_gap_mm=50),
    "walls": lambda: problem(
        [wall("N", 3000), wall("E", 3000)], [piece(f"P{n}", 1900) for n in range(3)]
    ),
    "section_gap": by_section_gap,
    "section_order": by_sections,
    "sections": by_whole_sections,
    "order": by_order,
    "together": by_together,
    "apart": by_apart,
    "max_gap": lambda: problem(
        [wall()],
        [piece("A", 600), piece("B", 600)],
        apart=[{"pieces": ["A", "B"], "at_least_mm": 1000}],
        max_gap_mm=100,
    ),
    "load": lambda: problem(
        [wall(fixings=bearing(6000, max_kg_per_object=40))],
        [piece("A", 900, mass_g=60_000), piece("B", 900)],
    ),
    "load_per_metre": by_load_a_metre,
    "light": by_light,
    "dose": by_dose,
    "fixed": lambda: problem(
        [wall(length=2000), wall("E", 3000)],
        [piece(f"P{n}", 800, wall="N") for n in range(3)],
        min_gap_mm=20,
    ),
    "section_walls": lambda: (
        problem(
            [wall(length=2000), wall("E", 3000)],
            [piece(f"P{n}", 800, section="A") for n in range(3)],
        )
        | {"section_walls": {"A": ["N"]}}
    ),
    "place": lambda: problem(
        [wall(blocked=[DOOR])], [piece("A", 600, wall="N", x_mm=3200), piece("B", 300)]
    ),
    "row_gap": by_rows,
    "height": lambda: problem([wall()], [piece("A", 900, 3200), piece("B", 300)], datum_mm=1500),
    "lowest_edge": lambda: problem([wall()], [piece("A", 900, 1600)], lowest_edge_mm=900),
    "highest_edge": lambda: problem([wall()], [piece("A", 900, 1600)], highest_edge_mm=2200),
}


@cache
def answered(name):
    """Return a planted problem and its answer."""
    task = Problem.from_dict(PLANTED[name]())
    return task, solve(task, seconds=20)


def hangs(task):
    answer = solve(task, seconds=10)
    if answer.placements:
        assert check(task, answer) == []
    return bool(answer.placements)


def one_less(task, way):
    """Return the task with the next smaller amount of a relaxation's kind; None if none is."""
    for other in way.also:
        task = applied(task, other)
    demand = Demand(way.demand, "", way.pieces, way.walls, way.number)
    smaller = [n for n in levels_of(task, demand) if n < way.amount]
    return loosened(task, demand, smaller[-1]) if smaller else task


@pytest.mark.parametrize("name", PLANTED)
def test_relaxation_makes_it_possible_and_less_does_not(name):
    task, answer = answered(name)
    assert answer.status == "infeasible"
    ways = [way for conflict in answer.conflicts for way in conflict.relaxations]
    assert name in {way.demand for way in ways} | {c.rule for c in answer.conflicts}
    assert ways
    for way in ways:
        assert hangs(applied(task, way)), way.sentence
        if way.exact and way.demand != "leave":
            assert not hangs(one_less(task, way)), way.sentence


@pytest.mark.parametrize("name", PLANTED)
def test_every_demand_of_a_smallest_set_can_be_relaxed(name):
    """A set without one of its demands no longer clashes, and each demand has its relaxation."""
    task, answer = answered(name)
    for conflict in answer.conflicts:
        if conflict.rule == "not_found":
            continue
        clash = [d for d in demands_of(task) if d.words in conflict.demands]
        assert len(clash) == len(conflict.demands)
        assert not hangs(only(task, clash))
        for spared in clash:
            assert hangs(only(task, [d for d in clash if d is not spared])), spared.words
        named = {(way.demand, way.pieces, way.walls) for way in conflict.relaxations}
        assert {(d.rule, d.pieces, d.walls) for d in clash} <= named


def test_answer_is_read_back_with_its_relaxations():
    _, answer = answered("light")
    assert any(way.also for conflict in answer.conflicts for way in conflict.relaxations)
    assert Solution.from_dict(answer.to_dict()) == answer


def test_every_kind_of_demand_is_planted():
    assert {rule for rule, kind in KINDS.items() if not kind.beside} <= PLANTED.keys()


def test_leaving_out_takes_the_demands_along():
    data = problem([wall()], ten(700), together=[["P0", "P1"]], min_gap_mm=10)
    data["arrangement"]["order"] = [f"P{n}" for n in range(10)]
    task = Problem.from_dict(data)
    (conflict,) = solve(task).conflicts
    way = next(way for way in conflict.relaxations if way.demand == "leave")
    rest = applied(task, way)
    assert len(rest.pieces) == 10 - way.amount
    assert hangs(rest)
    assert replace(rest, pieces=task.pieces) != task


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(tiny())
def test_relaxations_agree_with_every_way_to_hang(data):
    """Up to four pieces: what is named makes a hang possible, and less does not, whoever tries."""
    task = Problem.from_dict(data)
    answer = solve(task, seconds=5)
    for conflict in answer.conflicts:
        for way in conflict.relaxations:
            assert possible(applied(task, way)), way.sentence
            if way.exact and way.demand != "leave":
                assert not possible(one_less(task, way)), way.sentence
