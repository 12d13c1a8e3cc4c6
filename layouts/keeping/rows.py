"""Every order that a run could have with a few blocks set in, and what each disturbs.

Many orders of one run are placed at once: with the run's pieces known, gaps follow in closed form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby, pairwise, permutations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from layouts.blocks import Block, unbroken
from layouts.geometry import Stretch, cells_of
from layouts.previous import along_mm, run_at, spots_of
from layouts.problem import Piece, Problem
from layouts.search.options import EVERY_DEMAND, fits

Names = tuple[int, ...]
"""Pieces by number, from left to right: a block in one of its orders, or a whole row."""
Table = NDArray[Any]
RELOCATED = 10**10
"""A piece that changes run or order outweighs any distance in mm."""
FREELY_ORDERED = 3


@dataclass(frozen=True)
class Way:
    """A row that a run could have; `key` is RELOCATED for each piece that leaves, and the mm."""

    key: int
    row: Names


@dataclass
class Rows:
    """The runs of a hang and the pieces that hang freely, as tables."""

    problem: Problem
    blocks: Sequence[Block]
    runs: Sequence[Stretch]
    placed: int = 0
    known: dict[Any, list[Way]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.pieces: list[Piece] = [piece for block in self.blocks for piece in block.pieces]
        self.number = {piece.id: n for n, piece in enumerate(self.pieces)}
        before, begins = spots_of(self.problem), along_mm(self.problem)
        spots = [before.get(piece.id) for piece in self.pieces]
        self.homes = [run_at(self.runs, spot) for spot in spots]
        self.hung = [spot is not None for spot in spots]
        self.old_mm = [begins.get(spot[0], 0) + spot[2] if spot else 0 for spot in spots]
        self.counts = np.array([bool(spot and spot[0] in begins) for spot in spots])
        self.begins = begins
        self.home = np.array([-1 if home is None else home for home in self.homes])
        self.was_hung = np.array(self.hung)
        self.old = np.array(self.old_mm)
        self.wide = np.array([piece.block_mm for piece in self.pieces])
        self.lead = np.array([piece.lead_mm for piece in self.pieces])
        self.width = np.array([piece.width_mm for piece in self.pieces])
        self.high = np.array([piece.height_mm for piece in self.pieces])
        self.mass = np.array([piece.mass_g for piece in self.pieces])
        sections = list(dict.fromkeys(piece.section for piece in self.pieces))
        self.section = np.array([sections.index(piece.section) for piece in self.pieces])
        self.names = [tuple(self.number[piece.id] for piece in b.pieces) for b in self.blocks]
        self.wide_of = [block.width_mm for block in self.blocks]
        self.variants = [self._variants(block) for block in self.blocks]
        self.ranks = self._ranks()
        self.rank = np.array(self.ranks)

    def _ranks(self) -> list[int]:
        """Return each piece's place in the order asked for; all 0 where none is."""
        rule = self.problem.arrangement
        if rule.order:
            return [rule.order.index(piece.id) for piece in self.pieces]
        if rule.kind == "by_section" and rule.sections:
            place = {name: n for n, name in enumerate(rule.sections)}
            return [place.get(piece.section or "", len(place)) for piece in self.pieces]
        return [0] * len(self.pieces)

    def follows(self, plan: Sequence[Names]) -> bool:
        """Tell whether the order asked for, or whole sections, hold from run to run."""
        names = [n for row in plan for n in row]
        ranks = [self.ranks[n] for n in names]
        if any(a > b for a, b in pairwise(ranks)):
            return False
        sections = [section for section, _ in groupby(int(self.section[n]) for n in names)]
        by_section = self.problem.arrangement.kind == "by_section"
        return not by_section or len(sections) == len(set(sections))

    @cached_property
    def unfit(self) -> list[list[tuple[int, int, Table]]]:
        """Return for each run its parts, each with the pieces that must not touch it."""
        parts: list[list[tuple[int, int, Table]]] = [[] for _ in self.runs]
        for cell in cells_of(list(self.runs), self.problem):
            run = self.runs[cell.run]
            bad = np.array([not fits(p, cell, run, EVERY_DEMAND) for p in self.pieces], dtype=bool)
            if bad.any():
                parts[cell.run].append((cell.from_mm, cell.to_mm, bad))
        return parts

    def _variants(self, block: Block) -> list[Names]:
        """Return the orders that a block may take, its present one first."""
        given = tuple(self.number[piece.id] for piece in block.pieces)
        places = tuple(range(block.count))
        if self.problem.arrangement.order or block.count == 1:
            return [given]
        if block.count <= FREELY_ORDERED:
            orders = [order for order in permutations(places) if unbroken(block, order)]
        else:
            orders = [places, places[::-1]]
        return [tuple(given[k] for k in order) for order in orders]

    def own_gap_mm(self, r: int, names: Sequence[int]) -> int:
        """Return the gap of a run whose margins count as gaps, as rows with free ends share it."""
        rule = self.problem.arrangement
        changes = 0
        if rule.section_gap_mm is not None:
            changes = len({self.pieces[n].section for n in names}) - 1
        free = self.runs[r].length_mm - sum(self.pieces[n].block_mm for n in names)
        free -= changes * (rule.section_gap_mm or 0)
        return max(rule.min_gap_mm, free // (len(names) + 1 - changes))

    def room(self, r: int, names: Sequence[int]) -> bool:
        """Tell whether a run is long enough for these pieces with the least gap."""
        rule, run = self.problem.arrangement, self.runs[r]
        changes = 0
        if rule.section_gap_mm is not None and names:
            changes = len({self.pieces[n].section for n in names}) - 1
        free = run.length_mm - sum(self.pieces[n].block_mm for n in names)
        free -= changes * (rule.section_gap_mm or 0)
        inner = 2 * (len(names) - 1 - changes)
        return not names or 2 * free >= rule.min_gap_mm * (inner + run.left + run.right)

    def ways(
        self, r: int, kept: tuple[Names, ...], added: tuple[int, ...], cap: int | None
    ) -> list[Way]:
        """Return the rows that keep what can be told from one run, the least disturbing first.

        `added` are blocks by number, set in at every place of the row of blocks that are kept.
        `cap` is the largest gap.
        """
        asked = (r, kept, added, cap)
        if asked not in self.known:
            rows = list(self._orders(kept, added))
            self.placed += len(rows)
            self.known[asked] = self._judged(r, rows, cap)
        return self.known[asked]

    def _orders(self, kept: tuple[Names, ...], added: tuple[int, ...]) -> Iterator[Names]:
        rows: list[tuple[Names, ...]] = [kept]
        for number in added:
            rows = [
                (*row[:at], variant, *row[at:])
                for row in rows
                for at in range(len(row) + 1)
                for variant in self.variants[number]
            ]
        for row in rows:
            yield tuple(n for block in row for n in block)

    def _judged(self, r: int, rows: list[Names], cap: int | None) -> list[Way]:
        if not rows[0]:
            return [Way(0, ())]
        table = np.array(rows)
        table = table[self._in_order(table)]
        left, good = self._placed(r, table, cap)
        table, left = table[good], left[good]
        good = self._bearable(r, table, left)
        table, left = table[good], left[good]
        begin = self.begins[self.runs[r].wall.id]
        moved = np.where(self.counts[table], np.abs(begin + left - self.old[table]), 0).sum(axis=1)
        keys = moved + RELOCATED * self._relocated(r, table)
        order = np.argsort(keys, kind="stable")
        return [Way(int(keys[n]), tuple(int(i) for i in table[n])) for n in order]

    def exiled(self, r: int, i: int) -> bool:
        """Tell whether a block has a piece that no part of a run can bear."""
        whole = self.runs[r].to_mm - self.runs[r].from_mm
        bad = sum(((b - a) * row[list(self.names[i])] for a, b, row in self.unfit[r]), np.array(0))
        return bool((bad >= whole).any())

    def _in_order(self, table: Table) -> Table:
        """Tell which rows keep the order asked for, whole sections, or rise as their kind asks."""
        kind = self.problem.arrangement.kind
        good: Table = np.asarray((np.diff(self.rank[table], axis=1) >= 0).all(axis=1))
        if kind == "by_section":
            changes = (np.diff(self.section[table], axis=1) != 0).sum(axis=1)
            good &= changes == len(set(self.section[table[0]].tolist())) - 1
        steps = np.diff(self.high[table], axis=1)
        if kind == "rise":
            good &= (steps >= 0).all(axis=1)
        if kind == "centre_high":
            fallen = np.cumsum(steps < 0, axis=1) > 0
            good &= ~(fallen & (steps > 0)).any(axis=1)
        return good

    def _placed(self, r: int, table: Table, cap: int | None) -> tuple[Table, Table]:
        """Return left edges of pieces on the wall, and which rows have the least gap at least."""
        rule, run = self.problem.arrangement, self.runs[r]
        wide = self.wide[table]
        inner = np.full((len(table), table.shape[1] - 1), 2)
        set_mm = np.zeros_like(inner)
        if rule.section_gap_mm is not None:
            parted = np.diff(self.section[table], axis=1) != 0
            inner[parted] = 0
            set_mm[parted] = rule.section_gap_mm
        free = run.length_mm - wide.sum(axis=1) - set_mm.sum(axis=1)
        ends = np.full((len(table), 1), run.left)
        units = np.cumsum(np.hstack([ends, inner, np.full((len(table), 1), run.right)]), axis=1)
        total = units[:, -1]
        good = (2 * free >= rule.min_gap_mm * total) & (free >= 0)
        twice, rest = np.divmod(free[:, None] * units, np.maximum(total, 1)[:, None])
        marks = twice + (2 * rest > total[:, None])
        marks[total == 0] = (free // 2)[total == 0, None]
        if cap is not None:
            capped = 2 * free > cap * total
            margin = free - cap * (inner.sum(axis=1) // 2)
            steps = np.cumsum(np.hstack([(margin // 2)[:, None], np.where(inner > 0, cap, 0)]), 1)
            marks[capped, :-1] = steps[capped]
        begins = np.cumsum(wide, axis=1) - wide
        begins[:, 1:] += np.cumsum(set_mm, axis=1)
        return run.from_mm + marks[:, :-1] + begins + self.lead[table], good

    def _bearable(self, r: int, table: Table, left: Table) -> Table:
        """Tell which rows keep light, loads, and pieces apart, as far as their own run shows."""
        right = left + self.width[table]
        good = np.ones(len(table), dtype=bool)
        for start, stop, bad in self.unfit[r]:
            good &= ~(bad[table] & (left < stop) & (right > start)).any(axis=1)
        for fixing in self.runs[r].wall.fixings:
            if fixing.max_kg_per_m is not None:
                over = np.minimum(right, fixing.to_mm) - np.maximum(left, fixing.from_mm)
                load = (self.mass[table] * np.maximum(over, 0) / self.width[table]).sum(axis=1)
                limit = fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm)
                good &= load <= limit + 1
        here = set(table[0].tolist()) if len(table) else set()
        for rule in self.problem.apart:
            some = [n for n in map(self.number.get, rule.pieces) if n in here]
            for one in some:
                for other in some[: some.index(one)]:
                    a_left, a_right = ((x * (table == one)).sum(axis=1) for x in (left, right))
                    b_left, b_right = ((x * (table == other)).sum(axis=1) for x in (left, right))
                    between = np.maximum(a_left, b_left) - np.minimum(a_right, b_right)
                    good &= between >= rule.at_least_mm
        return good

    def _relocated(self, r: int, table: Table) -> Table:
        """Return how many pieces of each row came from elsewhere or stand out of old order."""
        here = self.home[table] == r
        came: Table = (self.was_hung[table] & ~here).sum(axis=1)
        old = np.where(here, self.old[table], -1)
        highest = np.maximum.accumulate(old, axis=1)
        for n in np.nonzero((here & (old < highest)).any(axis=1))[0]:
            row = [int(x) for x in old[n] if x >= 0]
            came[n] += len(row) - _longest_rise(row)
        return came


def _longest_rise(row: Sequence[int]) -> int:
    """Return how many numbers the longest rising part of a row has (patience)."""
    from bisect import bisect_left

    tails: list[int] = []
    for number in row:
        at = bisect_left(tails, number)
        tails[at : at + 1] = [number]
    return len(tails)
