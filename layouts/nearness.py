"""Hang near what belongs near: the orders of `layouts.related`, with the gaps of a hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Piece, Problem

MOST_PIECES_EXACT = 12
ROUNDS = 20


def near_pairs(problem: Problem) -> list[tuple[str, str, int]]:
    """Return every two pieces that belong near each other, with their weight."""
    return [(a, b, rule.weight) for rule in problem.near for a, b in combinations(rule.pieces, 2)]


def seeks_nearness(problem: Problem) -> bool:
    """Tell whether there is an order to be found: none is given, and pieces belong near."""
    rule = problem.arrangement
    return rule.kind == "related" and not rule.order and bool(near_pairs(problem))


def row_gap(problem: Problem, run: Stretch, blocks: Sequence[Block]) -> Fraction:
    """Return the gap in mm that a run holding just these blocks gets, before any rounding."""
    rule = problem.arrangement
    count = sum(block.count for block in blocks)
    changes = 0
    if rule.section_gap_mm is not None:
        changes = len({block.section for block in blocks}) - 1
    free = run.length_mm - sum(block.width_mm for block in blocks)
    free -= changes * (rule.section_gap_mm or 0)
    if rule.ends == "free":
        gap = Fraction(max(rule.min_gap_mm, free // max(1, count + 1 - changes)))
    else:
        units = run.left + run.right + 2 * (count - 1 - changes)
        gap = Fraction(2 * free, units) if units else Fraction(0)
    if rule.max_gap_mm is not None:
        gap = min(gap, Fraction(rule.max_gap_mm))
    return max(gap, Fraction(0))


@dataclass(frozen=True)
class Settled:
    """Blocks with their pieces in order, their numbers slot by slot, and whether the sum of weight
    times distance is proved least, or else what it cannot go below."""

    blocks: list[Block]
    slots: list[list[int]]
    proved: bool
    bound_mm: float | None


@dataclass(frozen=True)
class _Row:
    """What the order is sought for: pieces, or blocks whose inner order must stay."""

    elements: list[tuple[int, tuple[Piece, ...]]]
    slots: list[list[int]]
    groups: list[list[int]]
    loose: bool


def settle(
    problem: Problem,
    blocks: Sequence[Block],
    slots: Sequence[Sequence[int]],
    gap: Fraction,
    *,
    held: frozenset[int] = frozenset(),
    seed: int = 0,
    seconds: float = 30.0,
    cancelled: Callable[[], bool] = lambda: False,
) -> Settled:
    """Return the nearest order that leaves every block in its slot, slots taken as one row.

    Blocks that are `held` keep the order of their pieces. A bound comes back only where the row is
    what hangs: one slot, one gap throughout, and no label that moves centres.
    """
    from layouts.related import nearest_order

    row = _row(problem, blocks, slots, held)
    part = gap.denominator
    widths = [
        part * sum(p.block_mm for p in pieces) + gap.numerator * (len(pieces) - 1)
        for _, pieces in row.elements
    ]
    place = {p.id: n for n, (_, pieces) in enumerate(row.elements) for p in pieces}
    near = [
        (place[a], place[b], weight)
        for a, b, weight in near_pairs(problem)
        if a in place and b in place and place[a] != place[b]
    ]
    in_order = len(row.slots) > 1
    found = nearest_order(
        widths,
        near,
        gap_mm=gap.numerator,
        blocks=[*(row.slots if in_order else []), *row.groups],
        blocks_in_order=in_order,
        seed=seed,
        seconds=max(0.1, seconds),
        cancelled=cancelled,
    )
    exact = row.loose and not in_order and _centred(problem, blocks)
    bound = found.bound_twice / (2 * part) if exact else None
    return _read(row, blocks, found.order, exact and found.proved, bound)


def _row(
    problem: Problem,
    blocks: Sequence[Block],
    slots: Sequence[Sequence[int]],
    held: frozenset[int],
) -> _Row:
    sections = problem.arrangement.section_gap_mm is not None
    elements: list[tuple[int, tuple[Piece, ...]]] = []
    outer, groups = [], []
    loose = True
    for slot in slots:
        numbers: list[int] = []
        by_section: dict[str | None, list[int]] = {}
        for i in slot:
            at = len(elements)
            inside = _inside(problem, blocks[i])
            if inside is None or i in held:
                elements.append((i, blocks[i].pieces))
                loose = loose and blocks[i].count == 1
            else:
                elements += [(i, (piece,)) for piece in blocks[i].pieces]
                groups += [[at + k for k in group] for group in inside]
            own = list(range(at, len(elements)))
            groups += [own] if len(own) > 1 else []
            numbers += own
            by_section.setdefault(blocks[i].section, []).extend(own)
        if sections:
            groups += [own for own in by_section.values() if len(own) > 1]
            loose = loose and len(by_section) == 1
        if numbers:
            outer.append(numbers)
    return _Row(elements, outer, groups, loose)


def _inside(problem: Problem, block: Block) -> list[list[int]] | None:
    """Return the groups within a block by its pieces' places, None if they overlap like a chain."""
    place = {piece.id: k for k, piece in enumerate(block.pieces)}
    sets = [
        frozenset(place[name] for name in group)
        for group in problem.together
        if group and group[0] in place
    ]
    for one, other in combinations(sets, 2):
        if one & other and not (one <= other or other <= one):
            return None
    return [sorted(group) for group in sets if len(group) > 1]


def _centred(problem: Problem, blocks: Sequence[Block]) -> bool:
    """Tell whether labels move no two pieces' centres differently against their blocks."""
    pieces = [piece for block in blocks for piece in block.pieces]
    return len({2 * p.lead_mm + p.width_mm - p.block_mm for p in pieces}) <= 1


def _read(
    row: _Row,
    blocks: Sequence[Block],
    order: Sequence[int],
    proved: bool,
    bound_mm: float | None,
) -> Settled:
    pieces: dict[int, list[Piece]] = {}
    for n in order:
        i, some = row.elements[n]
        pieces.setdefault(i, []).extend(some)
    slot_of = {row.elements[n][0]: s for s, slot in enumerate(row.slots) for n in slot}
    slots: list[list[int]] = [[] for _ in row.slots]
    for i in pieces:
        slots[slot_of[i]].append(i)
    new = [block.ordered(pieces.get(i, block.pieces)) for i, block in enumerate(blocks)]
    return Settled(new, slots, proved, bound_mm)


def orders_to_cut(
    problem: Problem,
    blocks: Sequence[Block],
    gap_mm: int,
    *,
    seed: int,
    seconds: float,
    cancelled: Callable[[], bool],
) -> Iterator[Problem]:
    """Yield the problem with its loose pieces in the nearest order, then in its mirror image."""
    everything = list(range(len(blocks)))
    found = settle(
        problem,
        blocks,
        [everything],
        Fraction(max(0, gap_mm)),
        seed=seed,
        seconds=seconds,
        cancelled=cancelled,
    )
    names = [p.id for i in found.slots[0] for p in found.blocks[i].pieces]
    for order in (names, names[::-1]):
        rule = replace(problem.arrangement, order=tuple(order))
        yield replace(problem, arrangement=rule)


def settle_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    slots: Sequence[Sequence[Sequence[int]]],
    *,
    seed: int,
    seconds: float,
    cancelled: Callable[[], bool],
) -> tuple[list[Block], list[list[list[int]]]]:
    """Return blocks and, for each run and slot, their numbers in the nearest order.

    All runs count as one row with pieces fixed in place between them, so that each slot's order
    heeds what hangs before and after it. Slots between cells keep their blocks as they are: their
    borders fall where the search put them.
    """
    pinned = sorted((p for p in problem.pieces if p.x_mm is not None), key=lambda p: p.x_mm or 0)
    everything = [*blocks, *(Block((piece,)) for piece in pinned)]
    walls = [wall.id for wall in problem.walls]
    line: list[tuple[tuple[int, int, int], list[int]]] = []
    for r, row in enumerate(slots):
        at = walls.index(runs[r].wall.id), runs[r].from_mm
        line += [((*at, k), list(slot)) for k, slot in enumerate(row) if slot]
    for n, piece in enumerate(pinned, len(blocks)):
        line.append(((walls.index(piece.wall or ""), piece.x_mm or 0, -1), [n]))
    line.sort(key=lambda item: item[0])
    held = frozenset(i for row in slots for slot in row[1::2] for i in slot)
    filled = [
        row_gap(problem, run, [blocks[i] for slot in row for i in slot])
        for run, row in zip(runs, slots, strict=True)
        if any(row)
    ]
    gap = Fraction(int(min(filled, default=Fraction(0))))
    found = settle(
        problem,
        everything,
        [slot for _, slot in line],
        gap,
        held=held,
        seed=seed,
        seconds=seconds,
        cancelled=cancelled,
    )
    order = {i: n for n, i in enumerate(i for slot in found.slots for i in slot)}
    rows = [[sorted(slot, key=order.__getitem__) for slot in row if slot] for row in slots]
    return found.blocks[: len(blocks)], rows


def least_cost_mm(problem: Problem, *, cancelled: Callable[[], bool] = lambda: False) -> float:
    """Return a sum of weight times distance that no hang comes below, wherever pieces hang.

    Distances between centres are at least those in one row of the pieces alone, with the least gap
    between; pieces fixed in place may touch.
    """
    from layouts.related import nearest_order
    from layouts.related.bound import bound_twice
    from layouts.related.row import Row

    place = {piece.id: n for n, piece in enumerate(problem.pieces)}
    near = [(place[a], place[b], weight) for a, b, weight in near_pairs(problem)]
    widths = [piece.width_mm for piece in problem.pieces]
    pinned = any(piece.x_mm is not None for piece in problem.pieces)
    gap = 0 if pinned else problem.arrangement.min_gap_mm
    if len(widths) <= MOST_PIECES_EXACT:
        return nearest_order(widths, near, gap_mm=gap).bound_twice / 2
    return bound_twice(Row.of(widths, near, gap), rounds=ROUNDS, stop=cancelled) / 2
