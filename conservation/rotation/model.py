"""State one set's rotation as rows.

Whole stays are not listed. An object is on or off in each step, and each start is marked; that an
object may be on only if it started no longer ago than it bears makes the bound on changes sharp.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from functools import partial

from conservation.rotation.form import Form
from conservation.rotation.problem import Candidate
from conservation.rotation.program import Terms
from conservation.rotation.steps import Key, SetOf, Steps


class Model(Form):
    """The rows of a set, and the numbers of its variables by object, group and step."""

    def __init__(self, steps: Steps, here: SetOf) -> None:
        super().__init__(steps, here)
        self.shown: dict[Key, int] = {}
        self.begun: dict[Key, int] = {}
        self.on: dict[tuple[int, int], int] = {}
        self.up: dict[tuple[int, int], int] = {}
        for number, item in enumerate(here.objects):
            self._object(number, item)
        for g, group in enumerate(here.groups):
            for step in range(steps.count):
                keys = [(n, g, step) for n in range(len(here.objects))]
                places = len(group.places)
                self.program.add(self._sum(self.shown, keys), least=places, most=places)

    @staticmethod
    def _sum(made: Mapping[Key, int], keys: Iterable[Key]) -> Terms:
        return {made[key]: 1 for key in keys if key in made}

    def _object(self, number: int, item: Candidate) -> None:
        steps, groups = self.steps, self.here.groups
        for g, group in enumerate(groups):
            for step in range(steps.count):
                if steps.bearable(item, group, step, step):
                    self.shown[number, g, step] = self.program.variable()
        for step in range(steps.count):
            options = self._sum(self.shown, [(number, g, step) for g in range(len(groups))])
            if len(groups) == 1 and options:
                self.on[number, step] = next(iter(options))
            elif options:
                on = self.on[number, step] = self.program.variable()
                self.program.add({**options, on: -1}, least=0, most=0)
        for g, group in enumerate(groups):
            row = {
                s: self.shown[number, g, s]
                for s in range(steps.count)
                if (number, g, s) in self.shown
            }
            begun = self._starts(row)
            self.begun.update({(number, g, s): var for s, var in begun.items()})
            self._lasting(row, begun, partial(steps.bearable, item, group))
        self._shows(number, item)
        for window in steps.windows(item):
            dose, most = self.dose(number, window.days_of)
            if most > window.limit:
                self.program.add(dose, most=window.limit)

    def _starts(self, row: Mapping[int, int]) -> dict[int, int]:
        """Mark exactly the steps that are on after one that was off."""
        begun: dict[int, int] = {}
        for step, var in row.items():
            if step - 1 not in row:
                begun[step] = var
                continue
            start = begun[step] = self.program.variable()
            before = row[step - 1]
            self.program.add({var: 1, before: -1, start: -1}, most=0)
            self.program.add({start: 1, var: -1}, most=0)
            self.program.add({start: 1, before: 1}, most=1)
        return begun

    def _lasting(
        self, row: Mapping[int, int], begun: Mapping[int, int], lasts: Callable[[int, int], bool]
    ) -> None:
        """Allow a step only if a start lies no farther back than one stretch may last."""
        first = 0
        for step, var in row.items():
            while first < step and not lasts(first, step):
                first += 1
            starts = {begun[s]: -1 for s in range(first, step + 1) if s in begun}
            if first > 0 and var not in starts:
                self.program.add({var: 1, **starts}, most=0)

    def _shows(self, number: int, item: Candidate) -> None:
        """Keep the longest show and the rest after it, wherever the object stands."""
        count = self.steps.count
        row = {s: self.on[number, s] for s in range(count) if (number, s) in self.on}
        if len(self.here.groups) == 1:
            up = {s: self.begun[number, 0, s] for s in row}
        else:
            up = self._starts(row)
            if item.longest_days is not None:
                longest, bounds = item.longest_days, self.steps.bounds
                self._lasting(row, up, lambda a, b: bounds[b + 1] - bounds[a] <= longest)
        self.up.update({(number, s): var for s, var in up.items()})
        if not item.rest_days:
            return
        for step, var in row.items():
            # Starts within the rest after this step exclude it, and each other.
            back = self.steps.back(item, step)
            early = {up[s]: 1 for s in range(step + 1, back) if s in up}
            if early:
                self.program.add({**early, var: 1}, most=1)

    def dose(self, number: int, days_of: Callable[[int, int], int]) -> tuple[Terms, int]:
        """Return an object's dose over days counted by `days_of`, and the most it could be."""
        terms: Terms = {}
        most = 0
        for step in range(self.steps.count):
            days = days_of(*self.steps.span(step))
            rates = {
                self.shown[number, g, step]: days * group.rate
                for g, group in enumerate(self.here.groups)
                if (number, g, step) in self.shown
            }
            terms |= rates
            most += max(rates.values(), default=0)
        return terms, most

    def effort(self) -> Terms:
        """Return the effort of all changes; the first hang costs nothing."""
        total: Counter[int] = Counter()
        for (n, g, step), var in self.begun.items():
            if step > 0:
                total[var] += self.here.objects[n].effort + self.here.groups[g].effort
        return {var: k for var, k in total.items() if k}

    def days(self, number: int) -> Terms:
        """Return the days on which an object is shown."""
        return {
            self.on[number, s]: self.steps.days(s)
            for s in range(self.steps.count)
            if (number, s) in self.on
        }

    def order_twins(self) -> None:
        """Let the first of two equal objects be on no less than the second: either may be first."""
        last: dict[tuple[object, ...], int] = {}
        for number, item in enumerate(self.here.objects):
            kind = (item.max_lux, item.budgets, item.longest_days, item.rest_days, item.away)
            key = (*kind, item.effort)
            if key in last:
                more = self.days(last[key])
                less = {var: -k for var, k in self.days(number).items()}
                self.program.add({**more, **less}, least=0)
            last[key] = number

    def values(self, rows: frozenset[Key]) -> dict[int, int]:
        """Return the value of every variable of who is shown, as the rows imply it."""
        found = {var: int(key in rows) for key, var in self.shown.items()}
        for (n, g, s), var in self.begun.items():
            found[var] = int((n, g, s) in rows and (n, g, s - 1) not in rows)
        on = {(n, s) for n, _, s in rows}
        for key, var in self.on.items():
            found[var] = int(key in on)
        for (n, s), var in self.up.items():
            found[var] = int((n, s) in on and (n, s - 1) not in on)
        return found

    def rows(self, value: Callable[[int], int]) -> frozenset[Key]:
        """Return who is shown by (object, group, step), given the value of each variable."""
        return frozenset(key for key, variable in self.shown.items() if value(variable))


def cost_of(here: SetOf, rows: frozenset[Key]) -> int:
    """Return the effort of who is shown by (object, group, step), in the objects' own unit.

    What hangs from the first day costs nothing; nothing is raised. Source: sums of the efforts.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> from conservation.rotation.steps import sets_of
    >>> cost_of(sets_of(TWO_PRINTS)[0], frozenset({(0, 0, 0), (1, 0, 1)}))
    2
    """
    return sum(
        here.objects[n].effort + here.groups[g].effort
        for n, g, s in rows
        if s > 0 and (n, g, s - 1) not in rows
    )
