"""Compile a problem for the search: what may stand together, in which kinds, under which settings.

An item is what goes into one case together: one object, or objects tied to each other.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, product

from layouts.cases.cliques import largest_clique
from layouts.cases.problem import CasesProblem, Climate, Kind, Rule, Thing
from layouts.cases.surfaces import Surface, surfaces_of


@dataclass(frozen=True)
class Setting:
    """How a case can be set; None where its kind sets no limit or keeps no band."""

    lux: int | None
    climate: Climate | None

    def bears(self, thing: Thing) -> bool:
        if self.lux is not None and not (
            (thing.min_lux or 0) <= self.lux
            and (thing.max_lux is None or self.lux <= thing.max_lux)
        ):
            return False
        if thing.climate is None:
            return True
        return self.climate is not None and self.climate.within(thing.climate)


@dataclass(frozen=True)
class Item:
    """Objects that share a case. `masks[k]` has a bit for each setting of kind k that all bear."""

    things: tuple[int, ...]
    masks: tuple[int, ...]
    mass_g: int
    area: int
    case: str | None = None


@dataclass
class Task:
    """A problem compiled: objects by number, items, kinds with settings and surfaces, conflicts."""

    problem: CasesProblem
    things: tuple[Thing, ...] = field(init=False)
    kinds: tuple[Kind, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.things, self.kinds = self.problem.objects, self.problem.kinds

    @cached_property
    def number(self) -> dict[str, int]:
        return {thing.id: n for n, thing in enumerate(self.things)}

    @cached_property
    def settings(self) -> list[list[Setting]]:
        return [
            [
                Setting(lux, band)
                for lux, band in product(kind.lux or (None,), kind.climates or (None,))
            ]
            for kind in self.kinds
        ]

    @cached_property
    def surfaces(self) -> list[list[Surface]]:
        return [surfaces_of(kind, self.problem) for kind in self.kinds]

    @cached_property
    def pairs(self) -> dict[tuple[int, int], Rule]:
        """Return pairs of objects that a rule keeps out of one case, smaller number first."""
        tagged: dict[str, list[int]] = defaultdict(list)
        for n, thing in enumerate(self.things):
            for tag in thing.tags:
                tagged[tag].append(n)
        found: dict[tuple[int, int], Rule] = {}
        for rule in self.problem.conflicts:
            if rule.objects:
                ends = [[self.number[name]] for name in rule.objects]
            else:
                ends = [tagged[tag] for tag in rule.tags]
            for a, b in product(*ends):
                if a != b:
                    found.setdefault((min(a, b), max(a, b)), rule)
        return found

    @cached_property
    def groups(self) -> list[tuple[int, ...]]:
        """Return the objects tied to each other, directly or through others."""
        root = list(range(len(self.things)))

        def find(n: int) -> int:
            while root[n] != n:
                root[n] = root[root[n]]
                n = root[n]
            return n

        for group in self.problem.together:
            for name in group[1:]:
                a, b = sorted((find(self.number[group[0]]), find(self.number[name])))
                root[b] = a
        sets: dict[int, list[int]] = defaultdict(list)
        for n in range(len(self.things)):
            sets[find(n)].append(n)
        return [tuple(group) for group in sets.values()]

    @cached_property
    def items(self) -> list[Item]:
        gap = self.problem.clearances.between_mm
        found = []
        for group in self.groups:
            things = [self.things[n] for n in group]
            named = sorted({thing.case for thing in things if thing.case})
            found.append(
                Item(
                    things=group,
                    masks=tuple(self._mask(k, things) for k in range(len(self.kinds))),
                    mass_g=sum(thing.mass_g for thing in things),
                    area=sum((t.width_mm + gap) * (t.depth_mm + gap) for t in things),
                    case=named[0] if named else None,
                )
            )
        return found

    def _mask(self, k: int, things: list[Thing]) -> int:
        kind = self.kinds[k]
        if any(t.case and t.case not in self.case_names[k] for t in things):
            return 0
        if len({t.case for t in things if t.case}) > 1:
            return 0
        if any(thing.security > kind.security for thing in things):
            return 0
        if kind.max_g is not None and sum(thing.mass_g for thing in things) > kind.max_g:
            return 0
        if not all(any(s.holds(thing) for s in self.surfaces[k]) for thing in things):
            return 0
        bits = 0
        for n, setting in enumerate(self.settings[k]):
            if all(setting.bears(thing) for thing in things):
                bits |= 1 << n
        return bits

    @cached_property
    def case_names(self) -> list[dict[str, int]]:
        return [{kind.case_id(n): n for n in range(kind.count)} for kind in self.kinds]

    @cached_property
    def item_of(self) -> dict[int, int]:
        return {n: i for i, item in enumerate(self.items) for n in item.things}

    @cached_property
    def ruled(self) -> list[int]:
        """Return for each item a bit mask of the items that a rule keeps away from it."""
        bits = [0] * len(self.items)
        for a, b in self.pairs:
            i, j = self.item_of[a], self.item_of[b]
            bits[i] |= 1 << j
            bits[j] |= 1 << i
        return bits

    @cached_property
    def conflicts(self) -> list[int]:
        """Return for each item a bit mask of all items that can share no case with it."""
        bits = list(self.ruled)
        for i, j in combinations(range(len(self.items)), 2):
            a, b = self.items[i], self.items[j]
            apart = a.case is not None and b.case is not None and a.case != b.case
            if apart or not any(x & y for x, y in zip(a.masks, b.masks, strict=True)):
                bits[i] |= 1 << j
                bits[j] |= 1 << i
        return bits

    @cached_property
    def clique(self) -> list[int]:
        """Return a large set of items of which no two can share a case."""
        return largest_clique(self.conflicts)

    def setting(self, k: int, mask: int) -> Setting:
        """Return the brightest setting that a mask allows, the first climate among equals."""
        allowed = [s for n, s in enumerate(self.settings[k]) if mask >> n & 1]
        return max(allowed, key=lambda s: s.lux or 0)

    def density(self) -> float:
        """Return the share of pairs of items that can share no case, 0 to 1."""
        n = len(self.items)
        return sum(bits.bit_count() for bits in self.conflicts) / max(1, n * (n - 1))
