"""Find the cheapest set of cases that holds everything, and bound it from below."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from layouts.cases.bounds import least_cases
from layouts.cases.exact import stand_all
from layouts.cases.greedy import Plan, Score, empty_cases, first_fit, orders
from layouts.cases.master import Choice, Master, Slot, slots_of
from layouts.cases.opencase import OpenCase
from layouts.cases.packing import Layout, Packer
from layouts.cases.pool import is_plain, pooled
from layouts.cases.task import Task

MASTER_WORK = 3.0
PACK_WORK = 0.2
IMPROVE_WORK = 20_000
MOST_ROUNDS = 200
POOL_PASSES = 400
QUICK_STEPS, STEPS_PER_ITEM = 150, 60
MOST_EXACT = 40
POOL_WORK = 0.5
CUT_WORK = 0.03
MOST_SHRUNK = 14
MOST_CHOICES = 120
# How much of a case's room an assignment may count on, from all of it to what nearly always packs.
PERCENTS = (100, 94, 88, 82, 76, 70)


@dataclass
class Outcome:
    """The best plan, or None; `bound` is a score that no plan goes below."""

    plan: Plan | None
    bound: Score
    proved: bool
    cut_short: bool = False


@dataclass
class Clock:
    """When to stop: by a wish to cancel, or by the safety net of time."""

    until: float
    cancelled: Callable[[], bool]
    rang: bool = False

    @classmethod
    def of(cls, seconds: float, cancelled: Callable[[], bool]) -> Clock:
        return cls(time.monotonic() + seconds, cancelled)

    @property
    def left(self) -> float:
        return max(0.05, self.until - time.monotonic())

    def stop(self) -> bool:
        if time.monotonic() >= self.until or self.cancelled():
            self.rang = True
        return self.rang


@dataclass
class Search:
    """One search over a task. `effort` scales the work allowed; equal input gives equal answers."""

    task: Task
    seed: int
    clock: Clock
    effort: float = 1.0
    homes: dict[int, str] = field(default_factory=dict)
    layouts: dict[str, Layout] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.packer = Packer(self.task, seed=self.seed)
        self.lossy = False

    def free(self) -> Outcome:
        """Search without regard to any earlier answer."""
        task = self.task
        best = self._greedy()
        count, clique = least_cases(task)
        bound = (0, count)
        if best is not None and best.score(task) <= bound:
            return Outcome(best, bound, True)
        free = not any(task.ruled)
        steps = STEPS_PER_ITEM * len(task.items)
        if best is not None and free:
            # Large sets of mere boxes are beyond the exact search.
            large = is_plain(task) and len(task.items) > MOST_EXACT
            best = self._pooled(best, count, steps if large else QUICK_STEPS)
            proved = best.score(task) <= bound
            if proved or large:
                return Outcome(best, bound, proved, self.clock.rang)
        most = best.score(task)[1] if best and not any(k.cost for k in task.kinds) else None
        named = {item.case for item in task.items if item.case}
        slots = slots_of(task, most or len(task.items), named)
        master = Master(task, slots, seed=self.seed, clique=clique)
        best, bound, proved = self._exact(master, best, bound)
        if not proved and best is not None and best.score(task) > bound:
            plain = is_plain(task)
            best = self._pooled(best, count, steps) if plain else self._improve(best, bound)
            proved = best.score(task) <= bound
        return Outcome(best, bound, proved, self.clock.rang)

    def near(self, moves_at_most: int | None) -> Plan | None:
        """Return a plan near to the earlier one: with the fewest moves, or the best within some."""
        task = self.task
        named = {*self.homes.values(), *(item.case for item in task.items if item.case)}
        master = Master(
            task,
            slots_of(task, len(task.items), named),
            seed=self.seed,
            homes=self.homes,
            moves_at_most=moves_at_most,
            least_moves=moves_at_most is None,
        )
        hint = {slot.name: n for n, slot in enumerate(master.slots)}
        hints = {i: hint[name] for i, name in self.homes.items() if name in hint}
        for percent in PERCENTS:
            master.percent = percent
            for _ in range(6):
                if self.clock.stop():
                    return None
                work = MASTER_WORK * self.effort
                try:
                    choice = master.solve(work=work, seconds=self.clock.left, hint=hints)
                except TimeoutError:
                    break
                if choice is None:
                    break
                if (plan := self.stand(master, choice)) is not None:
                    return plan
        return None

    def _greedy(self) -> Plan | None:
        plans = []
        for repack in (False, True):
            for order in orders(self.task):
                for fullest in (False, True):
                    if (plan := first_fit(self.packer, order, repack=repack, best=fullest)) is None:
                        continue
                    plans.append(plan)
            if self.clock.stop():
                break
        return min(plans, key=lambda plan: plan.score(self.task), default=None)

    def _exact(
        self, master: Master, best: Plan | None, bound: Score
    ) -> tuple[Plan | None, Score, bool]:
        """Assign, stand, cut off what does not stand, and assign again."""
        task = self.task
        work = MASTER_WORK * self.effort
        tried = 0
        for percent in PERCENTS:
            master.percent = percent
            for _ in range(self._rounds(percent)):
                if self.clock.stop() or tried >= MOST_CHOICES:
                    return best, bound, False
                tried += 1
                lossy = self.lossy or percent < 100
                try:
                    choice = master.solve(
                        below=best.score(task) if best else None,
                        at_least=bound[1] if not bound[0] else 0,
                        work=work,
                        seconds=self.clock.left,
                    )
                except TimeoutError:
                    break
                if choice is None:
                    if not lossy:
                        return best, best.score(task) if best else bound, True
                    break
                if not lossy:
                    bound = max(bound, choice.bound)
                plan = self.stand(master, choice)
                if plan is None:
                    continue
                best = plan
                if best.score(task) <= bound:
                    return best, bound, True
        return best, bound, False

    def stand(self, master: Master, choice: Choice) -> Plan | None:
        """Stand every case of a choice; cut off those that cannot be stood and return None."""
        cases, whole = [], True
        for n, items in choice.items.items():
            slot = master.slots[n]
            layout = self.layout(slot, items)
            if layout is None:
                master.cuts.append((slot.k, self._smallest(slot, items)))
                whole = False
                continue
            case = OpenCase(self.packer, slot.k, slot.name)
            case.fill_with(items, layout)
            cases.append(case)
        return Plan(cases) if whole else None

    def _rounds(self, percent: int) -> int:
        """Return how often to assign at a share of the room: cuts pay off while items are few."""
        count = len(self.task.items)
        return max(2, 1200 // count) if percent == 100 else max(1, min(4, 300 // count))

    def _smallest(self, slot: Slot, items: list[int]) -> frozenset[int]:
        """Leave items out of a set that cannot stand as long as the rest provably cannot either."""
        task = self.task
        kept = sorted(items, key=lambda i: (task.items[i].area, i))
        if len(kept) > MOST_SHRUNK:
            return frozenset(items)
        for i in list(kept):
            rest = [j for j in kept if j != i]
            things = frozenset(n for j in rest for n in task.items[j].things)
            if self.packer.pack(slot.k, things) is not None:
                continue
            try:
                found = stand_all(
                    task, slot.k, sorted(things), work=CUT_WORK, seconds=self.clock.left
                )
            except TimeoutError:
                continue
            if found is None:
                kept = rest
            else:
                self.packer.known[slot.k, things] = found
        return frozenset(kept)

    def layout(self, slot: Slot, items: list[int]) -> Layout | None:
        """Stand items in a case, near to how it stood before, and remember a lack of proof."""
        task = self.task
        things = frozenset(n for i in items for n in task.items[i].things)
        if (kept := self._as_before(slot, items)) is not None:
            return kept
        found = self.packer.pack(slot.k, things)
        if found is not None:
            return found
        if not self.packer.may_fit(slot.k, sorted(things)):
            return None
        try:
            exact = stand_all(
                task,
                slot.k,
                sorted(things),
                work=PACK_WORK * self.effort,
                seconds=self.clock.left,
                seed=self.seed,
            )
        except TimeoutError:
            self.lossy = True
            return None
        self.packer.known[slot.k, things] = exact
        return exact

    def _as_before(self, slot: Slot, items: list[int]) -> Layout | None:
        """Add what is new to what stood in a case before, moving nothing; None if that fails."""
        before = self.layouts.get(slot.name)
        if before is None:
            return None
        spots = {spot.thing: spot for spot in before}
        stayed = [i for i in items if all(n in spots for n in self.task.items[i].things)]
        case = OpenCase(self.packer, slot.k, slot.name)
        layout = tuple(spots[n] for i in stayed for n in self.task.items[i].things)
        case.fill_with(stayed, layout)
        fresh = sorted(set(items) - set(stayed), key=lambda i: (-self.task.items[i].area, i))
        if all(case.add(i, repack=False) for i in fresh):
            return case.layout
        return None

    def _pooled(self, plan: Plan, least: int, steps: int) -> Plan:
        return pooled(
            self.packer,
            plan,
            least=least,
            passes=round(POOL_PASSES * self.effort * 40 / (40 + len(self.task.items))),
            steps=round(steps * self.effort),
            work=POOL_WORK * self.effort,
            seconds=lambda: self.clock.left,
            stop=self.clock.stop,
            seed=self.seed,
        )

    def _improve(self, plan: Plan, bound: Score) -> Plan:
        allowed = self.packer.spent + round(IMPROVE_WORK * self.effort)

        def stop() -> bool:
            return self.packer.spent > allowed or self.clock.stop()

        return empty_cases(
            self.packer, plan, target=bound, rounds=MOST_ROUNDS, seed=self.seed, stop=stop
        )
