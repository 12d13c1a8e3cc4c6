"""The least disturbing hang with a few blocks moved, by looking at every way to move them.

Blocks that nobody moves keep run and order. What is new, or whose place is no more, is set in with
those that move. Each run's rows come ordered by what they disturb, so the combinations of all runs
are met in that order too, and the first that the verifier accepts is the least of all.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, combinations, product

from layouts.keeping.rows import RELOCATED, Names, Rows, Way

Plan = tuple[Names, ...]
"""A row of pieces, by number, for each run."""
MOST_ALIKE = 12
MOST_CHECKS = 150
MOST_PLACED = 150_000
MOST_SHARES = 200_000
MOST_SET_IN = 3
MOST_LEAVING = 2


@dataclass
class Allowed:
    """How much may still be looked at: shares of blocks over runs, rows, and whole hangs."""

    placed: int = MOST_PLACED
    shares: int = MOST_SHARES
    checks: int = MOST_CHECKS

    def spent(self, rows: Rows) -> bool:
        return rows.placed >= self.placed or self.shares <= 0 or self.checks <= 0


@dataclass(frozen=True)
class Kept:
    """A plan with its key (see `Way`); `proved` if no plan has a lower one.

    Without a plan, `fewest` pieces at least must leave.
    """

    plan: Plan | None
    key: int
    proved: bool
    fewest: int = 0


@dataclass
class Old:
    """The blocks of each run in their old order, and those that have no old place."""

    rows: list[list[int]]
    loose: list[int]
    home: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        self.home = {i: r for r, row in enumerate(self.rows) for i in row}


def old_of(rows: Rows) -> Old:
    """Return which blocks hang together as they did, and where."""
    found: list[list[tuple[int, int]]] = [[] for _ in rows.runs]
    loose = []
    for i in range(len(rows.blocks)):
        names = rows.names[i]
        homes = {rows.homes[n] for n in names}
        home = next(iter(homes))
        if len(homes) > 1 or home is None:
            loose.append(i)
        else:
            found[home].append((rows.old_mm[names[0]], i))
    for row in found:
        row.sort()
        spans = [[rows.old_mm[n] for n in rows.names[i]] for _, i in row]
        for n, (_, i) in enumerate(row):
            rising = spans[n] == sorted(spans[n])
            ends_before = n + 1 == len(row) or spans[n][-1] < spans[n + 1][0]
            if not (rising and ends_before):
                loose.append(i)
    return Old([[i for _, i in row if i not in loose] for row in found], sorted(loose))


def least_moves(
    rows: Rows, old: Old, allowed: Allowed, accepts: Callable[[Plan], tuple[int, ...] | None]
) -> Kept:
    """Return the least disturbing plan if few blocks must move.

    `accepts` returns None for a plan that breaks a demand, else what is best when smallest among
    plans that disturb alike.
    """
    if len(old.loose) > MOST_SET_IN:
        return Kept(None, 0, False)
    queue = _Queue(rows, allowed, accepts)
    sure = all(rows.blocks[i].count <= 3 for i in range(len(rows.blocks)))
    for leaving in range(MOST_LEAVING + 1):
        for share in _shares(rows, old, leaving, allowed):
            queue.add(share)
        found = queue.best(below=(leaving + 1) * RELOCATED)
        if allowed.spent(rows):
            return Kept(found and found[1], found[0] if found else 0, False, leaving)
        if found and found[0] < (leaving + 1) * RELOCATED:
            return Kept(found[1], found[0], sure, leaving)
    found = queue.best(below=None)
    return Kept(found and found[1], found[0] if found else 0, False, MOST_LEAVING + 1)


@dataclass(frozen=True)
class Share:
    """For each run: the blocks that stay, and those to set in."""

    stay: tuple[tuple[int, ...], ...]
    set_in: tuple[tuple[int, ...], ...]


def _shares(rows: Rows, old: Old, leaving: int, allowed: Allowed) -> Iterator[Share]:
    """Yield every share of moved and new blocks over the runs with `leaving` pieces to go.

    A block set in again in its own run counts as one, for at least one of its pieces changes
    order; one that goes elsewhere counts with all its pieces.
    """
    hung = [sum(rows.hung[n] for n in names) for names in rows.names]
    rule = rows.problem.arrangement
    stuck = {
        r
        for r, row in enumerate(old.rows)
        if rule.ends != "free" and not rows.ways(r, _kept(rows, row), (), rule.max_gap_mm)
    }
    exiled = {i for i, r in old.home.items() if rows.exiled(r, i)}
    out = _least_out(rows, old)
    if sum(out.values()) > leaving:
        return
    spans = _Spans(rows, old)
    for count in range(min(1, leaving), leaving + 1):
        for moving in combinations(sorted(old.home), count):
            if not exiled <= set(moving) or any(
                sum(old.home[i] == r for i in moving) < few for r, few in out.items()
            ):
                continue
            still = stuck - {old.home[i] for i in moving}
            if len(still) <= count + len(old.loose):
                yield from _of(rows, old, moving, hung, leaving, still, spans, allowed)


def _least_out(rows: Rows, old: Old) -> dict[int, int]:
    """Return how many blocks at least must leave each run that is too short for its own."""
    rule = rows.problem.arrangement
    found: dict[int, int] = {}
    if rule.section_gap_mm is not None:
        return found
    for r, row in enumerate(old.rows):
        stay = sorted(row, key=lambda i: rows.wide_of[i] + rule.min_gap_mm * len(rows.names[i]))
        while stay and not rows.room(r, _names(rows, stay)):
            stay.pop()
        if len(stay) < len(row):
            found[r] = len(row) - len(stay)
    return found


def _of(
    rows: Rows,
    old: Old,
    moving: tuple[int, ...],
    hung: Sequence[int],
    leaving: int,
    stuck: set[int],
    spans: _Spans,
    allowed: Allowed,
) -> Iterator[Share]:
    windows = spans.windows(moving)
    chosen = (*moving, *old.loose)
    places = [
        [
            (r, 0 if i in old.loose else 1 if r == old.home[i] else hung[i])
            for r, window in enumerate(windows)
            if spans.inside(i, window) and rows.wide_of[i] <= rows.runs[r].length_mm
        ]
        for i in chosen
    ]
    stay = [tuple(i for i in row if i not in moving) for row in old.rows]
    for target in product(*places):
        allowed.shares -= 1
        if allowed.shares <= 0:
            return
        if sum(cost for _, cost in target) != leaving or stuck - {r for r, _ in target}:
            continue
        set_in: list[tuple[int, ...]] = [()] * len(stay)
        for i, (r, _) in zip(chosen, target, strict=True):
            set_in[r] = (*set_in[r], i)
        if all(rows.room(r, _names(rows, [*stay[r], *set_in[r]])) for r, _ in target):
            yield Share(tuple(stay), tuple(set_in))


class _Spans:
    """The first and the last rank of each block and run: all runs follow one order."""

    def __init__(self, rows: Rows, old: Old) -> None:
        self.old = old
        self.top = max(rows.ranks, default=0)
        ranks = [[rows.ranks[n] for n in names] for names in rows.names]
        self.block = [(min(row), max(row)) for row in ranks]
        self.run = [self._span(row) for row in old.rows]

    def _span(self, blocks: Sequence[int]) -> tuple[int, int]:
        spans = [self.block[i] for i in blocks]
        return min((a for a, _ in spans), default=self.top), max((b for _, b in spans), default=0)

    def windows(self, moving: Sequence[int]) -> list[tuple[int, int]]:
        """Return between which ranks a block of each run must lie when some are taken out."""
        spans = list(self.run)
        for r in {self.old.home[i] for i in moving}:
            spans[r] = self._span([i for i in self.old.rows[r] if i not in moving])
        low = [0, *accumulate((b for _, b in spans), max)]
        high = [self.top, *accumulate((a for a, _ in reversed(spans)), min)][::-1]
        return [(low[r], high[r + 1]) for r in range(len(spans))]

    def inside(self, i: int, window: tuple[int, int]) -> bool:
        return window[0] <= self.block[i][0] and self.block[i][1] <= window[1]


def _names(rows: Rows, blocks: Sequence[int]) -> list[int]:
    return [n for i in blocks for n in rows.names[i]]


def _kept(rows: Rows, blocks: Sequence[int]) -> tuple[Names, ...]:
    return tuple(rows.names[i] for i in blocks)


def ways_of(rows: Rows, share: Share) -> list[list[Way]] | None:
    """Return the rows that each run could have; None if a run has none."""
    rule = rows.problem.arrangement
    cap = rule.max_gap_mm
    if rule.ends == "free":
        inside = [
            _names(rows, [*stay, *more])
            for stay, more in zip(share.stay, share.set_in, strict=True)
        ]
        common = min(rows.own_gap_mm(r, names) for r, names in enumerate(inside) if names)
        cap = common if cap is None else min(cap, common)
    found = []
    for r, (stay, more) in enumerate(zip(share.stay, share.set_in, strict=True)):
        ways = rows.ways(r, _kept(rows, stay), more, cap)
        if not ways:
            return None
        found.append(ways)
    return found


@dataclass
class _Queue:
    """Plans by their key: each share's rows are combined from the least disturbing on."""

    rows: Rows
    allowed: Allowed
    accepts: Callable[[Plan], tuple[int, ...] | None]
    waiting: list[tuple[int, int, tuple[int, ...], list[list[Way]]]] = field(default_factory=list)
    made: int = 0
    found: tuple[int, tuple[int, ...], Plan] | None = None

    def add(self, share: Share) -> None:
        ways = None if self.allowed.spent(self.rows) else ways_of(self.rows, share)
        if ways is not None:
            self._wait(ways, (0,) * len(ways))

    def _wait(self, ways: list[list[Way]], at: tuple[int, ...]) -> None:
        key = sum(some[n].key for some, n in zip(ways, at, strict=True))
        self.made += 1
        heapq.heappush(self.waiting, (key, self.made, at, ways))

    def best(self, *, below: int | None) -> tuple[int, Plan] | None:
        """Return the least plan that keeps every demand, of those alike the best."""
        alike = 0
        while self.waiting and not self.allowed.spent(self.rows):
            key = self.waiting[0][0]
            if below is not None and key >= below:
                break
            if self.found and (key > self.found[0] or alike >= MOST_ALIKE):
                break
            alike += bool(self.found)
            _, _, at, ways = heapq.heappop(self.waiting)
            plan = tuple(some[n].row for some, n in zip(ways, at, strict=True))
            self.allowed.checks -= 1
            merit = self.accepts(plan)
            if merit is not None and (self.found is None or (key, merit) < self.found[:2]):
                self.found = (key, merit, plan)
            last = next((r for r in reversed(range(len(at))) if at[r]), 0)
            for r in range(last, len(at)):
                if at[r] + 1 < len(ways[r]):
                    self._wait(ways, (*at[:r], at[r] + 1, *at[r + 1 :]))
        return self.found and (self.found[0], self.found[2])
