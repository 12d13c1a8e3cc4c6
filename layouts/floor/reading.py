"""Read a floor from JSON, and say of every fault which field, which value and what to do."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

from layouts.floor import rules
from layouts.floor.problem import (
    ARRANGEMENTS,
    HINGES,
    KINDS,
    OPENS,
    ROLES,
    SHAPES,
    SIDES,
    Arrangement,
    Door,
    Floor,
    InvalidFloor,
    Piece,
    Point,
    Section,
)
from layouts.json_row import JsonRow

MOST_PIECES, MOST_CORNERS, MOST_DOORS = 500, 400, 100
FURTHEST_MM = 1_000_000
HEAVIEST_G = 100_000_000
MOST_WORK = 200_000


class _Row(JsonRow):
    """One JSON object of a floor."""

    def whole(
        self, key: str, least: int = 0, most: int = FURTHEST_MM, *, empty: bool = False
    ) -> Any:
        value = self.value(key)
        if value is None and empty:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(key, value, "give a whole number")
        elif not least <= value <= most:
            self.fault(key, value, f"it must lie from {least} to {most}")
        else:
            return value
        return max(least, 1)

    def word(self, key: str, choices: tuple[str, ...]) -> str:
        value = self.value(key)
        if value not in choices:
            self.fault(key, value, f"use one of {', '.join(choices)}")
            return choices[0]
        return str(value)

    def name(self, key: str, *, empty: bool = False) -> Any:
        value = self.value(key)
        if value is None and empty:
            return None
        if not isinstance(value, str) or not value:
            self.fault(key, value, "give a name")
            return ""
        return value

    def point(self, key: str) -> Point | None:
        value = self.value(key)
        return None if value is None else _point(self.faults, value, f"{self.where}.{key}")

    def points(self, key: str) -> tuple[Point, ...]:
        value = self.value(key)
        if not isinstance(value, list | tuple) or len(value) > MOST_CORNERS:
            self.fault(key, value, f"give a list of at most {MOST_CORNERS} corners [x, y]")
            return ()
        return tuple(
            _point(self.faults, item, f"{self.where}.{key}[{n}]") for n, item in enumerate(value)
        )


def _point(faults: list[str], value: Any, where: str) -> Point:
    if (
        isinstance(value, list | tuple)
        and len(value) == 2
        and all(isinstance(v, int) and not isinstance(v, bool) for v in value)
        and all(abs(v) <= FURTHEST_MM for v in value)
    ):
        return (value[0], value[1])
    faults.append(f"{where} is {value!r}: give [x, y] in whole millimetres within ±{FURTHEST_MM}.")
    return (0, 0)


def read_floor(data: Any) -> Floor:
    """Return the floor, or raise InvalidFloor with every fault found."""
    faults: list[str] = []
    if not isinstance(data, dict):
        raise InvalidFloor(["The floor must be a JSON object with outline, doors and pieces."])
    row = _Row(faults, data, "floor", Floor)
    name = data.get("rules", "us_ada_2010")
    if name not in rules.names():
        row.fault("rules", name, f"use one of {', '.join(rules.names())}")
        name = "us_ada_2010"
    floor = Floor(
        outline=row.points("outline"),
        doors=tuple(
            _door(faults, item, n) for n, item in enumerate(_rows(row, "doors", MOST_DOORS))
        ),
        pieces=tuple(
            _piece(faults, item, n) for n, item in enumerate(_rows(row, "pieces", MOST_PIECES))
        ),
        sections=tuple(
            _section(faults, item, n) for n, item in enumerate(_rows(row, "sections", MOST_DOORS))
        ),
        name=str(data.get("name", "room")),
        rules=name,
        limits=_limits(row),
        floor_n_per_m2=row.whole("floor_n_per_m2", 1, empty=True),
        width_mm=row.whole("width_mm", 300, 5000, empty=True),
        arrangement=_arrangement(faults, data.get("arrangement", {})),
    )
    if not faults:
        _outline(faults, floor)
        _cross_check(faults, floor)
    if faults:
        raise InvalidFloor(faults)
    return floor


def _rows(row: _Row, key: str, most: int) -> list[Any]:
    value = row.data.get(key)
    if value is None:
        return []
    if not isinstance(value, list) or len(value) > most:
        row.faults.append(f"{key} must be a list of at most {most} objects.")
        return []
    return value


def _limits(row: _Row) -> dict[str, int]:
    value = row.data.get("limits")
    if value is None:
        return {}
    if not isinstance(value, dict):
        row.fault("limits", value, "give an object of limits by name")
        return {}
    known = rules.known_limits()
    kept = {}
    for key, number in value.items():
        if key not in known:
            row.fault(f"limits.{key}", number, f"use one of {', '.join(sorted(known))}")
        elif isinstance(number, bool) or not isinstance(number, int) or number < 0:
            row.fault(f"limits.{key}", number, "give a whole number, 0 or more")
        else:
            kept[key] = number
    return kept


def _door(faults: list[str], data: Any, n: int) -> Door:
    row = _Row(faults, data, f"doors[{n}]", Door)
    return Door(
        id=row.name("id"),
        wall=row.whole("wall", 1, MOST_CORNERS),
        along_mm=row.whole("along_mm"),
        width_mm=row.whole("width_mm", 300, 20_000),
        role=row.word("role", ROLES),
        hinge=row.word("hinge", HINGES),
        opens=row.word("opens", OPENS),
        leaf_mm=row.whole("leaf_mm", 300, 5000, empty=True),
    )


def _piece(faults: list[str], data: Any, n: int) -> Piece:
    row = _Row(faults, data, f"pieces[{n}]", Piece)
    sides = row.value("sides")
    if not isinstance(sides, list | tuple) or any(side not in SIDES for side in sides):
        row.fault("sides", sides, f"give a list out of {', '.join(SIDES)}")
        sides = ()
    return Piece(
        id=row.name("id"),
        width_mm=row.whole("width_mm", 1, 100_000),
        depth_mm=row.whole("depth_mm", 1, 100_000),
        height_mm=row.whole("height_mm", 1, 20_000),
        kind=row.word("kind", KINDS),
        shape=row.word("shape", SHAPES),
        x_mm=row.whole("x_mm", -FURTHEST_MM, empty=True),
        y_mm=row.whole("y_mm", -FURTHEST_MM, empty=True),
        turn_deg=row.whole("turn_deg", -359, 359),
        wall=row.whole("wall", 1, MOST_CORNERS, empty=True),
        along_mm=row.whole("along_mm", empty=True),
        bottom_mm=row.whole("bottom_mm", 0, 20_000),
        overhang_mm=row.whole("overhang_mm", 0, 10_000),
        section=row.name("section", empty=True),
        mass_g=row.whole("mass_g", 0, HEAVIEST_G),
        bearing_mm2=row.whole("bearing_mm2", 1, 10**10, empty=True),
        view_mm=row.whole("view_mm", 0, 50_000, empty=True),
        sides=tuple(sides),
        glass=row.flag("glass"),
        fixed=row.flag("fixed"),
    )


def _section(faults: list[str], data: Any, n: int) -> Section:
    row = _Row(faults, data, f"sections[{n}]", Section)
    area = row.points("area")
    if area and len(area) < 3:
        row.fault("area", area, "give at least three corners, or none")
    elif area and (any(a == b for a, b in pairwise([*area, area[0]])) or _crosses(area)):
        row.fault("area", area, "its corners must follow each other without crossing")
    return Section(row.name("id"), area)


def _arrangement(faults: list[str], data: Any) -> Arrangement:
    row = _Row(faults, data, "arrangement", Arrangement)
    found = Arrangement(
        kind=row.word("kind", ARRANGEMENTS),
        start=row.point("start"),
        end=row.point("end"),
        rows=row.whole("rows", 1, MOST_PIECES),
        keep_mm=row.whole("keep_mm", 0, 10_000, empty=True),
        work=row.whole("work", 0, MOST_WORK),
    )
    if found.kind in ("axis", "grid") and (found.start is None or found.end is None):
        faults.append(f"arrangement.kind is {found.kind!r}: give start and end as [x, y].")
    return found


def _outline(faults: list[str], floor: Floor) -> None:
    corners = floor.outline
    if len(corners) < 3:
        faults.append(f"floor.outline has {len(corners)} corners: give at least three.")
        return
    loop = [*corners, corners[0]]
    if any(a == b for a, b in pairwise(loop)):
        faults.append("floor.outline repeats a corner: give each corner once.")
        return
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(loop))
    if twice >= 0:
        faults.append("floor.outline runs anticlockwise or has no area: give corners clockwise.")
    if _crosses(corners):
        faults.append("floor.outline crosses or touches itself: give the corners in their order.")


def _crosses(corners: tuple[Point, ...]) -> bool:
    count = len(corners)
    edges = [(corners[n], corners[(n + 1) % count]) for n in range(count)]
    for n, (a, b) in enumerate(edges):
        for m in range(n + 1, count):
            c, d = edges[m]
            if m == n + 1 or (n == 0 and m == count - 1):
                shared, one, other = (b, a, d) if m == n + 1 else (a, b, c)
                if _side(one, shared, other) == 0 and _dot(shared, one, other) > 0:
                    return True
            elif _meet(a, b, c, d):
                return True
    return False


def _side(a: Point, b: Point, c: Point) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (turn > 0) - (turn < 0)


def _dot(at: Point, a: Point, b: Point) -> int:
    return (a[0] - at[0]) * (b[0] - at[0]) + (a[1] - at[1]) * (b[1] - at[1])


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    sides = (_side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b))
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    tries = zip(sides, ((a, b, c), (a, b, d), (c, d, a), (c, d, b)), strict=True)
    return any(side == 0 and _dot(p, s, e) <= 0 for side, (s, e, p) in tries)


def _cross_check(faults: list[str], floor: Floor) -> None:
    for what, ids in (
        ("piece", [piece.id for piece in floor.pieces]),
        ("door", [door.id for door in floor.doors]),
        ("section", [section.id for section in floor.sections]),
    ):
        for name, times in Counter(ids).items():
            if times > 1:
                faults.append(f"{what} {name!r} stands {times} times: give each its own id.")
    walls = len(floor.outline)
    for door in floor.doors:
        _on_wall(faults, floor, f"door {door.id!r}", door.wall, door.along_mm, door.width_mm)
    sections = {section.id for section in floor.sections}
    moving = floor.arrangement.kind != "keep"
    for piece in floor.pieces:
        where = f"piece {piece.id!r}"
        if piece.section is not None and piece.section not in sections:
            faults.append(f"{where}: section {piece.section!r} is not among the floor's sections.")
        if piece.wall is not None:
            if piece.along_mm is None:
                faults.append(f"{where} hangs on wall {piece.wall} of {walls}: give along_mm.")
            else:
                _on_wall(faults, floor, where, piece.wall, piece.along_mm, piece.width_mm)
        elif piece.kind == "wall_piece":
            faults.append(f"{where} is a wall_piece without a wall: give wall and along_mm.")
        elif (piece.x_mm is None or piece.y_mm is None) and (piece.fixed or not moving):
            faults.append(f"{where} has no place: give x_mm and y_mm, or ask for an arrangement.")
        if piece.shape == "round" and piece.width_mm != piece.depth_mm:
            faults.append(f"{where} is round: give the same width_mm and depth_mm.")
    for section in floor.sections:
        if not section.area and all(piece.section != section.id for piece in floor.pieces):
            faults.append(f"section {section.id!r} has no area and no piece: give one of them.")


def _on_wall(
    faults: list[str], floor: Floor, what: str, wall: int, along_mm: int, width_mm: int
) -> None:
    if wall > len(floor.outline):
        faults.append(f"{what}: wall {wall} is not among the {len(floor.outline)} walls.")
        return
    (ax, ay), (bx, by) = floor.ends_of(wall)
    long_mm = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    if along_mm + width_mm > long_mm:
        faults.append(
            f"{what} ends at {along_mm + width_mm} mm: wall {wall} is {long_mm:.0f} mm long."
        )
