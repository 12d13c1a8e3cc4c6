"""Every planted fault is caught by code that shares nothing with the measuring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from layouts.floor import Floor, FloorReport, check, solve_floor
from tests.layouts.floor.rooms import at_random, box, two_plinths

PROBLEM = two_plinths(820, 600)
PROBLEM["pieces"] += [
    box("x", 700, 6400, 300, 300, section="1", mass_g=900_000, fixed=True),
    {
        **box("W", 0, 0, 800, 150, kind="wall_piece", wall=1, along_mm=1500, bottom_mm=760),
        "x_mm": None,
        "y_mm": None,
    },
]
PROBLEM["sections"] = [{"id": "1"}]
Spoil = Callable[[FloorReport], FloorReport]


@pytest.fixture(scope="module")
def floor() -> Floor:
    return Floor.from_dict(PROBLEM)


@pytest.fixture(scope="module")
def report(floor) -> FloorReport:
    return solve_floor(floor)


def route(**change) -> Spoil:
    return lambda report: replace(report, route=replace(report.route, **change))


def without(rule: str) -> Spoil:
    return lambda report: replace(
        report, findings=tuple(f for f in report.findings if f.rule != rule)
    )


def first(name: str, **change) -> Spoil:
    return lambda report: replace(
        report,
        **{name: (replace(getattr(report, name)[0], **change), *getattr(report, name)[1:])},
    )


def through_a_plinth(report: FloorReport) -> FloorReport:
    points = report.route.points
    return route(points=(points[0], (900.0, 4000.0), points[-1]))(report)


def too_near(report: FloorReport) -> FloorReport:
    moved = tuple((x + 30, y) if 3000 < y < 5000 else (x, y) for x, y in report.route.points)
    return route(points=moved)(report)


SPOILT: dict[str, tuple[Spoil, str]] = {
    "a piece twice": (lambda r: replace(r, places=(*r.places, r.places[0])), "twice"),
    "a piece left out": (lambda r: replace(r, places=r.places[1:]), "missing"),
    "a strange piece": (first("places", id="Z"), "unknown"),
    "a kept piece moved": (first("places", x_mm=760), "moved"),
    "a piece turned": (first("places", turn_deg=90), "turned"),
    "status": (lambda r: replace(r, status="passes"), "status"),
    "no cautions": (lambda r: replace(r, cautions=()), "caution"),
    "load hidden": (without("floor_load"), "load"),
    "load lessened": (first("loads", n_per_m2=4000), "load"),
    "standing out hidden": (without("protrude"), "protrude"),
    "narrow place widened": (first("narrow", clear_mm=1000), "narrow"),
    "narrow place elsewhere": (first("narrow", start=(700, 1000)), "narrow"),
    "narrow place of strangers": (first("narrow", things=("A", "Q")), "narrow"),
    "widest too wide": (route(widest_mm=990), "widest"),
    "way through a plinth": (through_a_plinth, "clear"),
    "way too near": (too_near, "clear"),
    "way ends early": (
        lambda r: route(points=r.route.points[:-2])(r),
        "ends",
    ),
    "way starts late": (lambda r: route(points=r.route.points[2:])(r), "ends"),
    "length": (route(length_mm=10), "length"),
    "sections skipped": (route(stops=()), "order"),
    "stop far from its section": (
        lambda r: route(
            stops=tuple(
                replace(s, at=(3000, 1000)) if s.kind == "section" else s for s in r.route.stops
            )
        )(r),
        "order",
    ),
    "narrowing hidden": (route(narrowings=()), "clear"),
    "narrowing too long": (
        lambda r: route(narrowings=(replace(r.route.narrowings[0], length_mm=700),))(r),
        "narrowing",
    ),
    "narrowings too near": (
        lambda r: route(
            narrowings=(
                r.route.narrowings[0],
                replace(
                    r.route.narrowings[0],
                    things=("A", "x"),
                    from_mm=r.route.narrowings[0].to_mm + 500,
                    to_mm=r.route.narrowings[0].to_mm + 600,
                ),
            )
        )(r),
        "narrowing",
    ),
}


def test_report_holds(floor, report):
    assert check(floor, report) == []
    assert report.route.found
    assert len(report.route.narrowings) == 1


@pytest.mark.parametrize("name", SPOILT)
def test_planted_fault_is_caught(name, floor, report):
    spoil, rule = SPOILT[name]
    spoilt = spoil(report)
    assert spoilt != report
    assert rule in {fault.rule for fault in check(floor, spoilt)}


def test_hidden_overlap_and_escape_from_the_room_are_caught():
    problem = two_plinths(1200, 600)
    problem["pieces"] += [box("C", 800, 4100, 500, 500), box("D", 4200, 6000, 400, 400)]
    floor = Floor.from_dict(problem)
    report = solve_floor(floor)
    assert check(floor, report) == []
    for rule in ("overlap", "outside"):
        assert rule in {fault.rule for fault in check(floor, without(rule)(report))}


def test_narrow_door_kept_silent_is_caught():
    problem = {**two_plinths(1200, 600)}
    problem["doors"] = [*problem["doors"], {"id": "x", "wall": 1, "along_mm": 0, "width_mm": 700}]
    floor = Floor.from_dict(problem)
    report = solve_floor(floor)
    assert check(floor, report) == []
    assert {fault.rule for fault in check(floor, without("door")(report))} == {"door", "status"}


@pytest.mark.parametrize("seed", range(300, 340))
def test_reports_of_random_rooms_hold_and_survive_json(seed):
    floor = Floor.from_dict(at_random(seed))
    report = solve_floor(floor)
    assert check(floor, report) == []
    assert FloorReport.from_dict(report.to_dict()) == report
    assert Floor.from_dict(floor.to_dict()) == floor


def test_same_input_gives_the_same_answer():
    problem = at_random(7)
    assert solve_floor(problem).to_dict() == solve_floor(problem).to_dict()
