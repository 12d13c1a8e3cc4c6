"""Arrangements: even gaps by hand, sections in order, fixed things kept, same answer twice."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from layouts.floor import Floor, check, solve_floor
from tests.layouts.floor.rooms import box, doors, outline


def loose(count: int, sections: int = 1, seed: int = 1) -> list[dict]:
    dice = random.Random(seed)  # noqa: S311
    return [
        {
            "id": f"P{n}",
            "width_mm": dice.choice([400, 600, 900]),
            "depth_mm": dice.choice([400, 500]),
            "height_mm": 1000,
            "section": str(1 + n * sections // count),
        }
        for n in range(count)
    ]


def room(pieces: list[dict], sections: int = 1, **arrangement) -> dict:
    return {
        "outline": outline(10_000, 14_000),
        "doors": doors(10_000, 14_000),
        "pieces": pieces,
        "sections": [{"id": str(n + 1)} for n in range(sections)],
        "arrangement": arrangement,
    }


def test_gaps_along_an_axis_are_equal():
    """g = (L - sum of widths) / (n + 1): (6000 - 2300) / 4 = 925 (common practice, no source)."""
    pieces = [
        {"id": k, "width_mm": w, "depth_mm": 500, "height_mm": 900}
        for k, w in (("a", 800), ("b", 900), ("c", 600))
    ]
    problem = {**room(pieces, 0, kind="axis", start=[2000, 7000], end=[8000, 7000])}
    report = solve_floor(problem)
    assert check(Floor.from_dict(problem), report) == []
    assert [(p.x_mm, p.y_mm) for p in report.places] == [(3325, 7000), (5100, 7000), (6775, 7000)]
    assert report.spacing.gap_mm == 925


def test_axis_that_is_too_short_says_by_how_much():
    pieces = [
        {"id": k, "width_mm": 1000, "depth_mm": 500, "height_mm": 900} for k in ("a", "b", "c")
    ]
    report = solve_floor(room(pieces, 0, kind="axis", start=[2000, 7000], end=[4500, 7000]))
    found = [f for f in report.findings if f.rule == "place"]
    assert found
    assert report.status == "fails"


def test_grid_goes_to_and_fro_so_that_neighbours_follow_each_other():
    pieces = [{"id": f"P{n}", "width_mm": 600, "depth_mm": 600, "height_mm": 900} for n in range(9)]
    problem = room(pieces, 0, kind="grid", start=[1000, 2000], end=[9000, 12_000], rows=3)
    report = solve_floor(problem)
    assert check(Floor.from_dict(problem), report) == []
    spots = [(p.x_mm, p.y_mm) for p in report.places]
    assert [x for x, _ in spots[:3]] == sorted(x for x, _ in spots[:3])
    assert [x for x, _ in spots[3:6]] == sorted((x for x, _ in spots[3:6]), reverse=True)
    assert spots[2][0] == spots[3][0]
    gaps = [b - a - 600 for a, b in pairwise(x for x, _ in spots[:3])]
    assert max(gaps) - min(gaps) <= 1


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_free_arrangement_keeps_routes_sections_and_fixed_pieces(seed):
    pieces = loose(18, 3, seed)
    pieces.append(box("fixed", 3000, 7000, 1200, 1200, fixed=True))
    problem = room(pieces, 3, kind="free", work=400)
    floor = Floor.from_dict(problem)
    report = solve_floor(floor)
    assert check(floor, report) == []
    assert [f.sentence for f in report.findings] == []
    assert report.spacing.least_mm >= 500
    at = {place.id: place for place in report.places}
    assert (at["fixed"].x_mm, at["fixed"].y_mm) == (3000, 7000)
    for one, two in pairwise(["1", "2", "3"]):
        last = max(at[p["id"]].y_mm for p in pieces if p.get("section") == one)
        first = min(at[p["id"]].y_mm for p in pieces if p.get("section") == two)
        assert last <= first


def test_more_work_never_spreads_worse_and_repeats_itself():
    def least(work: int) -> int:
        return solve_floor(room(loose(14), kind="free", work=work)).spacing.least_mm

    assert least(0) <= least(600)
    problem = room(loose(14), kind="free", work=300)
    assert solve_floor(problem).to_dict() == solve_floor(problem).to_dict()


def test_free_arrangement_may_be_stopped():
    heard: list[float] = []

    def stop(share: float) -> bool:
        heard.append(share)
        return len(heard) < 3

    problem = room(loose(10), kind="free", work=2000)
    report = solve_floor(problem, stop)
    assert len(heard) == 3
    assert check(Floor.from_dict(problem), report) == []


def test_what_finds_no_place_is_said_to_be_left_out():
    pieces = [
        {"id": f"P{n}", "width_mm": 4000, "depth_mm": 4000, "height_mm": 900} for n in range(12)
    ]
    problem = room(pieces, 0, kind="free", work=50)
    floor = Floor.from_dict(problem)
    report = solve_floor(floor)
    (finding,) = [f for f in report.findings if f.rule == "place"]
    assert set(finding.things) | {place.id for place in report.places} == {p["id"] for p in pieces}
    assert check(floor, report) == []


def test_free_arrangement_keeps_the_route_where_the_middle_would_shut_it():
    """In a room 3 m wide a case 1.3 m wide in its middle leaves 850 mm on either side."""
    problem = {
        "outline": outline(3000, 12_000),
        "doors": doors(3000, 12_000),
        "pieces": [
            {"id": name, "width_mm": 1300, "depth_mm": 900, "height_mm": 1100, "section": section}
            for name, section in (("A", "1"), ("B", "1"), ("C", "2"), ("D", "2"))
        ],
        "sections": [{"id": "1"}, {"id": "2"}],
        "arrangement": {"kind": "free", "work": 400},
    }
    for turn in (0, 90):
        pieces = [{**piece, "turn_deg": turn} for piece in problem["pieces"]]
        report = solve_floor({**problem, "pieces": pieces})
        assert len(report.places) == 4
        assert report.route.found
        assert report.route.narrowings == ()
        assert check(Floor.from_dict({**problem, "pieces": pieces}), report) == []
