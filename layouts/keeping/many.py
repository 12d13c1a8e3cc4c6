"""Where many must move: a hang with few moves from the solver, then bettered step by step."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from layouts.keeping.moves import Allowed, Kept, Old, Plan
from layouts.keeping.rows import RELOCATED, Names, Rows
from layouts.search.model import Model, Task
from layouts.search.solver import Allowance

MOVES_WORK = 2.0
MOST_STEPS = 30
State = tuple[tuple[Names, ...], ...]
"""For each run its blocks from left to right."""
Step = tuple[int, State, int, Names]
"""What a state would disturb in which one run had another row: the key, the state, run and row."""


def fewest_leaving(task: Task, allowance: Allowance) -> tuple[list[int], bool] | None:
    """Return a run for each block so that few pieces leave theirs, and whether none need fewer."""
    from ortools.sat.python import cp_model

    widest = max((run.length_mm for run in task.runs), default=0)
    band = (task.problem.arrangement.min_gap_mm, widest)
    build = Model(cp_model.CpModel(), task, band)
    if not build.constrain():
        return None
    build.model.minimize(build.moves())
    for var, o in build.options:
        build.model.add_hint(var, task.homes is not None and task.homes[o.block] == o.run)
    solver, status = allowance.solve(build.model, most=MOVES_WORK)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    chosen = {o.block: o.run for var, o in build.options if solver.value(var)}
    return [chosen[i] for i in range(len(task.blocks))], status == cp_model.OPTIMAL


def settled(
    rows: Rows,
    old: Old,
    targets: Sequence[int],
    allowed: Allowed,
    accepts: Callable[[Plan], tuple[int, ...] | None],
) -> Kept | tuple[int, ...]:
    """Return a plan with the blocks in these runs, bettered while that is known how.

    If none is found, return the blocks that ought not to go where they were to go.
    """
    steps = _Steps(rows, accepts, allowed)
    movers = [i for i in range(len(rows.blocks)) if old.home.get(i) != targets[i]]
    state: State = tuple(tuple(rows.names[i] for i in row if i not in movers) for row in old.rows)
    for i in sorted(movers, key=lambda i: rows.old_mm[rows.names[i][0]]):
        with_it = steps.set_right(state, targets[i], (i,))
        if with_it is None:
            return (i,)
        state = with_it
    for r in range(len(state)):
        state = steps.set_right(state, r, ()) or state
    key = steps.key(state)
    if key is None or accepts(steps.plan(state)) is None:
        return tuple(movers)
    movers += sorted(steps.turned - set(movers))
    return _bettered(steps, old, state, key, movers)


def _bettered(steps: _Steps, old: Old, state: State, key: int, movers: list[int]) -> Kept:
    for _ in range(MOST_STEPS):
        found = [
            (step[0], i, other, step)
            for i in movers
            for other, step in steps.instead(state, i, old.home.get(i))
            if step[0] < key
        ]
        for better, i, other, (_, before, r, row) in sorted(found, key=lambda step: step[:3]):
            changed = steps.with_row(before, r, row)
            if steps.accepted(changed):
                key, state = better, changed
                movers = [*(m for m in movers if m != i), other]
                break
        else:
            break
    return Kept(steps.plan(state), key, False)


class _Steps:
    """Small changes of a state, each with its key."""

    def __init__(
        self, rows: Rows, accepts: Callable[[Plan], tuple[int, ...] | None], allowed: Allowed
    ) -> None:
        self.rows, self.accepts, self.allowed = rows, accepts, allowed
        self.turned: set[int] = set()
        self.free: dict[tuple[int, tuple[Names, ...]], int] = {}
        self.block_of = {rows.number[p.id]: i for i, b in enumerate(rows.blocks) for p in b.pieces}

    def plan(self, state: State) -> Plan:
        return tuple(tuple(n for block in row for n in block) for row in state)

    def with_row(self, state: State, r: int, row: Names) -> State:
        blocks = tuple(tuple(part) for _, part in groupby(row, key=self.block_of.__getitem__))
        return (*state[:r], blocks, *state[r + 1 :])

    def cap(self, state: State) -> int | None:
        rule = self.rows.problem.arrangement
        cap = rule.max_gap_mm
        if rule.ends == "free":
            rows = [[n for block in row for n in block] for row in state]
            own = [self.rows.own_gap_mm(r, row) for r, row in enumerate(rows) if row]
            common = min(own, default=rule.min_gap_mm)
            cap = common if cap is None else min(cap, common)
        return cap

    def key(self, state: State) -> int | None:
        """Return what a state disturbs; None if a run breaks a demand."""
        return _sum(self.keys(state))

    def keys(self, state: State) -> list[int | None]:
        """Return what each run of a state disturbs; None where it breaks a demand."""
        cap = self.cap(state)
        found: list[int | None] = []
        for r, row in enumerate(state):
            ways = self.rows.ways(r, row, (), cap)
            found.append(ways[0].key if ways else None)
        return found

    def set_right(self, state: State, r: int, added: Names) -> State | None:
        """Return the state with blocks set into a run, another of it set in anew if need be."""
        cap = self.cap(state)
        if ways := self.rows.ways(r, state[r], added, cap):
            return self.with_row(state, r, ways[0].row)
        best: tuple[int, int, Names] | None = None
        for block in state[r]:
            other = self.block_of[block[0]]
            rest = tuple(b for b in state[r] if b != block)
            for way in self.rows.ways(r, rest, (*added, other), cap)[:1]:
                best = min(best or (way.key, other, way.row), (way.key, other, way.row))
        if best is None:
            return None
        self.turned.add(best[1])
        return self.with_row(state, r, best[2])

    def accepted(self, state: State) -> bool:
        """Tell whether the verifier accepts a state, while enough may still be looked at."""
        plan = self.plan(state)
        if self.allowed.spent(self.rows) or not self.rows.follows(plan):
            return False
        self.allowed.checks -= 1
        return self.accepts(plan) is not None

    def without(self, state: State, i: int) -> State:
        return tuple(tuple(block for block in row if self.block_of[block[0]] != i) for row in state)

    def has_room(self, r: int, row: tuple[Names, ...], i: int) -> bool:
        """Tell whether a run that holds a row is long enough for one block more."""
        rule = self.rows.problem.arrangement
        if rule.section_gap_mm is not None:
            return self.rows.room(r, [n for block in (*row, self.rows.names[i]) for n in block])
        if (r, row) not in self.free:
            run, blocks = self.rows.runs[r], [self.block_of[block[0]] for block in row]
            free = 2 * (run.length_mm - sum(self.rows.wide_of[b] for b in blocks))
            halves = run.left + run.right + 2 * sum(map(len, row)) - 2
            self.free[r, row] = free - rule.min_gap_mm * halves
        count = len(self.rows.names[i])
        return self.free[r, row] >= 2 * (self.rows.wide_of[i] + rule.min_gap_mm * count)

    def set_in(self, state: State, i: int, runs: Sequence[int]) -> Iterator[Step]:
        """Yield a step for each run that can take a block at its best place there."""
        cap = self.cap(state)
        alike = self.rows.problem.arrangement.ends != "free"
        keys = self.keys(state) if alike else []
        for r in runs:
            rest = _sum([*keys[:r], *keys[r + 1 :]])
            if rest is None or not self.has_room(r, state[r], i):
                continue
            for way in self.rows.ways(r, state[r], (i,), cap)[:1]:
                key = rest + way.key if alike else self.key(self.with_row(state, r, way.row))
                if key is not None:
                    yield key, state, r, way.row

    def instead(self, state: State, i: int, home: int | None) -> Iterator[tuple[int, Step]]:
        """Yield steps that set a block elsewhere, or home with another of its run gone instead.

        With each comes the block that then is away.
        """
        everywhere = range(len(state))
        taken = self.without(state, i)
        for found in self.set_in(taken, i, everywhere):
            yield i, found
        if home is None:
            return
        elsewhere = [r for r in everywhere if r != home]
        for block in taken[home]:
            other = self.block_of[block[0]]
            if self.allowed.spent(self.rows):
                return
            gone = self.without(taken, other)
            for _, before, r, row in self.set_in(gone, i, [home]):
                for found in self.set_in(self.with_row(before, r, row), other, elsewhere):
                    yield other, found


def _sum(keys: Sequence[int | None]) -> int | None:
    total = 0
    for key in keys:
        if key is None:
            return None
        total += key
    return total


def fewest_of(key: int) -> int:
    """Return how many pieces leave, of a key."""
    return key // RELOCATED
