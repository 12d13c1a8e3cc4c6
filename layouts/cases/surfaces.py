"""What of each surface of a case can be stood on, and at which heights shelves can lie."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from layouts.cases.problem import CasesProblem, Kind, Shelf, Thing


@dataclass(frozen=True)
class Surface:
    """The rectangle of a surface on which boxes may stand, after glass and label strip.

    `tallest_mm` is how tall an object may be there at most with the room kept above it, `max_g`
    what the surface bears.
    """

    number: int
    left_mm: int
    front_mm: int
    width_mm: int
    depth_mm: int
    tallest_mm: int
    max_g: int | None

    def holds(self, thing: Thing) -> bool:
        """Say whether the object could stand here alone."""
        if thing.height_mm > self.tallest_mm or (
            self.max_g is not None and thing.mass_g > self.max_g
        ):
            return False
        ways = (False, True) if thing.turns else (False,)
        return any(
            wide <= self.width_mm and deep <= self.depth_mm
            for wide, deep in (thing.footprint_mm(turned) for turned in ways)
        )


def headroom_mm(kind: Kind, problem: CasesProblem) -> int:
    """Return the height inside the case up to which objects may reach, before room above them."""
    above, glass = problem.clearances.above_mm, problem.clearances.glass_mm
    if "top" in kind.glazed:
        return kind.height_mm - max(0, glass - above)
    return kind.height_mm


def surfaces_of(kind: Kind, problem: CasesProblem) -> list[Surface]:
    """Return the floor and all shelves of a kind."""
    glass = problem.clearances.glass_mm
    gap = {side: glass if side in kind.glazed else 0 for side in ("left", "right", "front", "back")}
    top = headroom_mm(kind, problem) - problem.clearances.above_mm
    found = []
    for number, shelf in enumerate((None, *kind.shelves)):
        edge = kind.depth_mm - shelf.depth_mm if shelf else 0
        front = max(gap["front"], edge + problem.display.label_strip_mm)
        found.append(
            Surface(
                number=number,
                left_mm=gap["left"],
                front_mm=front,
                width_mm=max(0, kind.width_mm - gap["left"] - gap["right"]),
                depth_mm=max(0, kind.depth_mm - gap["back"] - front),
                tallest_mm=top - (shelf.lowest_mm if shelf else 0),
                max_g=shelf.max_g if shelf else kind.max_g,
            )
        )
    return found


def lay_shelves(
    kind: Kind, problem: CasesProblem, tallest_mm: Mapping[int, int]
) -> dict[int, int] | None:
    """Return the height of each surface in use, spare height shared out; None if they cannot fit.

    `tallest_mm` names for each surface in use the tallest object on it.
    """
    above = problem.clearances.above_mm
    numbers = sorted(set(tallest_mm) | {0})
    need = {n: tallest_mm[n] + above if n in tallest_mm else 0 for n in numbers}
    heights = _lowest(kind, numbers, need, {})
    if heights is None:
        return None
    spare = headroom_mm(kind, problem) - heights[numbers[-1]] - need[numbers[-1]]
    if spare < 0:
        return None
    wish = {n: heights[n] + spare * rank // len(numbers) for rank, n in enumerate(numbers)}
    raised = _lowest(kind, numbers, need, wish)
    if raised and raised[numbers[-1]] + need[numbers[-1]] <= headroom_mm(kind, problem):
        return raised
    return heights


def _lowest(
    kind: Kind, numbers: Sequence[int], need: Mapping[int, int], wish: Mapping[int, int]
) -> dict[int, int] | None:
    """Lay every shelf as low as what stands below allows, or up to where it is wished."""
    heights = {0: 0}
    for below, number in pairwise(numbers):
        shelf = kind.shelves[number - 1]
        at_least = heights[below] + need[below] + shelf.thickness_mm
        found = _step(shelf, at_least, wish.get(number, 0))
        if found is None:
            return None
        heights[number] = found
    return heights


def _step(shelf: Shelf, at_least: int, wish: int) -> int | None:
    up = max(0, -(-(at_least - shelf.lowest_mm) // shelf.step_mm))
    up = max(up, (wish - shelf.lowest_mm) // shelf.step_mm)
    highest = (shelf.highest_mm - shelf.lowest_mm) // shelf.step_mm
    least = max(0, -(-(at_least - shelf.lowest_mm) // shelf.step_mm))
    if least > highest:
        return None
    return shelf.lowest_mm + min(up, highest) * shelf.step_mm
