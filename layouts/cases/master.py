"""Choose which item goes into which case, with room counted as area, space and load.

Whether things really stand in a case is decided elsewhere; sets that do not are cut off here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from layouts.cases.greedy import Score
from layouts.cases.opencase import room
from layouts.cases.task import Task

SCALE_MM2 = 100


@dataclass(frozen=True)
class Slot:
    """A case that may be used: kind, name, and whether people may tell it from its likes."""

    k: int
    name: str
    named: bool


@dataclass
class Choice:
    """An assignment: items by slot; `proved` that no better one exists, and the bound."""

    items: dict[int, list[int]]
    score: Score
    proved: bool
    bound: Score


@dataclass
class Master:
    """What the model is built of.

    `cuts` are (kind, items) that cannot share a case, `percent` says how much of a case's room may
    be counted on; `homes`, `moves_at_most` and `least_moves` keep items where they were.
    """

    task: Task
    slots: list[Slot]
    seed: int = 0
    cuts: list[tuple[int, frozenset[int]]] = field(default_factory=list)
    percent: int = 100
    clique: Sequence[int] = ()
    homes: dict[int, str] = field(default_factory=dict)
    moves_at_most: int | None = None
    least_moves: bool = False

    def solve(
        self,
        *,
        below: Score | None = None,
        at_least: int = 0,
        work: float,
        seconds: float,
        hint: dict[int, int] | None = None,
        first: bool = False,
    ) -> Choice | None:
        """Return the cheapest assignment with a score under `below`; None if there is provably
        none. Raises TimeoutError when neither is known.

        `first` stops at any; `hint` says for each item its slot.
        """
        from ortools.sat.python import cp_model

        model, x, used = self._model(cp_model.CpModel())
        cost = sum(self.task.kinds[s.k].cost * used[n] for n, s in enumerate(self.slots))
        count = sum(used)
        weight = len(self.slots) + 1
        moved = [1 - var for (i, n), var in x.items() if self.homes.get(i) == self.slots[n].name]
        lost = sum(
            i not in {i for i, n in x if self.homes.get(i) == self.slots[n].name}
            for i in self.homes
        )
        if self.moves_at_most is not None:
            model.add(sum(moved) + lost <= self.moves_at_most)
        value = cost * weight + count
        if below is not None:
            model.add(value < below[0] * weight + below[1])
        model.add(count >= at_least)
        if self.least_moves:
            model.minimize(sum(moved) * (weight * (1 + self._dearest()) + 1) + value)
        elif not first:
            model.minimize(value)
        for (i, n), var in x.items():
            if hint is not None and i in hint:
                model.add_hint(var, hint[i] == n)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = work
        solver.parameters.max_time_in_seconds = seconds
        if first:
            solver.parameters.stop_after_first_solution = True
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            raise TimeoutError("No assignment was found and none excluded in the work allowed.")
        return self._read(solver, x, status == cp_model.OPTIMAL and not first, weight)

    def _dearest(self) -> int:
        return sum(self.task.kinds[slot.k].cost for slot in self.slots)

    def _read(
        self, solver: Any, x: dict[tuple[int, int], Any], proved: bool, weight: int
    ) -> Choice:
        items: dict[int, list[int]] = defaultdict(list)
        for (i, n), var in x.items():
            if solver.value(var):
                items[n].append(i)
        cost = sum(self.task.kinds[self.slots[n].k].cost for n in items)
        bound = 0 if self.least_moves else max(0, round(solver.best_objective_bound))
        return Choice(dict(items), (cost, len(items)), proved, divmod(bound, weight))

    def _model(self, model: Any) -> tuple[Any, dict[tuple[int, int], Any], list[Any]]:
        task = self.task
        used = [model.new_bool_var("") for _ in self.slots]
        x: dict[tuple[int, int], Any] = {}
        for i, item in enumerate(task.items):
            for n, slot in enumerate(self.slots):
                if item.masks[slot.k] and item.case in (None, slot.name):
                    x[i, n] = model.new_bool_var("")
            model.add_exactly_one([x[i, n] for n in range(len(self.slots)) if (i, n) in x])
        for n, slot in enumerate(self.slots):
            here = [i for i in range(len(task.items)) if (i, n) in x]
            for i in here:
                model.add_implication(x[i, n], used[n])
            self._room(model, x, used[n], n, slot, here)
            self._settings(model, x, n, slot, here)
            self._rules(model, x, n, here)
            for k, cut in self.cuts:
                if k == slot.k and all((i, n) in x for i in cut):
                    model.add(sum(x[i, n] for i in cut) <= len(cut) - 1)
        self._symmetry(model, x, used)
        return model, x, used

    def _room(self, model: Any, x: Any, used: Any, n: int, slot: Slot, here: list[int]) -> None:
        task, kind = self.task, self.task.kinds[slot.k]
        gap, above = task.problem.clearances.between_mm, task.problem.clearances.above_mm
        ground = [-(-task.items[i].area // SCALE_MM2) for i in here]
        most = room(task, slot.k) * self.percent // (100 * SCALE_MM2) + len(here)
        model.add(sum(a * x[i, n] for a, i in zip(ground, here, strict=True)) <= most * used)
        if len(task.surfaces[slot.k]) > 1:
            floor = max((s.width_mm + gap) * (s.depth_mm + gap) for s in task.surfaces[slot.k])
            spaces = [
                sum(
                    (t.width_mm + gap) * (t.depth_mm + gap) * (t.height_mm + above)
                    for t in (task.things[m] for m in task.items[i].things)
                )
                // 100_000
                for i in here
            ]
            cap = floor * kind.height_mm * self.percent // 10_000_000
            model.add(sum(v * x[i, n] for v, i in zip(spaces, here, strict=True)) <= cap * used)
        if kind.max_g is not None:
            model.add(sum(task.items[i].mass_g * x[i, n] for i in here) <= kind.max_g * used)

    def _settings(self, model: Any, x: Any, n: int, slot: Slot, here: list[int]) -> None:
        task = self.task
        count = len(task.settings[slot.k])
        if count == 1:
            return
        chosen = [model.new_bool_var("") for _ in range(count)]
        model.add_exactly_one(chosen)
        by_mask: dict[int, list[int]] = defaultdict(list)
        for i in here:
            by_mask[task.items[i].masks[slot.k]].append(i)
        for mask, items in by_mask.items():
            allowed = [chosen[s] for s in range(count) if mask >> s & 1]
            if len(allowed) == count:
                continue
            for i in items:
                model.add_bool_or([*allowed, x[i, n].Not()])

    def _rules(self, model: Any, x: Any, n: int, here: list[int]) -> None:
        task = self.task
        tags = [
            {tag for m in task.items[i].things for tag in task.things[m].tags}
            for i in range(len(task.items))
        ]
        covered = [0] * len(task.items)
        for rule in task.problem.conflicts:
            if not rule.tags:
                continue
            left = [i for i in here if rule.tags[0] in tags[i]]
            right = [i for i in here if rule.tags[1] in tags[i]]
            both = set(left) & set(right)
            if both:
                continue
            one, other = model.new_bool_var(""), model.new_bool_var("")
            model.add_bool_or([one.Not(), other.Not()])
            for side, var in ((left, one), (right, other)):
                for i in side:
                    model.add_implication(x[i, n], var)
            left_bits, right_bits = _bits(left), _bits(right)
            for i in left:
                covered[i] |= right_bits
            for i in right:
                covered[i] |= left_bits
        for i in here:
            rest = task.ruled[i] & ~covered[i] & _bits(here) & ~((2 << i) - 1)
            while rest:
                j = (rest & -rest).bit_length() - 1
                rest &= rest - 1
                model.add_bool_or([x[i, n].Not(), x[j, n].Not()])

    def _symmetry(self, model: Any, x: Any, used: list[Any]) -> None:
        """Cases that nobody can tell apart are used in order, the first by the clique's items."""
        for a in range(len(self.slots) - 1):
            one, other = self.slots[a], self.slots[a + 1]
            if one.k == other.k and not one.named and not other.named:
                model.add_implication(used[a + 1], used[a])
        if len({slot.k for slot in self.slots}) == 1 and not any(s.named for s in self.slots):
            for n, i in enumerate(self.clique):
                if n < len(self.slots):
                    model.add(x[i, n] == 1)


def _bits(items: Sequence[int]) -> int:
    bits = 0
    for i in items:
        bits |= 1 << i
    return bits


def slots_of(task: Task, most: int, named: set[str]) -> list[Slot]:
    """Return the cases that a search needs to look at: the named ones and up to `most` a kind."""
    found = []
    for k in range(len(task.kinds)):
        plain = 0
        for name in task.case_names[k]:
            if name in named:
                found.append(Slot(k, name, True))
            elif plain < most:
                plain += 1
                found.append(Slot(k, name, False))
    return sorted(found, key=lambda slot: (slot.k, slot.named))
