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
) -> Kept | None:
    """Return a plan with the blocks in these runs, bettered while that is known how."""
    steps = _Steps(rows, accepts, allowed)
    movers = [i for i in range(len(rows.blocks)) if old.home.get(i) != targets[i]]
    state: State = tuple(tuple(rows.names[i] for i in row if i not in movers) for row in old.rows)
    for i in sorted(movers, key=lambda i: rows.old_mm[rows.names[i][0]]):
        ways = rows.ways(targets[i], state[targets[i]], (i,), steps.cap(state))
        if not ways:
            return None
        state = steps.with_row(state, targets[i], ways[0].row)
    key = steps.key(state)
    if key is None or accepts(steps.plan(state)) is None:
        return None
    return _bettered(steps, old, state, key, movers)


def _bettered(steps: _Steps, old: Old, state: State, key: int, movers: list[int]) -> Kept:
    for _ in range(MOST_STEPS):
        found = [
            (better, i, other, changed)
            for i in movers
            for other, better, changed in steps.instead(state, i, old.home.get(i))
            if better < key
        ]
        for better, i, other, changed in sorted(found, key=lambda step: step[:3]):
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
        cap = self.cap(state)
        total = 0
        for r, row in enumerate(state):
            ways = self.rows.ways(r, row, (), cap)
            if not ways:
                return None
            total += ways[0].key
        return total

    def accepted(self, state: State) -> bool:
        """Tell whether the verifier accepts a state, while enough may still be looked at."""
        if self.allowed.spent(self.rows):
            return False
        self.allowed.checks -= 1
        return self.accepts(self.plan(state)) is not None

    def without(self, state: State, i: int) -> State:
        return tuple(tuple(block for block in row if self.block_of[block[0]] != i) for row in state)

    def set_in(self, state: State, i: int, runs: Sequence[int]) -> Iterator[tuple[int, State]]:
        """Yield a state for each run that can take a block at its best place there."""
        for r in runs:
            names = [n for block in state[r] for n in block]
            if not self.rows.room(r, [*names, *self.rows.names[i]]):
                continue
            ways = self.rows.ways(r, state[r], (i,), self.cap(state))
            for way in ways[:1]:
                changed = self.with_row(state, r, way.row)
                key = self.key(changed)
                if key is not None:
                    yield key, changed

    def instead(self, state: State, i: int, home: int | None) -> Iterator[tuple[int, int, State]]:
        """Yield states with a block set elsewhere, or home with another of its run gone instead.

        With each come the block that now is away and the state's key.
        """
        everywhere = range(len(state))
        taken = self.without(state, i)
        for found in self.set_in(taken, i, everywhere):
            yield i, *found
        if home is None:
            return
        for block in taken[home]:
            other = self.block_of[block[0]]
            if self.allowed.spent(self.rows):
                return
            gone = self.without(taken, other)
            for _, back in self.set_in(gone, i, [home]):
                for found in self.set_in(back, other, [r for r in everywhere if r != home]):
                    yield other, *found


def fewest_of(key: int) -> int:
    """Return how many pieces leave, of a key."""
    return key // RELOCATED
