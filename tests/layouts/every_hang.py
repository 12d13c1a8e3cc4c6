"""Every way to hang a few pieces in rows, tried one after the other.

Slow and plain on purpose, and made without any code of the search, so that the search can be held
against it. It follows what `layouts/README.md` says of counting, not how anything is found.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise, permutations

from layouts.problem import Piece, Problem
from layouts.solution import Solution
from tests.layouts.every_stretch import (
    Clear,
    Edges,
    chosen,
    clear,
    high_enough,
    lead,
    room,
    upright,
    width,
)

WORST_PART = ("mirrored", "centre_high")
"""Kinds whose runs count as bright, and as weak, as their worst part."""


@dataclass(frozen=True)
class Row:
    """Pieces on a stretch from left to right: each one's edges and the row's gap."""

    pieces: tuple[Piece, ...]
    edges: tuple[Edges, ...]
    gap: Fraction


@dataclass(frozen=True)
class Hang:
    """A row or None for each clear stretch, in the visitor's order."""

    rows: tuple[Row | None, ...]

    @property
    def gaps(self) -> list[int]:
        return [int(row.gap // 1) for row in self.rows if row]

    @property
    def worth(self) -> tuple[int, int]:
        """Return the least gap and the largest with its sign changed: the larger the better."""
        return min(self.gaps, default=0), -max(self.gaps, default=0)


def changes(task: Problem, row: Iterable[Piece]) -> int:
    """Return how many gaps of a row are section gaps, which do not share."""
    if task.arrangement.section_gap_mm is None:
        return 0
    return sum(a.section != b.section for a, b in pairwise(row))


def own_gap(task: Problem, where: Clear, row: tuple[Piece, ...]) -> Fraction:
    """Return the gap that shares all free length, margins counted; capped if a largest is asked."""
    rule = task.arrangement
    turns = changes(task, row)
    free = where.stop - where.start - sum(map(width, row)) - turns * (rule.section_gap_mm or 0)
    ends = 4 if rule.ends == "free" else where.left + where.right
    halves = 2 * (len(row) - 1 - turns) + ends
    gap = Fraction(2 * free, halves) if halves else Fraction(free)
    if rule.ends == "free":
        gap = Fraction(max(rule.min_gap_mm, gap // 1))
    return gap if rule.max_gap_mm is None else min(gap, Fraction(rule.max_gap_mm))


def hung(task: Problem, where: Clear, row: tuple[Piece, ...], gap: Fraction) -> tuple[Edges, ...]:
    """Return each piece's edges: equal gaps, the row in the middle, halves rounded down."""
    rule = task.arrangement
    steps = [
        Fraction(rule.section_gap_mm or 0)
        if rule.section_gap_mm is not None and a.section != b.section
        else gap
        for a, b in pairwise(row)
    ]
    shared = where.left + where.right + 2 * (len(steps) - changes(task, row))
    rest = where.stop - where.start - sum(map(width, row)) - sum(steps)
    capped = 2 * rest > gap * (where.left + where.right) or not shared
    at = Fraction(rest // 2) if capped else gap * where.left / 2
    edges = []
    for n, piece in enumerate(row):
        begin = where.start + lead(piece) - (-(at - Fraction(1, 2)) // 1)
        edges.append((int(begin), int(begin) + piece.width_mm))
        at += width(piece) + (steps[n] if n < len(steps) else 0)
    return tuple(edges)


def rows_on(
    task: Problem, where: Clear, common: Fraction | None, slack: int, *, all_orders: bool
) -> dict[frozenset[str], list[Row]]:
    """Return, for every set of pieces, the rows in which it may hang here.

    Of rows that nothing outside can tell from each other the first is enough.
    """
    rule = task.arrangement
    loose = [p for p in task.pieces if p.x_mm is None and chosen(task, p, where.wall)]
    everything = sum(piece.x_mm is None for piece in task.pieces)
    found: dict[frozenset[str], list[Row]] = {}
    sizes = range(1, len(loose) + 1) if len(clear(task)) > 1 else [everything]
    for some in (some for size in sizes for some in combinations(loose, size)):
        if sum(map(width, some)) > where.stop - where.start:
            continue
        told: dict[object, Row] = {}
        for order in [some] if rule.order else permutations(some):
            if rule.order:
                order = tuple(sorted(some, key=lambda piece: rule.order.index(piece.id)))
            gap = own_gap(task, where, order)
            if gap // 1 < rule.min_gap_mm or (common is not None and gap < common):
                continue
            row = Row(order, hung(task, where, order, gap if common is None else common), gap)
            if stands(task, where, row, slack):
                told.setdefault(signature(task, row) if not all_orders else len(told), row)
                if len(told) == 1 and not (all_orders or task.apart or rule.kind == "by_section"):
                    break
        if told:
            found[frozenset(piece.id for piece in some)] = list(told.values())
    return found


def signature(task: Problem, row: Row) -> object:
    """Return what the rest of a hang can notice of a row: sections in turn, places of parted."""
    parted = {name for rule in task.apart for name in rule.pieces}
    sections = [p.section for p in row.pieces] if task.arrangement.kind == "by_section" else []
    met = tuple(s for n, s in enumerate(sections) if n == 0 or sections[n - 1] != s)
    return met, tuple(
        (p.id, e) for p, e in zip(row.pieces, row.edges, strict=True) if p.id in parted
    )


def stands(task: Problem, where: Clear, row: Row, slack: int) -> bool:
    """Tell whether a row alone keeps light, load, height, order by size, and what is together."""
    rule, wall = task.arrangement, where.wall
    begin, end = row.edges[0][0] - lead(row.pieces[0]), row.edges[-1][0] - lead(row.pieces[-1])
    if begin < where.start or end + width(row.pieces[-1]) > where.stop:
        return False
    for piece, (left, right) in zip(row.pieces, row.edges, strict=True):
        if rule.kind in WORST_PART:
            left, right = where.start, where.stop
        for zone in wall.zones:
            touched = zone.from_mm - slack < right and zone.to_mm + slack > left
            if touched and piece.max_lux is not None and zone.lux > piece.max_lux:
                return False
            dose, most = zone.lux * (zone.hours or 0), piece.max_lux_hours
            if touched and most is not None and dose > most:
                return False
        for fixing in wall.fixings:
            touched = fixing.from_mm - slack < right and fixing.to_mm + slack > left
            most = fixing.max_kg_per_object
            if touched and most is not None and piece.mass_g > 1000 * Fraction(str(most)):
                return False
        if not high_enough(task, piece, wall):
            return False
    names = [piece.id for piece in row.pieces]
    for group in task.together:
        at = [n for n, name in enumerate(names) if name in group]
        if at and (len(at) < len(group) or at[-1] - at[0] >= len(group)):
            return False
    return by_size(task, row.pieces)


def by_size(task: Problem, row: tuple[Piece, ...]) -> bool:
    """Tell whether heights rise, or rise and then fall, where the kind asks for it.

    Neighbours that must hang together count as one, by the highest.
    """
    heights: list[int] = []
    for n, piece in enumerate(row):
        before = row[n - 1].id if n else ""
        if any({before, piece.id} <= set(group) for group in task.together):
            heights[-1] = max(heights[-1], piece.height_mm)
        else:
            heights.append(piece.height_mm)
    top = heights.index(max(heights))
    rising, falling = heights[: top + 1], heights[top:]
    if task.arrangement.kind == "rise":
        return heights == sorted(heights)
    if task.arrangement.kind == "centre_high":
        return rising == sorted(rising) and falling == sorted(falling, reverse=True)
    return True


def every_hang(task: Problem, *, slack: int = 0, all_orders: bool = False) -> Iterator[Hang]:
    """Yield every hang that keeps all demands.

    With `slack`, edges keep so many mm from borders of light and load that matter, so that no
    rounding of gaps can bring them over. With free ends all rows have one gap, the least that any
    would have alone; then hangs come with the largest gap first.
    """
    places = clear(task)
    if task.arrangement.ends != "free":
        options = [rows_on(task, where, None, slack, all_orders=all_orders) for where in places]
        yield from _shared_out(task, places, options)
        return
    alone = [rows_on(task, where, Fraction(0), -(10**9), all_orders=False) for where in places]
    gaps = {row.gap for rows in alone for some in rows.values() for row in some}
    for gap in sorted(gaps, reverse=True):
        options = [rows_on(task, where, gap, slack, all_orders=all_orders) for where in places]
        for hang in _shared_out(task, places, options):
            if min(row.gap for row in hang.rows if row) == gap:
                yield Hang(tuple(row and Row(row.pieces, row.edges, gap) for row in hang.rows))


def _shared_out(
    task: Problem, places: list[Clear], options: list[dict[frozenset[str], list[Row]]]
) -> Iterator[Hang]:
    names = frozenset(piece.id for piece in task.pieces if piece.x_mm is None)

    def fill(n: int, left: frozenset[str], rows: tuple[Row | None, ...]) -> Iterator[Hang]:
        if n == len(places):
            if not left and keeps(task, places, Hang(rows)):
                yield Hang(rows)
            return
        yield from fill(n + 1, left, (*rows, None))
        for some, choices in options[n].items():
            if some <= left:
                for row in choices:
                    yield from fill(n + 1, left - some, (*rows, row))

    yield from fill(0, names, ())


def keeps(task: Problem, places: list[Clear], hang: Hang) -> bool:
    """Tell whether rows that are right alone keep what is asked of several at once."""
    at = {
        piece.id: (task.walls.index(where.wall), where.row, *edges)
        for where, row in zip(places, hang.rows, strict=True)
        if row
        for piece, edges in zip(row.pieces, row.edges, strict=True)
    }
    for piece in task.pieces:
        if piece.x_mm is not None:
            wall = [wall.id for wall in task.walls].index(piece.wall)
            at[piece.id] = (wall, 0, piece.x_mm, piece.x_mm + piece.width_mm)
    for rule in task.apart:
        for a, b in combinations(sorted((at[name] for name in rule.pieces), key=lambda e: e[2]), 2):
            if a[0] == b[0] and b[2] - a[3] < rule.at_least_mm:
                return False
    walked = sorted(at, key=lambda name: at[name])
    if task.arrangement.order and walked != list(task.arrangement.order):
        return False
    return _in_sections(task, walked) and _carried(task, at) and _stacked(task, places, hang)


def _in_sections(task: Problem, walked: list[str]) -> bool:
    if task.arrangement.kind != "by_section":
        return True
    section = {piece.id: piece.section for piece in task.pieces}
    met = [
        section[b] for a, b in pairwise([None, *walked]) if a is None or section[a] != section[b]
    ]
    wanted = task.arrangement.sections
    return len(met) == len(set(met)) and (
        not wanted or met == [name for name in wanted if name in met]
    )


def _carried(task: Problem, at: dict[str, tuple[int, int, int, int]]) -> bool:
    """Tell whether each wall carries its load; a stretch of fixings is as long as its wall here."""
    for number, wall in enumerate(task.walls):
        total = sum(piece.mass_g for piece in task.pieces if at[piece.id][0] == number)
        for fixing in wall.fixings:
            most = fixing.max_kg_per_m
            if most is not None and total > Fraction(str(most)) * wall.length_mm:
                return False
    return True


def _stacked(task: Problem, places: list[Clear], hang: Hang) -> bool:
    """Tell whether the rows of each wall, one above the other, fit about the datum."""
    rule = task.arrangement
    if rule.kind != "rows":
        return True
    for wall in task.walls:
        high = 0
        for number in range(rule.rows):
            spans = [
                upright(piece, rule, 0)
                for where, row in zip(places, hang.rows, strict=True)
                if row and where.wall == wall and where.row == number
                for piece in row.pieces
            ]
            if spans:
                high += max(top for _, top in spans) - min(low for low, _ in spans)
                high += rule.row_gap_mm
        if high - rule.row_gap_mm > 2 * room(task, wall):
            return False
    return True


def as_hung(task: Problem, answer: Solution) -> Hang:
    """Return an answer's rows with the gaps that this module would give them."""
    pieces = {piece.id: piece for piece in task.pieces}
    rows: list[Row | None] = []
    for where in clear(task):
        here = sorted(
            (
                place
                for place in answer.placements
                if (place.wall, place.row) == (where.wall.id, where.row)
                and where.start <= place.x_mm < where.stop
                and pieces[place.id].x_mm is None
            ),
            key=lambda place: place.x_mm,
        )
        row = tuple(pieces[place.id] for place in here)
        edges = tuple((p.x_mm, p.x_mm + pieces[p.id].width_mm) for p in here)
        rows.append(Row(row, edges, own_gap(task, where, row)) if row else None)
    if task.arrangement.ends == "free":
        least = min((row.gap for row in rows if row), default=Fraction(0))
        rows = [row and Row(row.pieces, row.edges, least) for row in rows]
    return Hang(tuple(rows))
