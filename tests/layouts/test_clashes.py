"""Smallest sets of demands that clash: impossible together, possible without any one of them."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layouts import Problem, solve
from layouts.clashes import impossible_for, only, smallest_clash
from layouts.relaxing.demands import demands_of
from layouts.relaxing.smallest import applied
from layouts.search.solver import Allowance
from tests.layouts.every_hang import every_hang
from tests.layouts.problems import piece, problem, wall


def possible(task):
    return next(every_hang(task), None) is not None


def clash_of(task):
    return smallest_clash(task, impossible_for(Allowance(20, 0)))


def clashing():
    """Two dim, strong places for three pieces that need both: no single kind of demand is to blame.

    A and B bear only the dim half, which is too short for both unless they hang apart from it;
    C is heavy and only the dim half is strong.
    """
    zones = [{"from_mm": 0, "to_mm": 1000, "lux": 50}, {"from_mm": 1000, "to_mm": 3000, "lux": 200}]
    fixings = [
        {"from_mm": 0, "to_mm": 1000, "max_kg_per_object": 60},
        {"from_mm": 1000, "to_mm": 3000, "max_kg_per_object": 10},
    ]
    pieces = [
        piece("A", 600, max_lux=50),
        piece("B", 600, mass_g=50_000),
        piece("C", 300),
    ]
    return problem([wall("N", 3000, zones=zones, fixings=fixings)], pieces, min_gap_mm=20)


def test_set_is_impossible_and_possible_without_any_member():
    task = Problem.from_dict(clashing())
    clash = clash_of(task)
    assert {d.rule for d in clash} == {"light", "load"}
    assert not possible(only(task, clash))
    for spared in clash:
        rest = [d for d in clash if d is not spared]
        assert possible(only(task, rest))


def test_two_clashes_at_once_are_named_in_words():
    """A and B need the only place that is dim and strong; F and G do not fit on wall E either."""
    data = clashing()
    zones = [{"from_mm": 0, "to_mm": 1000, "lux": 200}]
    fixings = [{"from_mm": 0, "to_mm": 1000, "max_kg_per_object": 10}]
    data["walls"].append(wall("E", 1000, zones=zones, fixings=fixings))
    data["pieces"] += [piece("F", 480, wall="E"), piece("G", 480, wall="E")]
    answer = solve(data)
    assert answer.status == "infeasible"
    assert [conflict.sentence for conflict in answer.conflicts] == [
        "These 3 demands cannot hold together on these walls: gaps are at least 20 mm; F hangs on "
        "E; G hangs on E.",
        "These 3 demands cannot hold together on these walls: N from 1000 to 3000 mm carries 10 kg "
        "an object; E from 0 to 1000 mm carries 10 kg an object; A bears 50 lx.",
    ]
    for conflict in answer.conflicts:
        for way in conflict.relaxations:
            assert way.also or way.demand == "leave"
            assert solve(applied(Problem.from_dict(data), way)).placements


def test_possible_problem_has_no_clash():
    task = Problem.from_dict(problem([wall()], [piece("A", 300, max_lux=50)]))
    assert clash_of(task) is None
    assert [d.rule for d in demands_of(task)] == ["light"]


@st.composite
def tiny(draw):
    count = draw(st.integers(1, 4))
    kind = draw(st.sampled_from(["even", "by_section"]))
    pieces = [
        piece(
            f"P{n}",
            draw(st.integers(100, 600)),
            section=draw(st.sampled_from("AB")),
            mass_g=draw(st.sampled_from([0, 15_000])),
            max_lux=draw(st.sampled_from([None, 50])),
        )
        for n in range(count)
    ]
    walls = []
    for name in "NE"[: draw(st.integers(1, 2))]:
        length = draw(st.integers(600, 2500))
        cut = draw(st.integers(100, length - 100))
        dim_first = draw(st.booleans())
        lux = (50, 150) if dim_first else (150, 50)
        zones = [
            {"from_mm": 0, "to_mm": cut, "lux": lux[0]},
            {"from_mm": cut, "to_mm": length, "lux": lux[1]},
        ]
        heavy = draw(st.sampled_from([None, 10]))
        fixings = [{"from_mm": 0, "to_mm": length, "max_kg_per_object": heavy}]
        walls.append(wall(name, length, zones=zones, fixings=fixings))
    names = [p["id"] for p in pieces]
    together = [names[:2]] if count > 2 and draw(st.booleans()) and kind == "even" else []
    return problem(walls, pieces, together=together, kind=kind)


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(tiny())
def test_sets_agree_with_every_way_to_hang(data):
    task = Problem.from_dict(data)
    clash = clash_of(task)
    if clash is not None:
        assert not possible(only(task, clash))
        assert not possible(task)
