"""Answer a floor: place what is to be placed, find the route, measure, and say what to mend."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import floor as rounded_down
from typing import Any

from layouts.floor import things, turns
from layouts.floor.arrange import Arranged, arrange
from layouts.floor.cautions import cautions
from layouts.floor.gaps import WIDEST_MM, Gap, find_gaps
from layouts.floor.narrow import as_narrow, as_narrowing, narrow_places
from layouts.floor.passing import holding, walkable, widest
from layouts.floor.problem import Floor, InvalidFloor
from layouts.floor.report import (
    Clearance,
    Finding,
    FloorReport,
    Place,
    Route,
    Stop,
    spot,
)
from layouts.floor.route import Try, Way, full_way, narrow_way
from layouts.floor.scene import Scene, Shape, eroded, scene_of
from layouts.floor.stops import targets

MOST_SPOTS = 60
Progress = Callable[[float], bool]


def solve_floor(
    problem: Floor | dict[str, Any], on_progress: Progress | None = None
) -> FloorReport:
    """Return the report of a floor; what cannot be read is `invalid`, with sentences.

    `on_progress` hears the share done of an arrangement and may answer False to stop it with
    the best found. Nothing depends on the clock.
    """
    try:
        floor = problem if isinstance(problem, Floor) else Floor.from_dict(problem)
    except InvalidFloor as error:
        return FloorReport("invalid", faults=tuple(error.faults))
    arranged = arrange(floor, on_progress)
    return report_on(arranged.floor, arranged)


def report_on(floor: Floor, arranged: Arranged | None = None) -> FloorReport:
    """Measure a floor whose pieces stand where they stand."""
    scene = scene_of(floor)
    gaps = find_gaps(scene)
    route, route_findings, tried = _route(scene, gaps)
    points = route.points if route else ()
    part = _reached(scene, gaps, points)
    loads, viewing = things.loads(scene), things.viewing(scene)
    half_turns = tuple(turns.half_turns(scene, points))
    spots, ends = turns.turning_places(scene, part), tuple(turns.dead_ends(scene, part, points))
    findings = [
        *(arranged.findings if arranged else ()),
        *things.check_standing(scene),
        *things.check_doors(scene),
        *route_findings,
        *_turn_findings(scene, half_turns),
        *_space_findings(scene, part, spots, ends, points),
        *_unreached(scene, part, tried),
        *things.check_standing_out(scene),
        *things.check_loads(scene, loads),
        *things.check_viewing(scene, viewing),
    ]
    return FloorReport(
        status="fails" if findings else "passes",
        rules=scene.rules.title,
        places=_places(floor),
        findings=tuple(findings),
        route=route,
        narrow=narrow_places(scene, gaps, tried.walked if tried else ()),
        clearances=_clearances(scene, part),
        turns=half_turns,
        turning_places=tuple(spot(point) for point in spots[:MOST_SPOTS]),
        dead_ends=ends,
        loads=loads,
        viewing=viewing,
        spacing=arranged.spacing if arranged else None,
        cautions=cautions(floor, scene.rules),
    )


def _places(floor: Floor) -> tuple[Place, ...]:
    return tuple(
        Place(piece.id, piece.x_mm, piece.y_mm, piece.turn_deg)
        for piece in floor.pieces
        if piece.wall is None and piece.x_mm is not None and piece.y_mm is not None
    )


def _route(scene: Scene, gaps: Sequence[Gap]) -> tuple[Route | None, list[Finding], Way | None]:
    stops = targets(scene, scene.route_mm)
    if len(stops) < 2:
        return None, [_no_ends()], None
    full = full_way(scene, gaps, scene.route_mm)
    tried = None if full else narrow_way(scene, gaps)
    most = widest(scene, gaps)
    found = full or (tried.way if tried and not tried.bad else None)
    # Where no way keeps the rules, the widest shows where it is held up.
    shown = (
        found or (tried.way if tried else None) or (full_way(scene, gaps, most) if most else None)
    )
    hold = holding(scene, gaps, most) if 0 < most < WIDEST_MM else None
    narrowest = as_narrow(scene, hold, on_route=True) if hold else None
    route = Route(
        found=found is not None,
        width_mm=scene.route_mm,
        widest_mm=most,
        widest_is_exact=most < WIDEST_MM,
        points=tuple((round(x, 2), round(y, 2)) for x, y in shown.points) if shown else (),
        length_mm=round(_length(shown)) if shown else 0,
        stops=_stops(shown),
        narrowings=tuple(as_narrowing(row) for row in tried.squeezes) if tried else (),
        narrowest=narrowest,
    )
    return route, list(_route_findings(scene, route, tried)), shown


def _length(way: Way) -> float:
    from layouts.floor.paths import length_mm

    return length_mm(way.points)


def _stops(way: Way | None) -> tuple[Stop, ...]:
    if way is None:
        return ()
    return tuple(Stop(t.id, t.kind, spot(at), round(far)) for t, at, far in way.stops)


def _no_ends() -> Finding:
    return Finding(
        "route",
        (),
        None,
        None,
        None,
        "No route was sought: it needs an entrance, and an exit or a section.",
        "Give a door the role entrance or both, and name sections or an exit.",
        "",
    )


def _route_findings(scene: Scene, route: Route, tried: Try | None) -> Iterable[Finding]:
    if route.found:
        return
    cite = scene.rules.cite("route_mm")
    if route.widest_mm == 0:
        yield Finding(
            "route",
            tuple(t.id for t in targets(scene, scene.route_mm)),
            None,
            0,
            route.width_mm,
            "There is no way from the entrance through the sections to the exit.",
            "Open a way, or bring the sections where one can go.",
            cite,
        )
        return
    place = route.narrowest
    left = " There are more ways with narrow places than were looked at." if _more(tried) else ""
    where = f", held up between {place.things[0]} and {place.things[1]}" if place else ""
    yield Finding(
        "route",
        place.things if place else (),
        spot(((place.start[0] + place.end[0]) / 2, (place.start[1] + place.end[1]) / 2))
        if place
        else None,
        route.widest_mm,
        route.width_mm,
        f"The widest route is {route.widest_mm} mm{where}; {route.width_mm} mm are asked.{left}",
        f"Make {route.width_mm - route.widest_mm} mm more room there." if place else "",
        cite,
    )
    for kind, rows in tried.bad if tried else ():
        told = [as_narrowing(row) for row in rows]
        if kind == "long":
            most = scene.rules.value("short_length_mm")
            yield Finding(
                "narrowing",
                told[0].things,
                told[0].at,
                told[0].length_mm,
                most,
                f"The narrow place of {told[0].clear_mm} mm at {', '.join(told[0].things)} is "
                f"{told[0].length_mm} mm long; {most} mm are the most.",
                "Shorten or widen it.",
                scene.rules.cite("short_length_mm"),
            )
        else:
            apart = told[1].from_mm - told[0].to_mm
            least = scene.rules.value("between_short_mm")
            yield Finding(
                "narrowing",
                tuple(dict.fromkeys((*told[0].things, *told[1].things))),
                told[1].at,
                apart,
                least,
                f"Two narrow places follow each other after {apart} mm; at least {least} mm of "
                "full width are asked between them.",
                "Widen one of them.",
                scene.rules.cite("between_short_mm"),
            )


def _more(tried: Try | None) -> bool:
    return tried is not None and tried.more


def _turn_findings(scene: Scene, found: Sequence[Any]) -> Iterable[Finding]:
    for turn in found:
        if turns.turn_is_kept(scene, turn):
            continue
        widths = [
            "open" if width is None else f"{width} mm"
            for width in (turn.approach_mm, turn.end_mm, turn.leaving_mm)
        ]
        rules = scene.rules
        yield Finding(
            "turn",
            (turn.element,),
            turn.at,
            min(w for w in (turn.approach_mm, turn.end_mm, turn.leaving_mm) if w is not None),
            rules.value("turn_end_mm"),
            f"The 180° turn round {turn.element}, {turn.element_mm} mm wide, has {widths[0]} "
            f"towards it, {widths[1]} at it, {widths[2]} away from it.",
            f"Give {rules.value('turn_approach_mm')} mm beside and {rules.value('turn_end_mm')} mm "
            f"at the end, or {rules.value('turn_end_wide_mm')} mm at the end.",
            rules.cite("turn_end_mm"),
        )


def _space_findings(
    scene: Scene, part: Shape, spots: Sequence[Any], ends: Sequence[Any], points: Sequence[Any]
) -> Iterable[Finding]:
    rules = scene.rules
    if not spots and turns.tee_place(scene, part) is None:
        wanted = rules.value("turning_mm")
        yield Finding(
            "turning",
            (),
            None,
            None,
            wanted,
            f"There is no turning place of {wanted} mm on the floor that the entrance reaches.",
            "Clear a circle, or a T where the rule set has one.",
            rules.cite("turning_mm"),
        )
    for end in ends:
        yield Finding(
            "dead_end",
            (),
            end.at,
            end.depth_mm,
            rules.value("dead_end_mm"),
            f"A way ends {end.depth_mm} mm beyond the last place to turn.",
            "Close it, open its end, or widen it.",
            rules.cite("dead_end_mm"),
        )
    long_mm = turns.longest_without_passing(scene, points)
    every = rules.get("passing_every_mm")
    if every is not None and long_mm > every:
        yield Finding(
            "passing",
            (),
            None,
            rounded_down(long_mm),
            every,
            f"For {long_mm / 1000:.1f} m of the route two wheelchairs cannot pass each other.",
            "Clear a passing place on the way.",
            rules.cite("passing_every_mm"),
        )


def _unreached(scene: Scene, part: Shape, way: Way | None) -> Iterable[Finding]:
    """Yield pieces of a section that one cannot come near to on the floor that is reached."""
    if way is None:
        return
    reach = scene.rules.value("approach_mm") + scene.route_mm / 2
    for piece in scene.floor.pieces:
        if piece.section is None or piece.id not in scene.bodies:
            continue
        far = part.distance(scene.bodies[piece.id])
        if far > reach:
            yield Finding(
                "approach",
                (piece.id,),
                spot(things.middle(scene.bodies[piece.id])),
                round(far + scene.route_mm / 2) if far < float("inf") else None,
                scene.rules.value("approach_mm"),
                f"One cannot come near to {piece.id} at the route's width.",
                "Widen the way to it.",
                scene.rules.cite("approach_mm"),
            )


def _reached(scene: Scene, gaps: Sequence[Gap], points: Sequence[Any]) -> Shape:
    """Return where a disc as wide as the route may be, as far as the route touches it."""
    import shapely

    shape = walkable(scene, gaps, scene.route_mm)
    if len(points) < 2:
        return shape
    line = shapely.LineString(points)
    return shapely.union_all([p for p in shapely.get_parts(shape) if p.distance(line) < 0.1])


def _clearances(scene: Scene, part: Shape) -> tuple[Clearance, ...]:
    rules = scene.rules
    names = ("short_mm", "route_mm", "passing_mm", "turning_mm")
    widths = {scene.route_mm, *(width for name in names if (width := rules.get(name)))}
    rows = []
    for width in sorted(widths):
        room = eroded(scene, width)
        touched = room.buffer(width / 2, quad_segs=12)
        reached = room.intersection(part) if width >= scene.route_mm else part
        spread = reached.buffer(width / 2, quad_segs=12)
        rows.append(Clearance(width, round(touched.area), round(spread.area)))
    return tuple(rows)
