"""Read a problem from JSON, and say of every fault which field, which value and what to do."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields
from typing import Any

from layouts.problem import (
    ALIGNMENTS,
    ENDS,
    KINDS,
    SIDES,
    STACKED,
    Apart,
    Arrangement,
    Blocked,
    Fixing,
    InvalidProblem,
    Label,
    Near,
    Piece,
    Problem,
    Wall,
    Zone,
)

LONGEST_MM = 10_000_000
MOST_LUX_HOURS = 10**12
MOST_PIECES = 5_000
ROWS = range(2, 7)


class _Reader:
    """Collect faults while reading, so that one run names them all."""

    def __init__(self) -> None:
        self.faults: list[str] = []

    def fault(self, words: str) -> None:
        self.faults.append(words)

    def rows(self, data: dict[str, Any], key: str, where: str) -> list[dict[str, Any]]:
        value = data.get(key) or []
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            self.fault(f"{where}{key} must be a list of objects.")
            return []
        return value

    def known(
        self, row: dict[str, Any], kind: type, where: str, also: tuple[str, ...] = ()
    ) -> None:
        names = {item.name for item in fields(kind)} | set(also)
        for key in row:
            if key not in names:
                self.fault(
                    f"{where} has an unknown field {key!r}; known: {', '.join(sorted(names))}."
                )

    def whole(
        self,
        row: dict[str, Any],
        key: str,
        where: str,
        *,
        least: int = 0,
        most: int = LONGEST_MM,
        default: int | None = None,
        optional: bool = False,
    ) -> Any:
        value = row.get(key, default)
        if value is None and optional:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(f"{where}.{key} is {value!r}: give a whole number.")
            return least
        if not least <= value <= most:
            self.fault(f"{where}.{key} is {value}: it must lie from {least} to {most}.")
            return least
        return value

    def yes(self, row: dict[str, Any], key: str, where: str) -> bool:
        value = row.get(key, False)
        if not isinstance(value, bool):
            self.fault(f"{where}.{key} is {value!r}: give true or false.")
        return value is True

    def word(
        self, row: dict[str, Any], key: str, where: str, choices: tuple[str, ...], default: str
    ) -> str:
        value = row.get(key, default)
        if value not in choices:
            self.fault(f"{where}.{key} is {value!r}: use one of {', '.join(choices)}.")
            return default
        return str(value)

    def key(self, row: dict[str, Any], where: str) -> str:
        value = row.get("id")
        if not isinstance(value, str) or not value:
            self.fault(f"{where}.id is {value!r}: give each a name.")
            return ""
        return value


def read_problem(data: Any) -> Problem:
    """Return the problem, or raise InvalidProblem with every fault found."""
    reader = _Reader()
    if not isinstance(data, dict):
        raise InvalidProblem(
            ["The problem must be a JSON object with walls, pieces and arrangement."]
        )
    walls = tuple(
        _wall(reader, row, f"walls[{n}]") for n, row in enumerate(reader.rows(data, "walls", ""))
    )
    rows = reader.rows(data, "pieces", "")
    if len(rows) > MOST_PIECES:
        raise InvalidProblem([f"There are {len(rows)} pieces: at most {MOST_PIECES} are taken."])
    pieces = tuple(_piece(reader, row, f"pieces[{n}]") for n, row in enumerate(rows))
    problem = Problem(
        walls=walls,
        pieces=pieces,
        arrangement=_arrangement(reader, data.get("arrangement")),
        together=_groups(reader, data.get("together") or []),
        apart=tuple(
            Apart(
                _names(reader, row.get("pieces"), f"apart[{n}].pieces"),
                reader.whole(row, "at_least_mm", f"apart[{n}]"),
            )
            for n, row in enumerate(reader.rows(data, "apart", ""))
        ),
        previous=data.get("previous"),
        moves_at_most=reader.whole(data, "moves_at_most", "problem", optional=True),
        near=tuple(
            _near(reader, row, f"near[{n}]") for n, row in enumerate(reader.rows(data, "near", ""))
        ),
        section_walls=_section_walls(reader, data.get("section_walls") or {}),
    )
    _cross_check(reader, problem)
    if reader.faults:
        raise InvalidProblem(reader.faults)
    return problem


def _wall(reader: _Reader, row: dict[str, Any], where: str) -> Wall:
    reader.known(row, Wall, where)
    length = reader.whole(row, "length_mm", where, least=1)
    wall = Wall(
        id=reader.key(row, where),
        length_mm=length,
        height_mm=reader.whole(row, "height_mm", where, least=1),
        datum_mm=reader.whole(row, "datum_mm", where, optional=True),
        blocked=tuple(
            Blocked(
                **{
                    k: reader.whole(b, k, f"{where}.blocked[{n}]")
                    for k in ("x_mm", "y_mm", "width_mm", "height_mm")
                },
                what=str(b.get("what", "")),
            )
            for n, b in enumerate(reader.rows(row, "blocked", f"{where}."))
        ),
        zones=tuple(
            Zone(
                **{
                    k: reader.whole(z, k, f"{where}.zones[{n}]")
                    for k in ("from_mm", "to_mm", "lux")
                },
                hours=reader.whole(z, "hours", f"{where}.zones[{n}]", optional=True),
            )
            for n, z in enumerate(reader.rows(row, "zones", f"{where}."))
        ),
        fixings=tuple(
            _fixing(reader, f, f"{where}.fixings[{n}]")
            for n, f in enumerate(reader.rows(row, "fixings", f"{where}."))
        ),
    )
    stretches = [(part.from_mm, part.to_mm) for part in wall.zones]
    for start, end in stretches + [(part.from_mm, part.to_mm) for part in wall.fixings]:
        if not start < end <= length:
            reader.fault(
                f"{where} has a stretch from {start} to {end} mm: it must begin before it ends "
                f"and end by {length} mm."
            )
    return wall


def _fixing(reader: _Reader, row: dict[str, Any], where: str) -> Fixing:
    loads = {}
    for key in ("max_kg_per_object", "max_kg_per_m"):
        value = row.get(key)
        if value is not None and (
            isinstance(value, bool) or not isinstance(value, int | float) or value < 0
        ):
            reader.fault(f"{where}.{key} is {value!r}: give kilograms, or null for no limit.")
            value = None
        loads[key] = value
    return Fixing(reader.whole(row, "from_mm", where), reader.whole(row, "to_mm", where), **loads)


def _piece(reader: _Reader, row: dict[str, Any], where: str) -> Piece:
    reader.known(row, Piece, where)
    label = row.get("label")
    section = row.get("section")
    return Piece(
        id=reader.key(row, where),
        width_mm=reader.whole(row, "width_mm", where, least=1),
        height_mm=reader.whole(row, "height_mm", where, least=1),
        depth_mm=reader.whole(row, "depth_mm", where, default=0),
        mass_g=reader.whole(row, "mass_g", where, default=0),
        section=None if section is None else str(section),
        max_lux=reader.whole(row, "max_lux", where, optional=True),
        hang_point_mm=reader.whole(row, "hang_point_mm", where, default=0),
        label=_label(reader, label, f"{where}.label") if isinstance(label, dict) else None,
        wall=row.get("wall"),
        x_mm=reader.whole(row, "x_mm", where, optional=True),
        y_mm=reader.whole(row, "y_mm", where, optional=True),
        walls=_names(reader, row.get("walls"), f"{where}.walls"),
        max_lux_hours=reader.whole(row, "max_lux_hours", where, most=MOST_LUX_HOURS, optional=True),
        reserve=reader.yes(row, "reserve", where),
    )


def _label(reader: _Reader, row: dict[str, Any], where: str) -> Label:
    reader.known(row, Label, where)
    return Label(
        width_mm=reader.whole(row, "width_mm", where, least=1),
        height_mm=reader.whole(row, "height_mm", where, least=1),
        side=reader.word(row, "side", where, SIDES, "right"),
        gap_mm=reader.whole(row, "gap_mm", where, default=40),
    )


def _arrangement(reader: _Reader, row: Any) -> Arrangement:
    where = "arrangement"
    if not isinstance(row, dict):
        reader.fault("arrangement is missing: give at least its kind.")
        return Arrangement()
    reader.known(row, Arrangement, where)
    rows = reader.whole(row, "rows", where, least=1, default=1)
    kind = reader.word(row, "kind", where, KINDS, "even")
    if kind == "rows" and rows not in ROWS:
        reader.fault(f"arrangement.rows is {rows}: give {ROWS[0]} to {ROWS[-1]} rows.")
    elif kind != "rows" and rows != 1:
        reader.fault(f"arrangement.rows is {rows}: only the kind rows hangs in several.")
    return Arrangement(
        kind=kind,
        rows=rows,
        align=reader.word(row, "align", where, ALIGNMENTS, "centreline"),
        datum_mm=reader.whole(row, "datum_mm", where, default=1500),
        row_gap_mm=reader.whole(row, "row_gap_mm", where, default=200),
        min_gap_mm=reader.whole(row, "min_gap_mm", where, default=0),
        max_gap_mm=reader.whole(row, "max_gap_mm", where, optional=True),
        ends=reader.word(row, "ends", where, ENDS, "same"),
        section_gap_mm=reader.whole(row, "section_gap_mm", where, optional=True),
        sections=_names(reader, row.get("sections"), f"{where}.sections") or None,
        order=_names(reader, row.get("order"), f"{where}.order") or None,
        lowest_edge_mm=reader.whole(row, "lowest_edge_mm", where, optional=True),
        highest_edge_mm=reader.whole(row, "highest_edge_mm", where, optional=True),
    )


def _near(reader: _Reader, row: dict[str, Any], where: str) -> Near:
    reader.known(row, Near, where)
    names = _names(reader, row.get("pieces"), f"{where}.pieces")
    if len(set(names)) < max(2, len(names)):
        reader.fault(f"{where}.pieces must name at least two pieces, each once.")
    return Near(names, reader.whole(row, "weight", where, default=1))


def _names(reader: _Reader, value: Any, where: str) -> tuple[str, ...]:
    if value is None:
        return ()
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        reader.fault(f"{where} must be a list of names.")
        return ()
    return tuple(value)


def _groups(reader: _Reader, value: Any) -> tuple[tuple[str, ...], ...]:
    if not isinstance(value, list):
        reader.fault("together must be a list of lists of names.")
        return ()
    return tuple(_names(reader, row, f"together[{n}]") for n, row in enumerate(value))


def _section_walls(reader: _Reader, value: Any) -> dict[str, tuple[str, ...]]:
    if not isinstance(value, dict):
        reader.fault("section_walls must give a list of walls for each section.")
        return {}
    found = {key: _names(reader, row, f"section_walls.{key}") for key, row in value.items()}
    return {key: walls for key, walls in found.items() if walls}


def _cross_check(reader: _Reader, problem: Problem) -> None:
    names = Counter(piece.id for piece in problem.pieces)
    walls = Counter(wall.id for wall in problem.walls)
    if not walls:
        reader.fault("walls is empty: give at least one wall.")
    for what, found in (("piece", names), ("wall", walls)):
        for name, times in found.items():
            if times > 1:
                reader.fault(f"{what} {name!r} stands {times} times: give each {what} its own id.")
    _check_walls(reader, problem, walls)
    for piece in problem.pieces:
        if piece.x_mm is not None and piece.wall is None:
            reader.fault(f"piece {piece.id!r} has x_mm but no wall: name the wall.")
        if problem.arrangement.kind in STACKED and (piece.x_mm is None) != (piece.y_mm is None):
            reader.fault(
                f"piece {piece.id!r}: the kind {problem.arrangement.kind} sets heights: give both "
                "x_mm and y_mm, or neither."
            )
    named = [(f"together[{n}]", group) for n, group in enumerate(problem.together)]
    named += [(f"apart[{n}]", rule.pieces) for n, rule in enumerate(problem.apart)]
    named += [(f"near[{n}]", rule.pieces) for n, rule in enumerate(problem.near)]
    named += [("arrangement.order", problem.arrangement.order or ())]
    for where, group in named:
        for name in group:
            if name not in names:
                reader.fault(f"{where} names {name!r}, which is not a piece.")
    _check_order(reader, problem)


def _check_walls(reader: _Reader, problem: Problem, walls: Counter[str]) -> None:
    listed = ", ".join(walls)
    for piece in problem.pieces:
        for name in (piece.wall, *piece.walls):
            if name is not None and name not in walls:
                reader.fault(f"piece {piece.id!r}: wall {name!r} is not among {listed}.")
        if piece.wall is not None and piece.walls and piece.wall not in piece.walls:
            reader.fault(
                f"piece {piece.id!r}: wall {piece.wall!r} is not among its walls "
                f"{', '.join(piece.walls)}: name it there, or leave one of the two out."
            )
    sections = {piece.section for piece in problem.pieces}
    for section, names in problem.section_walls.items():
        if section not in sections:
            reader.fault(f"section_walls names section {section!r}, which no piece has.")
        for name in names:
            if name not in walls:
                reader.fault(f"section_walls.{section}: wall {name!r} is not among {listed}.")


def _check_order(reader: _Reader, problem: Problem) -> None:
    rule = problem.arrangement
    if rule.order and rule.kind == "cluster":
        reader.fault("arrangement.order is given: the kind cluster has no order; leave it out.")
    if rule.order and rule.kind in ("mirrored", "rise", "centre_high"):
        reader.fault(
            f"arrangement.order is given: the kind {rule.kind} orders by size; leave it out."
        )
    if rule.order and sorted(rule.order) != sorted({piece.id for piece in problem.pieces}):
        reader.fault("arrangement.order must name every piece once.")
    if rule.section_gap_mm is not None and rule.kind != "by_section":
        reader.fault(
            f"arrangement.section_gap_mm is {rule.section_gap_mm}: it counts only for by_section, "
            f"not for {rule.kind}; leave it out."
        )
    low, high = rule.lowest_edge_mm, rule.highest_edge_mm
    if low is not None and high is not None and high <= low:
        reader.fault(
            f"arrangement.highest_edge_mm {high} is not above lowest_edge_mm {low}: nothing can "
            "hang between."
        )
    if rule.max_gap_mm is not None and rule.max_gap_mm < rule.min_gap_mm:
        reader.fault(
            f"arrangement.max_gap_mm {rule.max_gap_mm} is below min_gap_mm {rule.min_gap_mm}."
        )
    if rule.kind != "by_section":
        return
    sections = {piece.section for piece in problem.pieces}
    if None in sections:
        lost = next(piece.id for piece in problem.pieces if piece.section is None)
        reader.fault(f"piece {lost!r} has no section: by_section needs one for each piece.")
    if rule.sections and (missing := sorted(s for s in sections if s and s not in rule.sections)):
        reader.fault(f"arrangement.sections lacks {', '.join(missing)}.")
    section_of = {piece.id: piece.section for piece in problem.pieces}
    for group in problem.together:
        if len({section_of.get(name) for name in group}) > 1:
            reader.fault(f"together {', '.join(group)}: they belong to different sections.")
