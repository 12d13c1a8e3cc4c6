"""Bring nearer what belongs near, once a related hang over several runs is known.

Gaps come first and may differ by a tenth for the sake of nearness. Blocks change places, within a
run and between runs, as seeded dice say; a change is kept that keeps every demand and brings what
belongs near nearer, or, less and less often, a little further. Work is counted in pieces placed, so
that the same input gives the same hang.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, combinations, pairwise
from random import Random

from layouts.blocks import Block
from layouts.checks import check
from layouts.geometry import Cell, Stretch
from layouts.many_runs import Effort, Plan, answer_of
from layouts.nearness import near_pairs, row_gap
from layouts.problem import Piece, Problem
from layouts.search.options import EVERY_DEMAND, fits
from layouts.spacing import spread

PIECES_PLACED = 400_000
PLACED_A_PAIR = 700
ROUNDS = 2
WARM = 0.5
COLD = 0.002
EXCHANGED = 0.8
ALIKE = 5
UNEVEN = 0.1
"""By what share gaps may differ for the sake of nearness where they were even."""
Row = tuple[int, ...]
Edges = dict[str, tuple[str, int, int]]
"""The wall, left and right edge of each piece."""


@dataclass(frozen=True)
class Nearer:
    """Blocks, and the numbers of those on each run from left to right."""

    blocks: list[Block]
    rows: list[Row]


def nearer(
    problem: Problem,
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    found: Nearer,
    *,
    seed: int,
    cancelled: Callable[[], bool] = lambda: False,
) -> Nearer:
    """Return a hang of less or equal sum of weight times distance."""
    state = _State(problem, runs, cells, found)
    if not state.right(state.edges, range(len(runs))):
        return found
    dice = Random(seed)  # noqa: S311
    best, least = state.now(), state.cost
    for _ in range(ROUNDS):
        state.back_to(best)
        best, least = _cooled(state, best, least, dice, cancelled)
    return best


def _cooled(
    state: _State, best: Nearer, least: int, dice: Random, cancelled: Callable[[], bool]
) -> tuple[Nearer, int]:
    """Return the best of one search that begins warm and ends cold."""
    state.placed = 0
    share = state.cost / max(1, len(state.near))
    work = min(PIECES_PLACED, PLACED_A_PAIR * len(state.problem.pieces) ** 2) // ROUNDS
    while state.placed < work and not cancelled():
        warmth = share * WARM * (COLD / WARM) ** (state.placed / work)
        state.placed += 1
        change = state.change(dice)
        if change is None:
            continue
        worst = state.cost - warmth * math.log(max(1e-12, dice.random()))
        if state.take(*change, worst) and state.cost < least:
            best, least = state.now(), state.cost
    return best, least


class _State:
    def __init__(
        self,
        problem: Problem,
        runs: Sequence[Stretch],
        cells: Sequence[Cell],
        found: Nearer,
    ) -> None:
        self.problem, self.runs = problem, runs
        walls = [wall.id for wall in problem.walls]
        begins = accumulate((wall.length_mm for wall in problem.walls), initial=0)
        self.begin = dict(zip(walls, begins, strict=False))
        self.cells = [[c for c in cells if c.run == r] for r in range(len(runs))]
        self.bears = {
            piece.id: [
                [fits(piece, cell, run, EVERY_DEMAND) for cell in here]
                for run, here in zip(runs, self.cells, strict=True)
            ]
            for piece in problem.pieces
        }
        self.pinned: Edges = {
            p.id: (p.wall, p.x_mm, p.x_mm + p.width_mm)
            for p in problem.pieces
            if p.wall is not None and p.x_mm is not None
        }
        self.mass = {piece.id: piece.mass_g for piece in problem.pieces}
        self.near = near_pairs(problem)
        self.apart = [
            (a, b, rule.at_least_mm)
            for rule in problem.apart
            for a, b in combinations(rule.pieces, 2)
        ]
        self.placed = 0
        self.band = problem.arrangement.min_gap_mm, max(run.length_mm for run in runs)
        self.back_to(found)
        self.band = self._near_gaps()

    def _near_gaps(self) -> tuple[int, int]:
        """Return the band in which gaps may lie: those that are, and a twentieth more and less."""
        shared = []
        for run, row in zip(self.runs, self.rows, strict=True):
            if row:
                shared.append(int(row_gap(self.problem, run, [self.blocks[i] for i in row])))
        least, most = min(shared, default=0), max(shared, default=0)
        rule = self.problem.arrangement
        low = max(rule.min_gap_mm, min(least, int(most * (1 - UNEVEN / 2))))
        return low, max(most, int(least * (1 + UNEVEN / 2))) + 1

    def back_to(self, found: Nearer) -> None:
        self.blocks, self.rows = list(found.blocks), list(found.rows)
        place = {p.id: i for i, block in enumerate(self.blocks) for p in block.pieces}
        pairs = [(place[a], place[b]) for a, b, _ in self.near if a in place and b in place]
        self.joined = [(a, b) for a, b in pairs if a != b]
        self.edges = self.pinned | self._laid(self.blocks, self.rows, range(len(self.rows)))
        self.cost = self._cost(self.edges)

    def now(self) -> Nearer:
        return Nearer(list(self.blocks), list(self.rows))

    def change(self, dice: Random) -> tuple[list[Block], list[Row], set[int]] | None:
        """Return blocks and rows after one change, and the runs that it touches."""
        blocks, rows = self.blocks, list(self.rows)
        at = {i: r for r, row in enumerate(rows) for i in row}
        way = dice.random()
        if way < 0.1:
            many = [i for i in at if blocks[i].count > 1]
            if many:
                i = dice.choice(many)
                blocks = list(blocks)
                blocks[i] = blocks[i].ordered(blocks[i].pieces[::-1])
                return blocks, rows, {at[i]}
        one = dice.choice(list(at))
        if way < 0.6 and self.joined:
            one, other = dice.choice(self.joined)
            if dice.random() < 0.5:
                one, other = other, one
            if at[one] != at[other] and dice.random() < EXCHANGED:
                return blocks, *self._exchanged(one, other, at, dice)
            row = [i for i in rows[at[other]] if i != one]
            place = row.index(other) + dice.randrange(2)
            return blocks, *_moved(rows, one, at, at[other], place)
        if way < 0.8:
            some = [i for i in dice.sample(list(at), min(len(at), ALIKE)) if i != one]
            if not some:
                return None
            other = min(some, key=lambda i: abs(blocks[i].width_mm - blocks[one].width_mm))
            change = {one: other, other: one}
            for r in {at[one], at[other]}:
                rows[r] = tuple(change.get(i, i) for i in rows[r])
            return blocks, rows, {at[one], at[other]}
        r = dice.randrange(len(rows))
        place = dice.randrange(len(rows[r]) + (at[one] != r))
        return blocks, *_moved(rows, one, at, r, place)

    def _exchanged(
        self, one: int, other: int, at: dict[int, int], dice: Random
    ) -> tuple[list[Row], set[int]]:
        """Set a block beside another for one about as wide, so that gaps stay as they are."""
        rows, blocks = list(self.rows), self.blocks
        here, there = at[one], at[other]

        def differs(i: int) -> tuple[int, int]:
            return abs(blocks[i].count - blocks[one].count), abs(
                blocks[i].width_mm - blocks[one].width_mm
            )

        alike = sorted((i for i in rows[there] if i != other), key=differs)[:ALIKE]
        if not alike:
            return rows, {here}
        back = dice.choice(alike)
        rows[here] = tuple(back if i == one else i for i in rows[here])
        row = [i for i in rows[there] if i != back]
        place = row.index(other) + dice.randrange(2)
        rows[there] = (*row[:place], one, *row[place:])
        return rows, {here, there}

    def take(self, blocks: list[Block], rows: list[Row], runs: set[int], worst: float) -> bool:
        """Take a change over if it costs no more than `worst` and keeps every demand."""
        touched = range(len(rows)) if self.problem.arrangement.ends == "free" else sorted(runs)
        self.placed += sum(len(rows[r]) for r in touched)
        laid = self._laid(blocks, rows, touched)
        edges = self.edges | laid
        cost = self._cost(edges)
        if len(laid) < sum(blocks[i].count for r in touched for i in rows[r]) or cost > worst:
            return False
        before = self.blocks, self.rows
        self.blocks, self.rows = blocks, rows
        if not self.right(edges, touched):
            self.blocks, self.rows = before
            return False
        self.edges, self.cost = edges, cost
        return True

    def _laid(self, blocks: Sequence[Block], rows: Sequence[Row], touched: Sequence[int]) -> Edges:
        """Return the edges of what hangs on some runs; less where gaps would be too small."""
        rule = self.problem.arrangement
        most = rule.max_gap_mm
        if rule.ends == "free":
            alone = [
                self._alone_mm(blocks, run, row)
                for run, row in zip(self.runs, rows, strict=True)
                if row
            ]
            common = max(rule.min_gap_mm, min(alone, default=0))
            most = common if most is None else min(most, common)
        edges: Edges = {}
        for r in touched:
            run = self.runs[r]
            pieces = [piece for i in rows[r] for piece in blocks[i].pieces]
            if not pieces:
                continue
            parted = self._parted(pieces)
            laid = spread(
                length_mm=run.length_mm,
                widths_mm=[piece.block_mm for piece in pieces],
                left=run.left,
                right=run.right,
                most_mm=most,
                fixed_mm=parted,
            )
            shared = [gap for n, gap in enumerate(laid.gaps_mm[1:-1]) if n not in parted]
            shared = shared or [max(laid.gaps_mm)]
            if min(shared) < self.band[0] or max(shared) > self.band[1] or min(laid.gaps_mm) < 0:
                continue
            for piece, start in zip(pieces, laid.starts_mm, strict=True):
                left = run.from_mm + start + piece.lead_mm
                edges[piece.id] = run.wall.id, left, left + piece.width_mm
        return edges

    def _parted(self, pieces: Sequence[Piece]) -> dict[int, int]:
        width = self.problem.arrangement.section_gap_mm
        if width is None:
            return {}
        turns = enumerate(pairwise(pieces))
        return {n: width for n, (a, b) in turns if a.section != b.section}

    def _alone_mm(self, blocks: Sequence[Block], run: Stretch, row: Row) -> int:
        """Return the gap that a run with free ends would have alone."""
        pieces = [piece for i in row for piece in blocks[i].pieces]
        parted = self._parted(pieces)
        free = run.length_mm - sum(p.block_mm for p in pieces) - sum(parted.values())
        return 2 * free // (2 * (len(pieces) + 1 - len(parted)))

    def _cost(self, edges: Edges) -> int:
        """Return twice the sum of weight times distance; what hangs nowhere is left out."""
        twice = {
            name: 2 * self.begin[wall] + left + right for name, (wall, left, right) in edges.items()
        }
        return sum(
            weight * abs(twice[a] - twice[b])
            for a, b, weight in self.near
            if a in twice and b in twice
        )

    def right(self, edges: Edges, touched: Sequence[int]) -> bool:
        """Tell whether light, load, distances and walls chosen allow these edges."""
        for r in touched:
            for piece in (piece for i in self.rows[r] for piece in self.blocks[i].pieces):
                _, left, right = edges[piece.id]
                for cell, bears in zip(self.cells[r], self.bears[piece.id][r], strict=True):
                    if not bears and cell.from_mm < right and cell.to_mm > left:
                        return False
        for a, b, least in self.apart:
            (wall, left, right), (other, begin, end) = edges[a], edges[b]
            if wall == other and max(begin - right, left - end) < least:
                return False
        return all(self._carried(wall.id, edges) for wall in self.problem.walls)

    def _carried(self, wall: str, edges: Edges) -> bool:
        for fixing in self.problem.wall(wall).fixings:
            if fixing.max_kg_per_m is None:
                continue
            load = sum(
                self.mass[name]
                * max(0, min(right, fixing.to_mm) - max(left, fixing.from_mm))
                / (right - left)
                for name, (here, left, right) in edges.items()
                if here == wall
            )
            if load > fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm):
                return False
        return True


def _moved(
    rows: list[Row], i: int, at: dict[int, int], r: int, place: int
) -> tuple[list[Row], set[int]]:
    """Return rows with a block taken out and set at a place of a run, and both runs."""
    before = at[i]
    rows[before] = tuple(k for k in rows[before] if k != i)
    rows[r] = (*rows[r][:place], i, *rows[r][place:])
    return rows, {before, r}


def nearer_plan(
    problem: Problem, runs: list[Stretch], cells: Sequence[Cell], plan: Plan, effort: Effort
) -> Plan:
    """Return a plan made nearer, or as it is where the verifier finds any fault."""
    if problem.previous:
        return plan
    rows = [tuple(i for group in row for i in group) for row in plan.sequences]
    found = nearer(
        problem,
        runs,
        cells,
        Nearer(list(plan.blocks), rows),
        seed=effort.seed,
        cancelled=effort.cancelled,
    )
    sequences = [[[i] for i in row] for row in found.rows]
    better = replace(plan, blocks=found.blocks, sequences=sequences)
    return plan if check(problem, answer_of(problem, runs, better)) else better


def unevenness(problem: Problem, runs: list[Stretch], plan: Plan) -> float:
    """Return by how many mm gaps differ more than they may for the sake of nearness."""
    measures = answer_of(problem, runs, plan).measures
    most = measures.smallest_gap_mm + measures.gap_spread_mm
    return max(0.0, measures.gap_spread_mm - max(1, UNEVEN * most))
