"""Hangs that ask for many things at once: all are kept, and none better is missed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from tests.layouts.demanding import KINDS, demanding
from tests.layouts.test_brute_force import agrees, brute, hangs

few = settings(brute, max_examples=brute.max_examples // 3)


@st.composite
def more_asked(draw, kind):
    """Ask for doses, datums, edges and walls on top of what small hangs ask for."""
    data = draw(hangs(kind, counts=(1, 2, 3, 3, 4, 4, 5)))
    names = [wall["id"] for wall in data["walls"]]
    some = st.lists(st.sampled_from(names), min_size=1, max_size=2, unique=True)
    for wall in data["walls"]:
        wall["height_mm"] = draw(st.sampled_from([3600, 3600, 2200]))
        wall["datum_mm"] = draw(st.sampled_from([None, None, 1350, 1700]))
        for zone in wall["zones"]:
            zone["hours"] = draw(st.sampled_from([None, 100, 500]))
    for one in data["pieces"]:
        one["max_lux_hours"] = draw(st.sampled_from([None, None, None, 20_000]))
        if one.get("wall") is None:
            one["walls"] = draw(st.one_of(st.just([]), st.just([]), some))
    if draw(st.sampled_from([False, False, True])):
        data["section_walls"] = {data["pieces"][0]["section"]: draw(some)}
    edges = draw(st.sampled_from([{}, {}, {"lowest_edge_mm": 1000}, {"highest_edge_mm": 1900}]))
    data["arrangement"] |= edges
    return data


@pytest.mark.parametrize("kind", ["even", "by_section", "mirrored", "rise", "centre_high", "rows"])
def test_search_agrees_with_every_way_to_hang(kind):
    @few
    @given(more_asked(kind))
    def test(data):
        agrees(data)

    test()


@pytest.mark.parametrize("kind", KINDS)
def test_every_demand_is_kept_together_with_every_other(kind):
    @few
    @given(demanding(kinds=(kind,)))
    def test(data):
        answer = solve(data, seconds=2)
        assert answer.status != "invalid"
        if answer.placements:
            assert check(Problem.from_dict(data), answer) == []
        else:
            assert answer.conflicts

    test()
