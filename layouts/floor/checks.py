"""Verify a floor's report with code, and geometry, that the measuring does not use.

It verifies places, the route's clearance and order, narrow places, loads, what stands out, doors,
viewing, turns, and on a raster whether the widest way, dead ends, turning and passing places are
told rightly. What the raster cannot tell apart passes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from math import floor as rounded_down
from math import hypot, pi

from layouts.floor import plain
from layouts.floor.cautions import cautions
from layouts.floor.facts import Facts, Fault
from layouts.floor.look_checks import swings, viewing
from layouts.floor.plain import Solid, Vec
from layouts.floor.problem import Floor
from layouts.floor.report import FloorReport, Narrow, Route
from layouts.floor.rules import load
from layouts.floor.scene import moved
from layouts.floor.space_checks import space
from layouts.floor.turn_checks import half_turns

GRAVITY = 9.80665


def check(problem: Floor, report: FloorReport) -> list[Fault]:
    """Return everything that a report says wrongly; an empty list means that it holds."""
    faults = list(_places(problem, report))
    if faults:
        return faults
    rules = load(problem.rules, problem.limits)
    places = {place.id: (place.x_mm, place.y_mm) for place in report.places}
    floor = moved(problem, places)
    there = tuple(p for p in floor.pieces if p.wall is not None or p.id in places)
    floor = replace(floor, pieces=there)
    facts = Facts.of(floor, rules)
    faults += _status(facts, report)
    faults += _standing(facts, report)
    faults += _narrow(facts, report)
    faults += _loads(facts, report)
    faults += _standing_out(facts, report)
    faults += _doors(facts, report)
    faults += viewing(facts, report)
    faults += swings(facts, report)
    faults += half_turns(facts, report)
    faults += space(facts, report)
    if report.route and report.route.found:
        faults += _ends(facts, report.route)
        faults += _order(facts, report.route)
        faults += _clear(facts, report.route)
        faults += _narrowings(facts, report.route)
    return faults


def _places(problem: Floor, report: FloorReport) -> Iterator[Fault]:
    pieces = {piece.id: piece for piece in problem.pieces if piece.wall is None}
    seen: set[str] = set()
    for place in report.places:
        piece = pieces.get(place.id)
        if piece is None:
            yield Fault("unknown", (place.id,), f"{place.id} is not a standing piece of the floor.")
        elif place.id in seen:
            yield Fault("twice", (place.id,), f"{place.id} stands twice.")
        elif piece.turn_deg != place.turn_deg:
            yield Fault("turned", (place.id,), f"{place.id} was turned.")
        elif (piece.fixed or problem.arrangement.kind == "keep") and (
            (piece.x_mm, piece.y_mm) != (place.x_mm, place.y_mm)
        ):
            yield Fault("moved", (place.id,), f"{place.id} was moved, though it has its place.")
        seen.add(place.id)
    unplaced = {key for finding in report.findings for key in finding.things}
    for key in sorted(pieces.keys() - seen - unplaced):
        yield Fault("missing", (key,), f"{key} stands nowhere and is not said to be left out.")


def _status(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    if (report.status == "passes") != (not report.findings):
        yield Fault("status", (), f"The status is {report.status}, the findings say otherwise.")
    if report.route and not report.route.found and report.status == "passes":
        yield Fault("status", (), "No route was found, and the status is passes.")
    for words in set(cautions(facts.floor, facts.rules)) - set(report.cautions):
        yield Fault("caution", (), f"A caution is missing: {words}")


def _found(report: FloorReport, rule: str) -> set[tuple[str, ...]]:
    return {finding.things for finding in report.findings if finding.rule == rule}


def _standing(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    heights = {piece.id: (piece.bottom_mm, piece.top_mm) for piece in facts.floor.pieces}
    told = {frozenset(things) for things in _found(report, "overlap")}
    boxes = {s.name: [plain.reach(s, axis) for axis in ((1, 0), (0, 1))] for s in facts.all}
    for a, b in combinations(facts.solids.values(), 2):
        if any(
            p[1] < q[0] or q[1] < p[0] for p, q in zip(boxes[a.name], boxes[b.name], strict=True)
        ):
            continue
        (low_a, top_a), (low_b, top_b) = heights[a.name], heights[b.name]
        if frozenset((a.name, b.name)) in told or low_a >= top_b or low_b >= top_a:
            continue
        if plain.overlap_depth(a, b) > 1:
            yield Fault("overlap", (a.name, b.name), f"{a.name} and {b.name} overlap.")
    outside = _found(report, "outside")
    for solid in facts.solids.values():
        if (solid.name,) not in outside and not _inside(facts, solid):
            yield Fault("outside", (solid.name,), f"{solid.name} reaches beyond the room.")


def _inside(facts: Facts, solid: Solid) -> bool:
    middle = tuple(sum(p[k] for p in solid.points) / len(solid.points) for k in (0, 1))
    if not plain.holds(facts.floor.outline, (middle[0], middle[1])):
        return False
    hair = solid.radius - 0.05 if solid.radius else 0.0
    if hair:
        rim = Solid(solid.name, solid.points, hair)
    else:
        rim = Solid(
            solid.name,
            tuple(
                (x + (middle[0] - x) * 1e-4, y + (middle[1] - y) * 1e-4) for x, y in solid.points
            ),
        )
    return all(plain.apart(rim, wall) > 0 for wall in facts.walls.values())


def _narrow(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    rows = list(report.narrow)
    if report.route and report.route.narrowest:
        rows.append(report.route.narrowest)
        widest, told = report.route.widest_mm, report.route.narrowest.clear_mm
        if told < widest:
            yield Fault(
                "widest",
                report.route.narrowest.things,
                f"The widest route is said to be {widest} mm and its narrowest place {told} mm.",
            )
    for row in rows:
        things = [_thing(facts, name) for name in row.things]
        if None in things:
            yield Fault("narrow", row.things, f"{row.things} are not both in this room.")
            continue
        first, second = (thing for thing in things if thing is not None)
        yield from _measured(facts, row, first, second)


def _measured(facts: Facts, row: Narrow, first: Solid, second: Solid) -> Iterator[Fault]:
    names = " and ".join(row.things)
    true = plain.apart(first, second)
    if not -1 <= true - row.clear_mm < 2:
        yield Fault("narrow", row.things, f"{names} are {true:.0f} mm apart, not {row.clear_mm}.")
    if plain.to_point(first, row.start) > 1.5 or plain.to_point(second, row.end) > 1.5:
        yield Fault("narrow", row.things, f"The narrow place of {names} is not where it is said.")
    # What only touches the line, a round above all, does not stand on it.
    between = [
        replace(s, radius=max(0.0, s.radius - 0.5))
        for s in facts.solids.values()
        if s.name not in (first.name, second.name)
    ]
    share = min(0.3, 2 / max(1.0, true))
    (ax, ay), (bx, by) = row.start, row.end
    a = (ax + (bx - ax) * share, ay + (by - ay) * share)
    b = (bx + (ax - bx) * share, by + (ay - by) * share)
    if any(plain.from_line(solid, a, b) == 0 for solid in between):
        yield Fault("narrow", row.things, f"Something stands between {names}.")


def _thing(facts: Facts, name: str) -> Solid | None:
    for door in facts.floor.doors:
        if name == f"door {door.id}":
            return facts.walls[f"wall {door.wall}"]
    return facts.solids.get(name) or facts.walls.get(name)


def _loads(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    told = {row.id: row for row in report.loads}
    limit = facts.floor.floor_n_per_m2 or facts.rules.value("floor_n_per_m2")
    over = {things[0] for things in _found(report, "floor_load")}
    for piece in facts.floor.pieces:
        if not piece.mass_g or piece.wall is not None or piece.kind == "suspended":
            continue
        plan = piece.width_mm * piece.depth_mm * (pi / 4 if piece.shape == "round" else 1)
        true = piece.mass_g * GRAVITY * 1000 / (piece.bearing_mm2 or plan)
        row = told.get(piece.id)
        if row is None or abs(row.n_per_m2 - true) > 1 or row.limit_n_per_m2 != limit:
            yield Fault("load", (piece.id,), f"{piece.id} puts {true:.0f} N/m² on the floor.")
        if (true > limit + 1) != (piece.id in over) and abs(true - limit) > 1:
            yield Fault("load", (piece.id,), f"{piece.id}: the finding on its load is wrong.")


def _standing_out(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    rules = facts.rules
    told = {things[0] for things in _found(report, "protrude") | _found(report, "headroom")}
    band = range(rules.value("protrude_above_mm") + 1, rules.value("headroom_mm") + 1)
    for piece in facts.floor.pieces:
        bad = False
        if piece.bottom_mm in band:
            if piece.wall is not None:
                bad = piece.depth_mm > rules.value("protrude_mm")
            elif piece.overhang_mm:
                bad = piece.overhang_mm > rules.value("post_overhang_mm")
            else:
                bad = piece.bottom_mm < rules.value("headroom_mm")
        if bad != (piece.id in told):
            words = "is not told" if bad else "is told and is not so"
            yield Fault("protrude", (piece.id,), f"That {piece.id} stands out {words}.")


def _doors(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    told = {things[0] for things in _found(report, "door")}
    for door in facts.floor.doors:
        if (door.width_mm < facts.rules.value("door_mm")) != (door.id in told):
            yield Fault("door", (door.id,), f"The finding on the width of door {door.id} is wrong.")


def _ends(facts: Facts, route: Route) -> Iterator[Fault]:
    for kind, point in (("entrance", route.points[0]), ("exit", route.points[-1])):
        doors = [d for d in facts.floor.doors if d.role in (kind, "both")]
        if doors and all(_from_door(facts, d.wall, d.along_mm, d.width_mm, point) for d in doors):
            yield Fault("ends", (doors[0].id,), f"The route does not come to the {kind}.")
    true = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(route.points))
    if abs(true - route.length_mm) > 2:
        yield Fault("length", (), f"The route is {true:.0f} mm long, not {route.length_mm}.")


def _from_door(facts: Facts, wall: int, along: int, width: int, point: Vec) -> bool:
    """Return whether a point is off a door's opening."""
    (ax, ay), (bx, by) = facts.floor.ends_of(wall)
    long = hypot(bx - ax, by - ay)
    at = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / long
    off = plain.to_point(facts.walls[f"wall {wall}"], point)
    return off > 1.5 or not along - 1 <= at <= along + width + 1


def _order(facts: Facts, route: Route) -> Iterator[Fault]:
    stops = [stop for stop in route.stops if stop.kind == "section"]
    wanted = [section.id for section in facts.floor.sections]
    if [stop.id for stop in stops] != wanted:
        yield Fault("order", tuple(wanted), "The route does not take the sections in order.")
    if any(a.along_mm > b.along_mm for a, b in pairwise(route.stops)):
        yield Fault("order", (), "The stops of the route do not follow each other.")
    for stop in stops:
        section = next((s for s in facts.floor.sections if s.id == stop.id), None)
        if section is None:
            continue
        near = facts.rules.value("approach_mm") + route.width_mm / 2 + 2
        if section.area:
            near_enough = plain.to_point(Solid("", section.area), stop.at) <= 2
        else:
            near_enough = any(
                plain.to_point(plain.solid_of(facts.floor, piece), stop.at) <= near
                for piece in facts.floor.pieces
                if piece.section == stop.id
            )
        if not near_enough:
            yield Fault("order", (stop.id,), f"The stop for section {stop.id} is not near it.")
        if min(_to_line(route.points, stop.at)) > 2:
            yield Fault("order", (stop.id,), f"The route passes by its stop for {stop.id}.")


def _to_line(points: Iterable[Vec], at: Vec) -> Iterator[float]:
    here = Solid("", (at,))
    for a, b in pairwise(points):
        yield plain.apart(here, Solid("", (a, b)))


def _clear(facts: Facts, route: Route) -> Iterator[Fault]:
    """Yield where the route comes nearer to something than half its width."""
    half = route.width_mm / 2
    short = (facts.rules.get("short_mm") or route.width_mm) / 2
    hair = 0.5 + 0.003 * half
    far = 0.0
    for n, (a, b) in enumerate(pairwise(route.points)):
        long = hypot(b[0] - a[0], b[1] - a[1])
        need = half
        if any(far < w.to_mm + half and far + long > w.from_mm - half for w in route.narrowings):
            need = short
        # Between a door's line and the first full disc inside, the door's own width counts.
        in_door = n in (0, len(route.points) - 2) and long <= route.width_mm
        for solid in facts.solids.values() if in_door else facts.all:
            off = plain.from_line(solid, a, b)
            if off < (1 if in_door else need - hair):
                yield Fault(
                    "clear",
                    (solid.name,),
                    f"The route passes {solid.name} at {rounded_down(off)} mm; "
                    f"{need:.0f} mm are needed.",
                )
        if not plain.holds(facts.floor.outline, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)):
            yield Fault("clear", (), "The route leaves the room.")
        far += long


def _narrowings(facts: Facts, route: Route) -> Iterator[Fault]:
    if not route.narrowings:
        return
    rules = facts.rules
    for row in route.narrowings:
        if row.clear_mm < rules.value("short_mm") or row.length_mm > rules.value("short_length_mm"):
            yield Fault(
                "narrowing", row.things, f"{row.clear_mm} mm for {row.length_mm} mm is too narrow."
            )
    for one, two in pairwise(route.narrowings):
        again = (
            set(one.things) & set(two.things) == set(one.things) and one.clear_mm == two.clear_mm
        )
        if two.from_mm - one.to_mm < rules.value("between_short_mm") - 1 and not again:
            yield Fault("narrowing", two.things, "Two narrow places are too near each other.")
