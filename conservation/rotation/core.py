"""State one set's rotation by whole stays, of which only the likely ones are listed.

An object does not pass from one group of places straight to another here: such plans are left to
the statement by steps.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable

from conservation.rotation.form import Form
from conservation.rotation.program import Terms
from conservation.rotation.steps import Key
from conservation.rotation.stretches import Reach, Stretch, stretches_of


class Core(Form):
    """The rows over some stretches, a variable each."""

    def __init__(self, reach: Reach, stretches: Iterable[Stretch]) -> None:
        super().__init__(reach.steps, reach.here)
        self.reach = reach
        self.made = {stretch: self.program.variable() for stretch in sorted(stretches)}
        self.mine: dict[int, dict[Stretch, int]] = defaultdict(dict)
        for stretch, variable in self.made.items():
            self.mine[stretch.object][stretch] = variable
        self._places()
        for number in self.mine:
            self._once(number)
            for window in self.steps.windows(self.here.objects[number]):
                dose, most = self.dose(number, window.days_of)
                if most > window.limit:
                    self.program.add(dose, most=window.limit)

    def _places(self) -> None:
        shown: dict[tuple[int, int], Terms] = defaultdict(dict)
        for stretch, variable in self.made.items():
            for _, g, step in stretch.shown():
                shown[g, step][variable] = 1
        for g, group in enumerate(self.here.groups):
            for step in range(self.steps.count):
                places = len(group.places)
                self.program.add(shown[g, step], least=places, most=places)

    def _once(self, number: int) -> None:
        """One stay at a time, rests counted."""
        busy: dict[int, Terms] = defaultdict(dict)
        for stretch, variable in self.mine[number].items():
            for step in range(stretch.first, self.reach.busy_until(number, stretch.last)):
                busy[step][variable] = 1
        for terms in busy.values():
            if len(terms) > 1:
                self.program.add(terms, most=1)

    def effort(self) -> Terms:
        """Return the effort of all changes; the first hang costs nothing."""
        return {v: k for stretch, v in self.made.items() if (k := self.reach.effort(stretch))}

    def dose(self, number: int, days_of: Callable[[int, int], int]) -> tuple[Terms, int]:
        """Return an object's dose over days counted by `days_of`, and the most it could be."""
        terms: Terms = {}
        days = self.steps.days_in(days_of)
        brightest = 0
        for stretch, variable in self.mine[number].items():
            rate = self.here.groups[stretch.group].rate
            terms[variable] = rate * (days[stretch.last + 1] - days[stretch.first])
            brightest = max(brightest, rate)
        return terms, brightest * days[-1]

    def days(self, number: int) -> Terms:
        """Return the days on which an object is shown."""
        bounds = self.steps.bounds
        return {
            v: bounds[stretch.last + 1] - bounds[stretch.first]
            for stretch, v in self.mine[number].items()
        }

    def values(self, rows: frozenset[Key]) -> dict[int, int]:
        """Return the values of all variables, as who is shown implies them."""
        shown = set(stretches_of(rows))
        return {variable: int(stretch in shown) for stretch, variable in self.made.items()}

    def rows(self, value: Callable[[int], int]) -> frozenset[Key]:
        """Return who is shown by (object, group, step), given the value of each variable."""
        return frozenset(
            key for stretch, v in self.made.items() if value(v) for key in stretch.shown()
        )
