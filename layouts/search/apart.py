"""What must part: what the model can say of it, and orders of a run that keep it apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations
from random import Random
from typing import TYPE_CHECKING, Any

from layouts.blocks import Block, unbroken
from layouts.problem import Piece, Problem
from layouts.search.limits import largest_gap_mm
from layouts.search.order import high_mm

if TYPE_CHECKING:
    from layouts.search.cases import Free
    from layouts.search.model import Forbidden, Model, Task

TRIES = 4_000
BY_SIZE = ("mirrored", "centre_high")
"""Kinds whose runs have one light throughout and leave it open which side a piece hangs on."""
MOST_PLACES = 200
FEW_BLOCKS = 12
"""Of so few blocks other sets are tried on a run; of more, other runs for those too near."""

Pair = tuple[str, str, int]
"""Two pieces and how many mm are to lie between."""


def pairs_apart(problem: Problem) -> list[Pair]:
    """Return every two pieces that must part."""
    return [
        (a, b, rule.at_least_mm) for rule in problem.apart for a, b in combinations(rule.pieces, 2)
    ]


def constrain_apart(build: Model, frees: Sequence[Free | None]) -> None:
    """Let two blocks hang on one run only if all that hangs there can keep them apart.

    At most all other blocks and all gaps lie between them: so nothing that can be is excluded.
    """
    task, model = build.task, build.model
    rule = task.problem.arrangement
    pairs = pairs_apart(task.problem)
    if not pairs:
        return
    widest = build.band[1]
    if rule.ends == "free":
        widest = largest_gap_mm(task.problem, task.blocks, task.runs)
    gap = widest + 1 if rule.max_gap_mm is None else min(widest + 1, rule.max_gap_mm)
    place = {piece.id: i for i, block in enumerate(task.blocks) for piece in block.pieces}
    wide = {piece.id: piece.width_mm for piece in task.problem.pieces}
    for r, free in enumerate(frees):
        here: dict[int, list[Any]] = {}
        for var, o in build.by_run[r]:
            here.setdefault(o.block, []).append(var)
        flags: dict[int, Any] = {}
        for a, b, least in pairs:
            one, other = place.get(a), place.get(b)
            if free is None or one == other or one not in here or other not in here:
                continue
            for i in sorted({one, other} - flags.keys()):
                flags[i] = build.flag(here[i])
            both = [flags[one], flags[other]]
            sums = free.sums
            if _in_one_section(task, one, other):
                same = [
                    (var, o)
                    for var, o in build.by_run[r]
                    if task.blocks[o.block].section == task.blocks[one].section
                ]
                sums = replace(build.sums(same), changes=0)
            between = sums.width_mm - wide[a] - wide[b] + gap * (sums.count - 1 - sums.changes)
            between += (rule.section_gap_mm or 0) * sums.changes - outside_mm(task, one, other)
            model.add(between >= least).only_enforce_if(both)


def _in_one_section(task: Task, one: int, other: int) -> bool:
    """Tell whether only blocks of their own section can hang between two on one run."""
    by_section = task.problem.arrangement.kind == "by_section" and task.demands.order
    return by_section and task.blocks[one].section == task.blocks[other].section


def outside_mm(task: Task, one: int, other: int) -> int:
    """Return how much of the labels of two pieces cannot lie between them."""
    a, b = task.blocks[one], task.blocks[other]
    if a.count > 1 or b.count > 1:
        return 0
    left, right = a.pieces[0], b.pieces[0]
    ends = [left.lead_mm + _trail_mm(right), right.lead_mm + _trail_mm(left)]
    return min(ends)


def _trail_mm(piece: Piece) -> int:
    return piece.block_mm - piece.lead_mm - piece.width_mm


def can_part(task: Task, rows: dict[int, int]) -> bool:
    """Tell whether enough hangs on each run to keep apart what must be; a run is one cell."""
    from layouts.search.assign import own_gap_mm

    rule = task.problem.arrangement
    pairs = [] if rule.kind == "rows" or rule.ends == "free" else pairs_apart(task.problem)
    place = {piece.id: i for i, block in enumerate(task.blocks) for piece in block.pieces}
    wide = {piece.id: piece.width_mm for piece in task.problem.pieces}
    for a, b, least in pairs:
        one, other = place.get(a), place.get(b)
        if one is None or other is None or one == other or rows[one] != rows[other]:
            continue
        run = rows[one]
        here = [block for i, block in enumerate(task.blocks) if rows[i] == run]
        gap = own_gap_mm(task.problem, task.runs[run], here)
        if _in_one_section(task, one, other):
            here = [block for block in here if block.section == task.blocks[one].section]
        count = sum(block.count for block in here)
        changes = len({block.section for block in here}) - 1
        between = sum(block.width_mm for block in here) - wide[a] - wide[b] + gap * (count - 1)
        between += (rule.section_gap_mm or 0) * changes - outside_mm(task, one, other)
        if between < least:
            return False
    return True


def cuts_of(
    blocks: Sequence[Block],
    sequences: Sequence[Sequence[Sequence[int]]],
    close: Sequence[tuple[int, ...]],
) -> list[Forbidden]:
    """Return what is not to hang so again, after no order was found for these pairs."""
    from layouts.search.model import Forbidden

    here = {i: r for r, groups in enumerate(sequences) for group in groups for i in group}
    if len(blocks) > FEW_BLOCKS:
        return [Forbidden(tuple((here[i], i) for i in pair)) for pair in close]
    runs = {tuple(sorted({here[i] for i in pair})) for pair in close}
    return [
        Forbidden(tuple((r, i) for i, r in here.items() if r in some), only=True)
        for some in sorted(runs)
    ]


def keep_apart(
    problem: Problem,
    blocks: list[Block],
    sequences: list[list[list[int]]],
    gap_mm: Sequence[int],
    starts_mm: Sequence[int],
    walls: Sequence[str],
    seed: int,
    slots: Sequence[Sequence[Sequence[int]]] = (),
) -> list[tuple[int, ...]]:
    """Reorder blocks inside their groups, and pieces inside their blocks, until what must part
    does; mutates `blocks` and `sequences`.

    Blocks that lie across borders, which are those in every second of a run's `slots`, keep the
    order of their pieces; without `slots` all do. Returns the pairs of blocks that could not be
    parted, empty when all are; a block that is too near a piece fixed in place, or within itself,
    comes alone. Seeded changes that never make it worse: the same input gives the same order.
    """
    rules = pairs_apart(problem)
    if not rules:
        return []
    random = Random(seed)  # noqa: S311
    here = {p.id: n for n, block in enumerate(blocks) for p in block.pieces}
    held = {i for a, b, _ in rules for i in (here.get(a), here.get(b)) if i is not None}
    moves = _Moves(problem, blocks, held, slots, random)
    choices = [r for r, groups in enumerate(sequences) if moves.any(groups)]

    def shortfalls() -> dict[tuple[str, str], int]:
        return _shortfalls(problem, blocks, sequences, gap_mm, starts_mm, walls, rules)

    short = shortfalls()
    for loose in (False, True) if moves.kind == "mirrored" else (False,):
        moves.loose = loose
        for _ in range(TRIES if choices else 0):
            if not short:
                break
            r = random.choice(choices)
            before, inside = sequences[r], list(blocks)
            sequences[r] = moves.changed(before)
            now = shortfalls()
            if sum(now.values()) <= sum(short.values()):
                short = now
            else:
                sequences[r] = before
                blocks[:] = inside
    if moves.loose and not short:
        _straighten(blocks, sequences, shortfalls)
    pairs = [tuple(sorted({here[name] for name in pair if name in here})) for pair in short]
    return [pair for pair in pairs if pair]


class _Moves:
    """Changes of a run's order that its kind allows.

    `loose` ones let pieces of a mirrored run face others than their neighbours in width.
    """

    def __init__(
        self,
        problem: Problem,
        blocks: list[Block],
        held: set[int],
        slots: Sequence[Sequence[Sequence[int]]],
        random: Random,
    ) -> None:
        self.kind, self.ordered = problem.arrangement.kind, problem.arrangement.order is not None
        self.blocks, self.held, self.random = blocks, held, random
        self.loose = False
        within = {i for row in slots for slot in row[::2] for i in slot}
        self.turning = {i for i in within if blocks[i].count > 1 and not self.ordered}
        self.slot = {i: (r, s) for r, row in enumerate(slots) for s, x in enumerate(row) for i in x}
        self.free_sections = self.kind == "by_section" and not problem.arrangement.sections
        pinned = {piece.section for piece in problem.pieces if piece.x_mm is not None}
        spans: dict[str | None, set[object]] = {}
        for i, slot in self.slot.items():
            spans.setdefault(blocks[i].section, set()).add(slot)
        self.whole = {name for name, found in spans.items() if len(found) == 1} - pinned

    def any(self, groups: Sequence[Sequence[int]]) -> bool:
        """Tell whether a run's order may change in a way that matters."""
        row = _flat(groups)
        return bool(self.held & set(row)) and bool(self._ways(groups))

    def changed(self, groups: list[list[int]]) -> list[list[int]]:
        """Return a run's groups after one change; turns blocks in `blocks`."""
        way = self.random.choice(self._ways(groups))
        if way == "turn":
            turning = [i for i in _flat(groups) if i in self.turning]
            self._turn(self.random.choice(turning))
            return groups
        if way == "sections":
            g = self.random.choice(self._exchangeable(groups))
            return [*groups[:g], groups[g + 1], groups[g], *groups[g + 2 :]]
        if way == "mirrored" and self.loose:
            row = _flat(groups)
            a, b = self.random.sample(range(len(row)), 2)
            row[a], row[b] = row[b], row[a]
            return [[i] for i in row]
        if way == "mirrored":
            return [[i] for i in _other_pairs(_flat(groups), self.random)]
        if way == "centre_high":
            return [[i] for i in self._other_side(_flat(groups))]
        g = self.random.choice([g for g, group in enumerate(groups) if len(group) > 1])
        group = list(groups[g])
        a, b = self.random.sample(range(len(group)), 2)
        group[a], group[b] = group[b], group[a]
        return [*groups[:g], group, *groups[g + 1 :]]

    def _ways(self, groups: Sequence[Sequence[int]]) -> list[str]:
        row = _flat(groups)
        ways = ["turn"] if any(i in self.turning for i in row) else []
        if self.kind in BY_SIZE and not self.ordered:
            return [*ways, self.kind] if len(row) > 1 else ways
        if self._exchangeable(groups):
            ways.append("sections")
        swap = not self.ordered and any(len(group) > 1 for group in groups)
        return [*ways, "swap"] if swap else ways

    def _exchangeable(self, groups: Sequence[Sequence[int]]) -> list[int]:
        """Return the groups that may change places with the next: whole sections in one slot."""
        if not self.free_sections:
            return []
        blocks = self.blocks
        return [
            g
            for g in range(len(groups) - 1)
            if self.slot.get(groups[g][0]) == self.slot.get(groups[g + 1][0]) is not None
            and {blocks[groups[g][0]].section, blocks[groups[g + 1][0]].section} <= self.whole
        ]

    def _turn(self, i: int) -> None:
        """Set a block's pieces in another order in which its groups stay unbroken."""
        block = self.blocks[i]
        order = list(range(block.count))
        if block.count <= 5:
            self.random.shuffle(order)
        if order == list(range(block.count)) or not unbroken(block, order):
            order = list(range(block.count))[::-1]
        self.blocks[i] = block.ordered(block.pieces[k] for k in order)

    def _other_side(self, row: Sequence[int]) -> list[int]:
        """Move a block to the other side of the highest, or past one as high beside it."""
        highs = [high_mm(self.blocks[i]) for i in row]
        alike = [n for n in range(len(row) - 1) if highs[n] == highs[n + 1]]
        if alike and self.random.random() < 0.5:
            n = self.random.choice(alike)
            return [*row[:n], row[n + 1], row[n], *row[n + 2 :]]
        return _other_side(row, highs, self.random)


def _straighten(
    blocks: Sequence[Block],
    sequences: list[list[list[int]]],
    shortfalls: Callable[[], dict[tuple[str, str], int]],
) -> None:
    """Exchange pieces while that makes a row more symmetrical and leaves none too near."""
    for r, groups in enumerate(sequences):
        places = list(combinations(range(len(_flat(groups))), 2))
        gained = len(places) <= MOST_PLACES
        while gained:
            gained = False
            for a, b in places:
                before = sequences[r]
                row = _flat(before)
                row[a], row[b] = row[b], row[a]
                if _facing(row, blocks) < _facing(_flat(before), blocks):
                    sequences[r] = [[i] for i in row]
                    gained = not shortfalls()
                    if gained:
                        break
                    sequences[r] = before


def _facing(row: Sequence[int], blocks: Sequence[Block]) -> int:
    widths = [blocks[i].width_mm for i in row]
    return sum(abs(a - b) for a, b in zip(widths, reversed(widths), strict=True)) // 2


def _flat(groups: Sequence[Sequence[int]]) -> list[int]:
    return [i for group in groups for i in group]


def _other_pairs(row: Sequence[int], random: Random) -> list[int]:
    """Let two facing pairs change places, or turn one round: who faces whom stays."""
    new, last = list(row), len(row) - 1
    a, b = (random.randrange(len(row) // 2) for _ in range(2))
    if a == b:
        b = last - a
    else:
        new[last - a], new[last - b] = row[last - b], row[last - a]
    new[a], new[b] = row[b], row[a]
    return new


def _other_side(row: Sequence[int], highs: Sequence[int], random: Random) -> list[int]:
    at = random.randrange(len(row))
    high = highs[at]
    rest = [i for i in row if i != row[at]]
    heights = [h for n, h in enumerate(highs) if n != at]
    if high > max(heights):
        return list(row)
    top = heights.index(max(heights))
    if at <= top:
        place = next((n for n in range(len(rest), top, -1) if heights[n - 1] >= high), top + 1)
    else:
        place = next(n for n in range(top + 1) if heights[n] >= high)
    return [*rest[:place], row[at], *rest[place:]]


def _shortfalls(
    problem: Problem,
    blocks: Sequence[Block],
    sequences: Sequence[Sequence[Sequence[int]]],
    gap_mm: Sequence[int],
    starts_mm: Sequence[int],
    walls: Sequence[str],
    rules: Sequence[tuple[str, str, int]],
) -> dict[tuple[str, str], int]:
    """Return by how much each pair is too close; a millimetre a gap is allowed for rounding."""
    edges: dict[str, tuple[str, int, int]] = {
        p.id: (p.wall, p.x_mm, p.x_mm + p.width_mm)
        for p in problem.pieces
        if p.wall is not None and p.x_mm is not None
    }
    section_gap = problem.arrangement.section_gap_mm
    for r, groups in enumerate(sequences):
        at, before = starts_mm[r], None
        for piece in _pieces(blocks, groups):
            if before is not None:
                parted = section_gap is not None and before.section != piece.section
                at += before.block_mm + (section_gap or 0 if parted else gap_mm[r])
            left, before = at + piece.lead_mm, piece
            edges[piece.id] = (walls[r], left, left + piece.width_mm)
    short = {}
    for a, b, least in rules:
        if a not in edges or b not in edges or edges[a][0] != edges[b][0]:
            continue
        first, second = sorted((edges[a], edges[b]), key=lambda edge: edge[1])
        between = second[1] - first[2]
        if between < least + 1:
            short[a, b] = least + 1 - between
    return short


def _pieces(blocks: Sequence[Block], groups: Sequence[Sequence[int]]) -> list[Piece]:
    return [piece for group in groups for i in group for piece in blocks[i].pieces]
