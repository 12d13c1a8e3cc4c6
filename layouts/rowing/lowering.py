"""Make a stack of rows as low as can be found while every gap stays within given bounds.

A line, all that hangs in one row of one wall, is as high as its highest block. What is higher than
a line's cap hangs elsewhere; whether all gaps can then still be kept is sought by exchanges, the
best each time, with what has just moved left alone for a while. Caps come first from what the rows
above must take (high pieces in one row, low ones in another), then each is lowered step by step.

Exchanges with a memory: F. Glover, Tabu search, part I, ORSA Journal on Computing 1 (1989) 190-206
(from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from layouts.rowing.task import Ints

Flags = NDArray[np.bool_]
EASED = (0, 1, 2, 3, 5, 8, 13, 21)
"""How many blocks fewer than fit must hang in the rows above, tried in turn."""
JUMPS = (8, 4, 2, 1)
STEPS_A_TRY = 60
CELLS = 6_000_000
"""Work of one lowering: blocks times blocks that are looked at for an exchange."""
RESTS = 4
IDLE_ROUNDS = 3
NEVER = np.iinfo(np.int64).max // 8


@dataclass(frozen=True)
class Stack:
    """Blocks with widths, counts of pieces and reaches (up and down together); runs with lengths,
    margins in half gaps, and the line and row they belong to.

    `bears` says which run may take which block. Gaps are to be `least` at least and less than
    `below`. Reaches are in mm, all else in hundredths of that, so that gaps can be told apart.
    """

    widths: Ints
    counts: Ints
    reaches: Ints
    lengths: Ints
    margins: Ints
    lines: Ints
    rows: Ints
    bears: Flags
    least: int
    below: int

    def excess(self, r: Ints, widths: Ints, counts: Ints) -> Ints:
        """Return by how much, in half parts, runs with these contents miss the gaps asked for."""
        free = 2 * (self.lengths[r] - widths)
        halves = 2 * (counts - 1) + self.margins[r]
        narrow = self.least * halves - free
        wide = free - self.below * halves + 1
        off: Ints = np.where(counts > 0, np.maximum(0, np.maximum(narrow, wide)), 0)
        return off

    def narrowed(self, where: Ints, width: int) -> Stack:
        """Return the stack with gaps held in a band of this width, if they are in it already.

        The band lies about the gap that all runs would have could pieces be divided.
        """
        used = np.unique(where)
        free = 2 * int(self.lengths[used].sum() - self.widths.sum())
        halves = 2 * int(self.counts.sum()) + int((self.margins[used] - 2).sum())
        least = max(self.least, -(-(2 * free - width * halves) // (2 * max(1, halves))))
        narrow = replace(self, least=least, below=min(self.below, least + width + 1))
        runs = np.arange(len(self.lengths))
        widths = np.bincount(where, self.widths, len(runs)).astype(np.int64)
        counts = np.bincount(where, self.counts, len(runs)).astype(np.int64)
        return self if narrow.excess(runs, widths, counts).any() else narrow

    def highest(self, where: Ints) -> Ints:
        """Return each line's height."""
        heights = np.zeros(int(self.lines.max()) + 1, dtype=np.int64)
        np.maximum.at(heights, self.lines[where], self.reaches)
        return heights

    def within(self, caps: Ints) -> Flags:
        """Return which run may take which block under caps on its line."""
        under: Flags = self.bears & (self.reaches[:, None] <= caps[self.lines][None, :])
        return under


@dataclass
class Work:
    """How much may still be looked at."""

    cells: int = CELLS
    stopped: Callable[[], bool] = lambda: False
    dice: np.random.Generator = field(default_factory=lambda: np.random.default_rng(0))

    @property
    def spent(self) -> bool:
        return self.cells <= 0 or self.stopped()


def lowered(
    stack: Stack,
    where: Ints,
    height_mm: Callable[[Ints], int | None],
    work: Work,
    *,
    lowest_mm: int = 0,
) -> Ints:
    """Return a run for each block, with all gaps in bounds, so that the stack is low.

    `height_mm` is the height to be made small, and None for what breaks another demand. The blocks
    stay where they are if nothing lower is found; at `lowest_mm` nothing more is sought.
    """
    best, low = where, height_mm(where)
    idle = 0
    while idle < IDLE_ROUNDS and not work.spent and (low is None or low > lowest_mm):
        found = _tightened(stack, _from_caps(stack, height_mm, work), height_mm, work)
        found = _tightened(stack, best, height_mm, work) if found is None else found
        height = None if found is None else height_mm(found)
        idle += 1
        if found is not None and height is not None and (low is None or height < low):
            best, low, idle = found, height, 0
    return best


def _from_caps(stack: Stack, height_mm: Callable[[Ints], int | None], work: Work) -> Ints | None:
    """Return the lowest that the caps allow from what the rows above must take."""
    for eased in EASED:
        caps = caps_of(stack, eased)
        found = None if work.spent else filled(stack, _by_height(stack, caps), caps, work)
        if found is not None and height_mm(found) is not None:
            return found
    return None


def _tightened(
    stack: Stack, where: Ints | None, height_mm: Callable[[Ints], int | None], work: Work
) -> Ints | None:
    """Lower one line after another for as long as all gaps can be kept."""
    if where is None:
        return None
    low = height_mm(where)
    for jump in JUMPS:
        lines = list(range(int(stack.lines.max()) + 1))
        while lines and not work.spent:
            line = lines.pop(0)
            caps = stack.highest(where)
            here = np.unique(stack.reaches[stack.lines[where] == line])[::-1]
            if len(here) <= jump:
                continue
            caps[line] = here[jump]
            found = filled(stack, where, caps, work)
            height = None if found is None else height_mm(found)
            if found is not None and height is not None and (low is None or height < low):
                where, low = found, height
                lines = [line, *(n for n in lines if n != line)]
    return where


def caps_of(stack: Stack, eased: int = 0) -> Ints:
    """Return a cap for each line, the same in the same row of all walls, the first row highest.

    Row after row takes the highest blocks until no more of them fit, `eased` fewer than that. With
    none fewer, no rows of a single wall can be lower.
    """
    caps = np.full(int(stack.lines.max()) + 1, int(stack.reaches.max()), dtype=np.int64)
    order = np.argsort(-stack.reaches, kind="stable")
    taken = np.cumsum(2 * stack.widths[order] + 2 * stack.least * stack.counts[order])
    for row in range(1, int(stack.rows.max()) + 1):
        above = stack.rows < row
        room = 2 * stack.lengths[above] - stack.least * (stack.margins[above] - 2)
        fit = int(np.searchsorted(taken, int(room.sum()), side="right"))
        cap = int(stack.reaches[order[max(0, min(len(order) - 1, fit - eased))]])
        caps[stack.lines[stack.rows >= row]] = cap
    return caps


def _by_height(stack: Stack, caps: Ints) -> Ints:
    """Return the highest blocks in the first rows, the next in those below, as room allows."""
    may = stack.within(caps)
    where = np.zeros(len(stack.widths), dtype=np.int64)
    room = stack.lengths.astype(np.int64).copy()
    by_row = np.argsort(stack.rows, kind="stable")
    for i in np.argsort(-stack.reaches, kind="stable"):
        need = stack.widths[i] + stack.least * stack.counts[i]
        open_to = [int(r) for r in by_row if may[i, r]] or [int(by_row[0])]
        enough = [r for r in open_to if room[r] >= need // 2]
        where[i] = enough[0] if enough else max(open_to, key=lambda r: int(room[r]))
        room[where[i]] -= need
    return where


def filled(stack: Stack, where: Ints, caps: Ints, work: Work) -> Ints | None:
    """Return a run for each block with all gaps in bounds and no line above its cap, or None."""
    may = stack.within(caps)
    if not may.any(axis=1).all():
        return None
    where = where.copy()
    number, runs = np.arange(len(where)), np.arange(len(stack.lengths))
    widths = np.bincount(where, stack.widths, len(runs)).astype(np.int64)
    counts = np.bincount(where, stack.counts, len(runs)).astype(np.int64)
    for i in np.flatnonzero(~may[number, where]):
        room = np.where(may[i], stack.lengths - widths, -NEVER)
        to = int(room.argmax())
        _shift(stack, where, widths, counts, int(i), to)
    if (counts[np.unique(where)] < 1).any():
        return None
    rests = np.zeros(len(where), dtype=np.int64)
    for step in range(STEPS_A_TRY):
        off = stack.excess(runs, widths, counts)
        if not off.any():
            return where
        if work.spent:
            return None
        exchange = _best(stack, where, widths, counts, off, may, rests > step)
        work.cells -= len(where) * max(len(runs), int((off[where] > 0).sum()))
        if exchange is None:
            return None
        for block, to in exchange:
            _shift(stack, where, widths, counts, block, to)
            rests[block] = step + RESTS + int(work.dice.integers(RESTS))
    return None


def _shift(stack: Stack, where: Ints, widths: Ints, counts: Ints, block: int, to: int) -> None:
    for r, sign in ((where[block], -1), (to, 1)):
        widths[r] += sign * stack.widths[block]
        counts[r] += sign * stack.counts[block]
    where[block] = to


def _best(
    stack: Stack,
    where: Ints,
    widths: Ints,
    counts: Ints,
    off: Ints,
    may: Flags,
    resting: Flags,
) -> list[tuple[int, int]] | None:
    """Return the best swap or move of a block of a run that is off; resting blocks only for good.

    Each is a list of blocks with the runs they go to.
    """
    wide, many = stack.widths, stack.counts
    number = np.arange(len(where))
    bad = np.flatnonzero(off[where] > 0)
    a, b = where[bad][:, None], where[None, :]
    d_wide, d_many = wide[None, :] - wide[bad][:, None], many[None, :] - many[bad][:, None]
    swaps = stack.excess(a, widths[a] + d_wide, counts[a] + d_many)
    swaps = swaps + stack.excess(b, widths[b] - d_wide, counts[b] - d_many)
    swaps -= off[a] + off[b]
    good = (a != b) & may[bad[:, None], b] & may[number[None, :], a]
    every = np.arange(len(stack.lengths))
    open_runs = counts[every] > 0
    best: tuple[int, list[tuple[int, int]]] | None = None
    whole = int(off.sum())
    rest = resting[bad][:, None] | resting[None, :]
    swaps = np.where(good & ~(rest & (swaps + whole > 0)), swaps, NEVER)
    n, j = divmod(int(swaps.argmin()), swaps.shape[1])
    if swaps[n, j] < NEVER:
        i = int(bad[n])
        best = int(swaps[n, j]), [(i, int(where[j])), (j, int(where[i]))]
    home, to = where[:, None], every[None, :]
    moves = stack.excess(home, widths[home] - wide[:, None], counts[home] - many[:, None])
    moves = moves + stack.excess(to, widths[to] + wide[:, None], counts[to] + many[:, None])
    moves -= off[home] + off[to]
    good = (home != to) & may & open_runs[None, :] & (counts[home] > many[:, None])
    good &= ~(resting[:, None] & (moves + whole > 0))
    moves = np.where(good, moves, NEVER)
    i, r = divmod(int(moves.argmin()), moves.shape[1])
    if moves[i, r] < NEVER and (best is None or moves[i, r] < best[0]):
        best = int(moves[i, r]), [(i, r)]
    return None if best is None else best[1]
