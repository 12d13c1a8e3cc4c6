"""Stand a set of objects in one case: on which surface, where, turned or not.

What is found is right; that nothing is found proves nothing (`exact.py` proves).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import permutations

from layouts.cases.freespace import FreeSpace
from layouts.cases.problem import Thing
from layouts.cases.skyline import fill
from layouts.cases.surfaces import Surface, lay_shelves
from layouts.cases.task import Task

MOST_ORDERS = 12
HARD_TRIES = 60


@dataclass(frozen=True)
class Spot:
    """An object, by number, on a surface; x and y of its own corner in the case, in mm."""

    thing: int
    surface: int
    x_mm: int
    y_mm: int
    turned: bool


Layout = tuple[Spot, ...]


@dataclass
class Packer:
    """Pack cases of a task and remember; `tries` is the effort for a hard surface."""

    task: Task
    tries: int = HARD_TRIES
    seed: int = 0
    known: dict[tuple[int, frozenset[int]], Layout | None] = field(default_factory=dict)
    spent: int = 0

    def pack(self, k: int, things: frozenset[int]) -> Layout | None:
        """Return where all things stand in a case of kind k, or None if no way is found.

        `spent` counts the work in a unit that every machine shares: boxes tried.
        """
        key = (k, things)
        if key not in self.known:
            self.known[key] = self._pack(k, sorted(things))
        return self.known[key]

    def _pack(self, k: int, numbers: list[int]) -> Layout | None:
        if not self.may_fit(k, numbers):
            return None
        things = self.task.things
        surfaces = self.task.surfaces[k]
        free_here = all(things[n].shelf is None for n in numbers)
        if len(surfaces) == 1 and free_here:
            quick = self._one_surface(surfaces[0], numbers)
            if quick is not None:
                return quick
        orders = list(permutations(range(len(surfaces))))
        if len(surfaces) > 3:
            orders = [tuple(range(len(surfaces))), tuple(reversed(range(len(surfaces))))]
        for by_area in (False, True):
            for rule in ("front", "short"):
                for order in orders[:MOST_ORDERS]:
                    self.spent += len(numbers)
                    found = self._levels(k, numbers, order, by_area, rule)
                    if found is not None:
                        return found
        return None

    def may_fit(self, k: int, numbers: Sequence[int]) -> bool:
        """Say whether area, room and load allow the things at all; False is proved."""
        task, kind = self.task, self.task.kinds[k]
        gap = task.problem.clearances.between_mm
        above = task.problem.clearances.above_mm
        things = [task.things[n] for n in numbers]
        if kind.max_g is not None and sum(t.mass_g for t in things) > kind.max_g:
            return False
        surfaces = task.surfaces[k]
        floor = max((s.width_mm + gap) * (s.depth_mm + gap) for s in surfaces)
        feet = [(t.width_mm + gap) * (t.depth_mm + gap) for t in things]
        if sum(feet) > sum((s.width_mm + gap) * (s.depth_mm + gap) for s in surfaces):
            return False
        room = floor * (kind.height_mm)
        return sum(f * (t.height_mm + above) for f, t in zip(feet, things, strict=True)) <= room

    def _one_surface(self, surface: Surface, numbers: list[int]) -> Layout | None:
        gap = self.task.problem.clearances.between_mm
        things = [self.task.things[n] for n in numbers]
        if any(not surface.holds(thing) for thing in things):
            return None
        boxes = [(t.width_mm + gap, t.depth_mm + gap, t.turns) for t in things]
        self.spent += 1 + self.tries * len(boxes) ** 2 // 200
        spots = fill(
            boxes,
            surface.width_mm + gap,
            surface.depth_mm + gap,
            tries=self.tries,
            seed=self.seed,
        )
        if spots is None:
            return None
        return tuple(
            Spot(n, surface.number, x + surface.left_mm, y + surface.front_mm, turned)
            for n, (x, y, turned) in zip(numbers, spots, strict=True)
        )

    def _levels(
        self, k: int, numbers: list[int], order: Sequence[int], by_area: bool, rule: str
    ) -> Layout | None:
        """Fill the surfaces in turn: the tallest object left opens a level and sets its height."""
        task = self.task
        kind, surfaces, things = task.kinds[k], task.surfaces[k], task.things
        spaces = [Space(surface, task) for surface in surfaces]
        tallest: dict[int, int] = {}
        todo = []
        for n in numbers:
            if things[n].x_mm is None:
                todo.append(n)
            elif not spaces[things[n].shelf or 0].fix(n):
                return None
            else:
                at = things[n].shelf or 0
                tallest[at] = max(tallest.get(at, 0), things[n].height_mm)
        todo.sort(key=lambda n: (-things[n].height_mm, -task_area(things[n]), n))
        for at in order:
            high = tallest.get(at, 0)
            level = [n for n in todo if things[n].shelf in (None, at)]
            for opener in level:
                tall = max(high, things[opener].height_mm)
                if lay_shelves(kind, task.problem, {**tallest, at: tall}) is not None:
                    high = tall
                    break
            if not high:
                continue
            level = [n for n in level if things[n].height_mm <= high]
            if by_area:
                level.sort(key=lambda n: (things[n].shelf is None, -task_area(things[n]), n))
            stood = {n for n in level if spaces[at].add(n, rule)}
            todo = [n for n in todo if n not in stood]
            tops = [things[s.thing].height_mm for s in spaces[at].spots]
            if tops:
                tallest[at] = max(tops)
            if not todo:
                break
        if todo or lay_shelves(kind, task.problem, tallest) is None:
            return None
        return tuple(spot for space in spaces for spot in space.spots)


def task_area(thing: Thing) -> int:
    """Return the footprint in mm²."""
    return thing.width_mm * thing.depth_mm


class Space:
    """A surface with what stands on it, ready to take one more."""

    __slots__ = ("free", "gap", "load_g", "spots", "surface", "things")

    def __init__(self, surface: Surface, task: Task) -> None:
        self.surface, self.things = surface, task.things
        self.gap = task.problem.clearances.between_mm
        self.free = FreeSpace(surface.width_mm + self.gap, surface.depth_mm + self.gap)
        self.spots: list[Spot] = []
        self.load_g = 0

    def fix(self, n: int) -> bool:
        """Stand an object where it is fixed; False if it cannot stand there."""
        thing, surface = self.things[n], self.surface
        return self.stand(
            n,
            (thing.x_mm or 0) - surface.left_mm,
            (thing.y_mm or 0) - surface.front_mm,
            thing.turned,
        )

    def stand(self, n: int, x: int, y: int, turned: bool) -> bool:
        """Stand an object at a corner of the surface's usable part, if that is free."""
        wide, deep = self.things[n].footprint_mm(turned)
        fits = any(
            fx <= x
            and fy <= y
            and x + wide + self.gap <= fx + fw
            and y + deep + self.gap <= fy + fd
            for fx, fy, fw, fd in self.free.free
        )
        if not fits or self._overloaded(n):
            return False
        self.take(n, x, y, turned)
        return True

    def add(self, n: int, rule: str = "front") -> bool:
        """Stand an object where it fits best; False if it fits nowhere."""
        thing = self.things[n]
        if self._overloaded(n):
            return False
        wide, deep = thing.width_mm + self.gap, thing.depth_mm + self.gap
        found = self.free.best(wide, deep, thing.turns, rule)
        if found is None:
            return False
        self.take(n, *found)
        return True

    def _overloaded(self, n: int) -> bool:
        most = self.surface.max_g
        return most is not None and self.load_g + self.things[n].mass_g > most

    def take(self, n: int, x: int, y: int, turned: bool) -> None:
        """Occupy a corner of the surface's usable part without asking whether it is free."""
        wide, deep = self.things[n].footprint_mm(turned)
        self.free.take(x, y, wide + self.gap, deep + self.gap)
        self.load_g += self.things[n].mass_g
        left, front = self.surface.left_mm, self.surface.front_mm
        self.spots.append(Spot(n, self.surface.number, x + left, y + front, turned))
