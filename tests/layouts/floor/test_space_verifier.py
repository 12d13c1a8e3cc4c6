"""Planted faults on viewing, leaves of doors, turns, dead ends, passing and the widest way."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest

from layouts.floor import Floor, FloorReport, check, solve_floor
from layouts.floor.report import DeadEnd, Finding
from tests.layouts.floor.rooms import at_random, box, doors, outline, round_a_case, two_plinths

Spoil = Callable[[FloorReport], FloorReport]


def without(rule: str) -> Spoil:
    def spoil(report: FloorReport) -> FloorReport:
        left = tuple(f for f in report.findings if f.rule != rule)
        return replace(report, findings=left, status="fails" if left else "passes")

    return spoil


def with_finding(rule: str, *things: str) -> Spoil:
    def spoil(report: FloorReport) -> FloorReport:
        more = Finding(rule, things, None, 0, 0, "Made up.")
        return replace(report, findings=(*report.findings, more), status="fails")

    return spoil


def first(name: str, **change: object) -> Spoil:
    def spoil(report: FloorReport) -> FloorReport:
        rows = getattr(report, name)
        return replace(report, **{name: (replace(rows[0], **change), *rows[1:])})

    return spoil


def emptied(name: str) -> Spoil:
    return lambda report: replace(report, **{name: ()})


def route(**change: object) -> Spoil:
    return lambda report: replace(report, route=replace(report.route, **change))


def seen() -> dict:
    """Return a room with a picture and, 1,400 mm before it, a high case that one walks round."""
    picture = {"id": "W", "kind": "wall_piece", "width_mm": 800, "height_mm": 600, "depth_mm": 40}
    picture |= {"wall": 1, "along_mm": 3000, "bottom_mm": 1200}
    case = box("B", 40 + 1400 + 300, 3400, 600, 900, height_mm=1300, sides=["right", "back"])
    pillar = box("R", 4500, 3400, 500, 500, shape="round", height_mm=1300)
    return {
        "outline": outline(6000, 8000),
        "doors": doors(6000, 8000),
        "pieces": [{**picture}, case, pillar],
    }


def swinging() -> dict:
    problem = {"outline": outline(6000, 8000), "doors": doors(6000, 8000)}
    problem["doors"][0] |= {"opens": "in", "hinge": "left"}
    return {**problem, "pieces": [box("A", 3000, 650, 300, 300), box("C", 1500, 650, 300, 300)]}


def blind_alley(deep_mm: int) -> dict:
    return {
        "outline": [
            *([0, 0], [0, 4000], [3000, 4000], [3000, 2000]),
            *([3000 + deep_mm, 2000], [3000 + deep_mm, 1000], [3000, 1000], [3000, 0]),
        ],
        "doors": [
            {"id": "in", "wall": 8, "along_mm": 1000, "width_mm": 1000, "role": "entrance"},
            {"id": "out", "wall": 2, "along_mm": 1000, "width_mm": 1000, "role": "exit"},
        ],
    }


def corridor(width_mm: int, long_mm: int) -> dict:
    return {"outline": outline(width_mm, long_mm), "doors": doors(width_mm, long_mm)}


DEAD_END = DeadEnd(2000, (1500, 2000))
SPOILT: dict[str, tuple[dict, Spoil, str]] = {
    "one may step back farther": (seen(), first("viewing", there_mm=1600), "viewing"),
    "nothing stands opposite": (seen(), first("viewing", there_mm=None), "viewing"),
    "a lesser distance is wanted": (seen(), first("viewing", wanted_mm=1200), "viewing"),
    "another side": (seen(), first("viewing", side="back"), "viewing"),
    "viewing not measured": (seen(), emptied("viewing"), "viewing"),
    "short viewing hidden": (seen(), without("viewing"), "viewing"),
    "viewing made up": (seen(), with_finding("viewing", "R"), "viewing"),
    "a struck leaf hidden": (swinging(), without("swing"), "swing"),
    "a struck leaf made up": (swinging(), with_finding("swing", "in", "C"), "swing"),
    "a narrow turn hidden": (round_a_case(1200, 1065, 1219), without("turn"), "turn"),
    "a turn not measured": (round_a_case(1200, 1065, 1220), emptied("turns"), "turn"),
    "a turn widened at its end": (
        round_a_case(1200, 1065, 1219), first("turns", end_mm=1230), "turn"
    ),
    "a turn widened beside": (
        round_a_case(1200, 1000, 1220), first("turns", approach_mm=1100, leaving_mm=1100), "turn"
    ),
    "a turn open at its end": (
        round_a_case(1200, 1065, 1219), first("turns", end_mm=None), "turn"
    ),
    "a wider element": (round_a_case(1200, 1065, 1219), first("turns", element_mm=1300), "turn"),
    "a turn round a stranger": (
        round_a_case(1200, 1065, 1219), first("turns", element="Z"), "turn"
    ),
    "a turn made up": (
        two_plinths(1200, 600),
        lambda r: replace(r, turns=solve_floor(round_a_case(1200, 1065, 1220)).turns),
        "turn",
    ),
    "a narrow turn made up": (
        round_a_case(1200, 1065, 1220), with_finding("turn", "case"), "turn"
    ),
    "a dead end hidden": (
        blind_alley(3000), lambda r: without("dead_end")(replace(r, dead_ends=())), "dead_end"
    ),
    "a dead end without a finding": (blind_alley(3000), without("dead_end"), "dead_end"),
    "a dead end lessened": (
        blind_alley(3000), first("dead_ends", depth_mm=1300), "dead_end"
    ),
    "a dead end elsewhere": (blind_alley(3000), first("dead_ends", at=(1500, 2000)), "dead_end"),
    "a dead end made up": (
        blind_alley(900),
        lambda r: with_finding("dead_end")(replace(r, dead_ends=(DEAD_END,))),
        "dead_end",
    ),
    "no passing place, hidden": (corridor(1450, 66_000), without("passing"), "passing"),
    "no passing place, made up": (corridor(1700, 66_000), with_finding("passing"), "passing"),
    "no passing place on a short way": (
        corridor(1450, 30_000), with_finding("passing"), "passing"
    ),
    "no turning place, hidden": (corridor(1300, 6000), without("turning"), "turning"),
    "a turning place in a corner": (
        two_plinths(1200, 600),
        lambda r: replace(r, turning_places=((400, 400),)),
        "turning",
    ),
    "a turning place outside": (
        two_plinths(1200, 600),
        lambda r: replace(r, turning_places=((-4000, 400),)),
        "turning",
    ),
    "no turning place, made up": (
        two_plinths(1200, 600),
        lambda r: with_finding("turning")(replace(r, turning_places=())),
        "turning",
    ),
    "turning places and none": (two_plinths(1200, 600), with_finding("turning"), "turning"),
    "more clear floor": (
        two_plinths(1300, 600),
        lambda r: first("clearances", area_mm2=r.clearances[0].area_mm2 * 6 // 5)(r),
        "clearance",
    ),
    "less clear floor": (
        two_plinths(1300, 600),
        lambda r: first("clearances", area_mm2=r.clearances[0].area_mm2 * 4 // 5)(r),
        "clearance",
    ),
    "less floor reached": (
        two_plinths(1300, 600), first("clearances", reached_mm2=5_000_000), "clearance"
    ),
    "more floor reached": (
        two_plinths(800, 1000),
        lambda r: replace(
            r, clearances=tuple(replace(c, reached_mm2=c.area_mm2 * 2) for c in r.clearances)
        ),
        "clearance",
    ),
    "a wider way kept silent": (two_plinths(1300, 600), route(widest_mm=1100), "widest"),
    "no way where there is one": (two_plinths(1300, 600), route(widest_mm=0), "widest"),
    "a wider way made up": (
        two_plinths(1000, 600), route(widest_mm=1200, narrowest=None), "widest"
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SPOILT)
def test_planted_fault_is_caught(name):
    problem, spoil, rule = SPOILT[name]
    floor = Floor.from_dict(problem)
    report = solve_floor(floor)
    assert check(floor, report) == []
    spoilt = spoil(report)
    assert spoilt != report
    assert rule in {fault.rule for fault in check(floor, spoilt)}


def furnished(seed: int) -> dict:
    """Return a random room in which one looks at things, leaves open in, and alcoves end blind."""
    dice = random.Random(seed)  # noqa: S311
    problem = at_random(seed, width_mm=dice.randint(4000, 9000), deep_mm=dice.randint(6000, 9000))
    for piece in problem["pieces"]:
        piece["height_mm"] = dice.choice([500, 1100, 1300, 2200])
        piece["sides"] = dice.sample(["front", "back", "left", "right"], dice.randint(0, 2))
        piece["section"] = dice.choice(["1", "2"])
    for door in problem["doors"]:
        door |= {"opens": dice.choice(["in", "out"]), "hinge": dice.choice(["left", "right"])}
    problem["pieces"][0]["section"], problem["pieces"][1]["section"] = "1", "2"
    width = problem["outline"][2][0]
    out = dice.randint(500, 4000)
    alcove = [[width + out, 3400], [width + out, 3400 - dice.randint(500, 1600)]]
    alcove = [[width, 3400], *alcove, [width, alcove[1][1]]]
    problem["outline"] = [*problem["outline"][:3], *alcove, problem["outline"][3]]
    problem["doors"][0] |= {"wall": 8}
    picture = {"id": "W", "kind": "wall_piece", "width_mm": 800, "height_mm": 600, "depth_mm": 60}
    problem["pieces"].append({**picture, "wall": 1, "along_mm": 2500, "bottom_mm": 1200})
    problem["sections"] = [{"id": "1"}, {"id": "2"}]
    return problem


@pytest.mark.parametrize("first_seed", range(0, 24, 6))
def test_reports_of_furnished_rooms_hold(first_seed):
    for seed in range(first_seed, first_seed + 6):
        floor = Floor.from_dict(furnished(seed))
        assert check(floor, solve_floor(floor)) == [], seed
