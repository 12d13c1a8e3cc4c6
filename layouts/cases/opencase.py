"""A case that is being filled item by item."""

from __future__ import annotations

from collections.abc import Iterable

from layouts.cases.packing import Layout, Packer, Space, Spot
from layouts.cases.surfaces import lay_shelves
from layouts.cases.task import Task

# Above this share of the surface in use an exact fit is too rare to look for while filling.
FULL = 0.97


class OpenCase:
    """A case of kind k with its items, the settings still open to it, and where things stand."""

    __slots__ = ("bits", "items", "k", "layout", "mask", "name", "packer", "spaces", "tallest")

    def __init__(self, packer: Packer, k: int, name: str | None = None) -> None:
        self.packer, self.k, self.name = packer, k, name
        self.items: list[int] = []
        self.bits = 0
        self.mask = (1 << len(packer.task.settings[k])) - 1
        self.layout: Layout = ()
        self.spaces: list[Space] | None = None
        self.tallest: dict[int, int] = {}

    @property
    def task(self) -> Task:
        return self.packer.task

    @property
    def area(self) -> int:
        """Return the ground that its items take with the room between them, in mm²."""
        return sum(self.task.items[i].area for i in self.items)

    def admits(self, i: int) -> bool:
        """Say whether limits and conflicts allow an item, room apart."""
        task = self.task
        if not self.mask & task.items[i].masks[self.k] or self.bits & task.conflicts[i]:
            return False
        case = task.items[i].case
        return case is None or case == self.name

    def add(self, i: int, *, repack: bool = True) -> bool:
        """Take one more item, standing everything anew if it must; False if no room is found."""
        if not self.admits(i):
            return False
        if self._beside(i):
            self._book(i)
            return True
        if not repack or not self._may(i):
            return False
        things = frozenset(n for j in (*self.items, i) for n in self.task.items[j].things)
        layout = self.packer.pack(self.k, things)
        if layout is None:
            return False
        self._book(i)
        self._lay(layout)
        return True

    def remove(self, i: int) -> None:
        """Take an item out and leave the others where they stand."""
        gone = set(self.task.items[i].things)
        self.fill_with(
            [j for j in self.items if j != i],
            tuple(spot for spot in self.layout if spot.thing not in gone),
        )

    def fill_with(self, items: Iterable[int], layout: Layout) -> None:
        """Hold exactly these items, standing as the layout says."""
        self.items, self.bits = [], 0
        self.mask = (1 << len(self.task.settings[self.k])) - 1
        for i in items:
            self._book(i)
        self._lay(layout)

    def twin(self) -> OpenCase:
        """Return a copy that can be changed apart from this one."""
        other = OpenCase(self.packer, self.k, self.name)
        other.items, other.bits, other.mask = list(self.items), self.bits, self.mask
        other.layout = self.layout
        return other

    def _book(self, i: int) -> None:
        self.items.append(i)
        self.bits |= 1 << i
        self.mask &= self.task.items[i].masks[self.k]

    def _lay(self, layout: Layout) -> None:
        self.layout, self.spaces = layout, None

    def _may(self, i: int) -> bool:
        kind, task = self.task.kinds[self.k], self.task
        if kind.max_g is not None:
            load = sum(task.items[j].mass_g for j in self.items) + task.items[i].mass_g
            if load > kind.max_g:
                return False
        return self.area + task.items[i].area <= FULL * room(task, self.k)

    def _beside(self, i: int) -> bool:
        """Stand an item's things into the room that is free, moving nothing."""
        if not self._load_allows(i):
            return False
        spaces = self._open()
        saved = [(space.free.copy(), list(space.spots), space.load_g) for space in spaces]
        tall = dict(self.tallest)
        if all(self._stand(n) for n in self._tall_first(i)):
            self.layout = tuple(spot for space in spaces for spot in space.spots)
            return True
        for space, (free, spots, load_g) in zip(spaces, saved, strict=True):
            space.free, space.spots, space.load_g = free, spots, load_g
        self.tallest = tall
        return False

    def _load_allows(self, i: int) -> bool:
        most = self.task.kinds[self.k].max_g
        items = self.task.items
        load = sum(items[j].mass_g for j in self.items) + items[i].mass_g
        return most is None or load <= most

    def _tall_first(self, i: int) -> list[int]:
        things = self.task.things
        return sorted(self.task.items[i].things, key=lambda n: (-things[n].height_mm, n))

    def _open(self) -> list[Space]:
        if self.spaces is None:
            self.spaces = [Space(surface, self.task) for surface in self.task.surfaces[self.k]]
            self.tallest = {}
            for spot in self.layout:
                self._restore(spot)
        return self.spaces

    def _restore(self, spot: Spot) -> None:
        assert self.spaces is not None  # noqa: S101
        space = self.spaces[spot.surface]
        x, y = spot.x_mm - space.surface.left_mm, spot.y_mm - space.surface.front_mm
        space.take(spot.thing, x, y, spot.turned)
        self._grow(spot.surface, spot.thing)

    def _grow(self, at: int, n: int) -> None:
        self.tallest[at] = max(self.tallest.get(at, 0), self.task.things[n].height_mm)

    def _stand(self, n: int) -> bool:
        thing, task = self.task.things[n], self.task
        spaces = self._open()
        order = sorted(range(len(spaces)), key=lambda at: self._rank(at, thing.height_mm))
        for at in order:
            if thing.shelf not in (None, at):
                continue
            tall = max(self.tallest.get(at, 0), thing.height_mm)
            if tall > self.tallest.get(at, 0) and (
                lay_shelves(task.kinds[self.k], task.problem, {**self.tallest, at: tall}) is None
            ):
                continue
            if spaces[at].fix(n) if thing.x_mm is not None else spaces[at].add(n):
                self._grow(at, n)
                return True
        return False

    def _rank(self, at: int, height: int) -> tuple[int, int, int]:
        """Prefer the surface whose height suits best, then one that must grow least."""
        tall = self.tallest.get(at, 0)
        return (0, tall - height, at) if tall >= height else (1, height - tall, at)


def room(task: Task, k: int) -> int:
    """Return the ground of all surfaces of a kind with the room between objects counted, in mm²."""
    gap = task.problem.clearances.between_mm
    return sum((s.width_mm + gap) * (s.depth_mm + gap) for s in task.surfaces[k])
