"""Sections one after the other along runs: which part of each section hangs on which run.

Between two runs at most one section is interrupted. All that the next runs need to know is which
section that is, where it began and is to end, and the width and count of its blocks so far. Those
states are followed from run to run as sums of subsets (`sums.py`, `walk.py`); a band that leads to
no state at the end is denied for certain. A state that does is traced back (`trace.py`), and blocks
are chosen that add up to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random
from typing import TYPE_CHECKING

from layouts.search.options import block_fits
from layouts.search.sums import Item, Rows, either, filled, shifted, some_subset, sums_of, taken_off

if TYPE_CHECKING:
    from layouts.search.model import Task

TRIES = 8
MOST_LOOKED_AT = 20_000
MOST_HEADS = 400
START = -1
MOST_IN_SECTION = 100
"""With more pieces in a section its sums are too many to follow, and easy to meet by exchange."""

State = tuple[int, int, int]
"""A section, the run where it began and the run where it is to end; from `START` to `START` where
all sections before it hang, and none of it."""
Part = tuple[int, int]
"""A width in mm and a count of pieces."""
Joint = dict[Part, Rows]
"""For each sum of a section's head, what may hang up to the run after it."""


class Chain:
    """What a search asks of sections in a row, whatever the band of gaps.

    `runs` are the numbers that the runs of the task have where it was asked. `certain` says that a
    denial holds there too.
    """

    def __init__(
        self, task: Task, *, runs: Sequence[int] | None = None, certain: bool = True
    ) -> None:
        self.task, self.certain = task, certain
        self.runs = list(range(len(task.runs))) if runs is None else list(runs)
        order = task.problem.arrangement.sections or ()
        held = {name: [i for i, b in enumerate(task.blocks) if b.section == name] for name in order}
        names = [name for name in order if held[name]]
        self.items: list[list[Item]] = [
            [(i, task.blocks[i].width_mm, task.blocks[i].count) for i in held[name]]
            for name in names
        ]
        self.total: list[Part] = [
            (sum(w for _, w, _ in items), sum(c for _, _, c in items)) for items in self.items
        ]
        bears = [
            {i for i, block in enumerate(task.blocks) if block_fits(block, cell, run, task.demands)}
            for cell, run in zip(task.cells, task.runs, strict=True)
        ]
        own = [{i for i, _, _ in items} for items in self.items]
        self.bears = [[names & here for here in bears] for names in own]
        """Which blocks of each section each run bears."""
        self.pins = _pins(task, names)
        self._sums: dict[tuple[int, frozenset[int], frozenset[int]], Rows] = {}
        self._after: dict[tuple[int, State], Rows] = {}

    def borne(self, s: int, first: int, last: int) -> set[int]:
        """Return the blocks of a section that some run from first to last bears."""
        return set().union(*self.bears[s][first : last + 1])

    def sums_after(self, r: int, state: State) -> Rows:
        """Return what may hang up to run r of a section, the rest being borne by its later runs."""
        if (r, state) not in self._after:
            s, began, end = state
            own = {i for i, _, _ in self.items[s]}
            must = frozenset(own - self.borne(s, r + 1, end))
            may = frozenset(self.borne(s, began, r))
            if (s, must, may) not in self._sums:
                self._sums[s, must, may] = self._sums_between(s, must, may)
            self._after[r, state] = self._sums[s, must, may]
        return self._after[r, state]

    def _sums_between(self, s: int, must: frozenset[int], may: frozenset[int]) -> Rows:
        """Return the sums of all sets between these two, but for none and all of the section."""
        most = self.total[s][1]
        if not must <= may:
            return [0] * (most + 1)
        fixed = [item for item in self.items[s] if item[0] in must]
        rows = sums_of([item for item in self.items[s] if item[0] in may - must], most)
        rows = shifted(rows, sum(w for _, w, _ in fixed), sum(c for _, _, c in fixed))
        rows[0] = rows[-1] = 0
        return rows

    def over_three(self, r: int, state: State, heads: Rows, spare: int, least: int) -> Joint | None:
        """Return what may hang up to the middle one of three runs, for each sum of the head.

        `spare` is the most that head and tail weigh, each piece with the least gap. None where
        there are too many heads to try each.
        """
        s, began, end = state
        items = {i: (w, c) for i, w, c in self.items[s]}
        must = set(items) - self.borne(s, r, end)
        may = self.bears[s][began] - must
        heaviest = max(row.bit_length() - 1 + least * c for c, row in filled(heads))
        light = _light_sets(items, sorted(must), sorted(may), min(spare, heaviest), least)
        found: Joint = {}
        tried = 0
        for looked_at, head in enumerate(light):
            if tried > MOST_HEADS or looked_at > MOST_LOOKED_AT:
                return None
            wide, many = (sum(items[i][k] for i in head) for k in (0, 1))
            if many < len(heads) and heads[many] >> wide & 1:
                tried += 1
                rows = self._up_to_middle(r, state, set(head), spare - wide - least * many, least)
                known = found.get((wide, many))
                found[wide, many] = either(known, rows) if known else rows
        return found

    def _up_to_middle(self, r: int, state: State, head: set[int], spare: int, least: int) -> Rows:
        """Return the sums of head and middle, all that the tail may be taken off the section."""
        s, _, end = state
        wide, many = self.total[s]
        rest = [item for item in self.items[s] if item[0] not in head]
        middle, tail = self.bears[s][r], self.bears[s][end]
        must = [item for item in rest if item[0] not in middle]
        may = [item for item in rest if item[0] in middle and item[0] in tail]
        rows = [0] * (many + 1)
        if not all(i in tail for i, _, _ in must):
            return rows
        fixed = sum(w for _, w, _ in must), sum(c for _, _, c in must)
        lightest = min((w + least * c for _, w, c in may), default=1)
        most = max(0, spare - fixed[0] - least * fixed[1]) // max(1, lightest)
        left = taken_off(may, wide - fixed[0], min(most, sum(c for _, _, c in may)))
        for c, row in enumerate(left):
            if fixed[1] + c:
                rows[many - fixed[1] - c] = row
        return rows

    def chosen(self, s: int, shares: Sequence[tuple[int, Part]], dice: Random) -> dict[int, int]:
        """Return a run for each block of a section so that each run takes its share, or nothing."""
        for _ in range(TRIES if len(shares) > 2 else 1):
            rest = self.items[s]
            rows: dict[int, int] = {}
            for n, (r, share) in enumerate(shares):
                later = set().union(*(self.bears[s][k] for k, _ in shares[n + 1 :]))
                here = _some_here(rest, self.bears[s][r], later, share, dice)
                if here is None:
                    break
                rows |= dict.fromkeys(here, r)
                rest = [item for item in rest if item[0] not in rows]
            if not rest:
                return rows
        return {}


def chain_of(task: Task, *, certain: bool = True) -> Chain | None:
    """Return the chain of a task whose sections have an order and whose runs are one cell each."""
    rule = task.problem.arrangement
    if rule.kind != "by_section" or not rule.sections or rule.order or task.bordered:
        return None
    if not task.demands.order or not task.blocks:
        return None
    pinned = {piece.section for piece in task.problem.pieces if piece.x_mm is not None}
    if not pinned <= {block.section for block in task.blocks}:
        return None
    chain = Chain(task, certain=certain)
    return chain if all(many <= MOST_IN_SECTION for _, many in chain.total) else None


def between(s: int) -> State:
    return s, START, START


def _some_here(
    rest: Sequence[Item], bears: set[int], later: set[int], share: Part, dice: Random
) -> list[int] | None:
    """Return blocks for a run: all that no later run bears, and others that make up its share."""
    must = [item for item in rest if item[0] not in later]
    may = [item for item in rest if item[0] in later and item[0] in bears]
    if not all(i in bears for i, _, _ in must):
        return None
    wide = share[0] - sum(w for _, w, _ in must)
    many = share[1] - sum(c for _, _, c in must)
    some = some_subset(may, wide, many, dice)
    return None if some is None else [i for i, _, _ in must] + some


def _light_sets(
    items: dict[int, Part], must: list[int], may: list[int], spare: int, least: int
) -> Iterator[list[int]]:
    """Yield the sets that hold `must`, and of `may` no more than weighs `spare`; each piece weighs
    its width and one gap."""
    weight = {i: wide + least * many for i, (wide, many) in items.items()}
    stack = [(must, 0, spare - sum(weight[i] for i in must))]
    while stack:
        chosen, first, left = stack.pop()
        if left < 0:
            continue
        yield chosen
        stack += [
            ([*chosen, i], n + 1, left - weight[i])
            for n, i in enumerate(may[first:], first)
            if weight[i] <= left
        ]


def _pins(task: Task, names: Sequence[str]) -> dict[int, list[int]]:
    """Return for each run the sections of what is fixed in place behind it, before the next."""
    from layouts.search.model import pin_slot

    found: dict[int, list[int]] = {}
    for piece in task.problem.pieces:
        if piece.x_mm is not None and piece.section in names:
            found.setdefault(pin_slot(task, piece) // 2, []).append(names.index(piece.section))
    return found
