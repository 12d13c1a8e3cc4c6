"""What the two ways of stating a set's rotation share: one by steps, one by whole stays."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable

from conservation.rotation.program import Program, Terms
from conservation.rotation.steps import Key, SetOf, Steps

HIGHEST_PERMILLE = 1000


class Form(ABC):
    """A program of a set, and how its variables and who is shown follow from each other."""

    def __init__(self, steps: Steps, here: SetOf) -> None:
        self.steps, self.here = steps, here
        self.program = Program()

    @abstractmethod
    def effort(self) -> Terms:
        """Return the effort of all changes; the first hang costs nothing."""

    @abstractmethod
    def dose(self, number: int, days_of: Callable[[int, int], int]) -> tuple[Terms, int]:
        """Return an object's dose over days counted by `days_of`, and the most it could be."""

    @abstractmethod
    def days(self, number: int) -> Terms:
        """Return the days on which an object is shown."""

    @abstractmethod
    def values(self, rows: frozenset[Key]) -> dict[int, int]:
        """Return the values of the variables that follow from who is shown."""

    @abstractmethod
    def rows(self, value: Callable[[int], int]) -> frozenset[Key]:
        """Return who is shown by (object, group, step), given the value of each variable."""

    def peak(self) -> int:
        """Add a variable no smaller than any object's use, per mille, rounded up."""
        peak = self.program.variable(HIGHEST_PERMILLE)
        for number, item in enumerate(self.here.objects):
            for window in self.steps.windows(item):
                dose, most = self.dose(number, window.days_of)
                if most:
                    scaled = {var: 1000 * k for var, k in dose.items()}
                    self.program.add({**scaled, peak: -window.limit}, most=0)
            if not item.budgets:
                scaled = {var: 1000 * k for var, k in self.days(number).items()}
                self.program.add({**scaled, peak: -self.steps.problem.days}, most=0)
        return peak
