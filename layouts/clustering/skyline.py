"""Set rectangles on a skyline, always at its lowest place, the one that fits there best.

Source of the rule: S. C. H. Leung, D. Zhang and K. M. Sim, A two-stage intelligent search algorithm
for the two-dimensional strip packing problem, European Journal of Operational Research 215 (2011)
57-69 (from memory); how ties fall and the bound on height are ours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Size = tuple[int, int]
Place = tuple[int, int]
Step = list[int]


@dataclass(frozen=True)
class Packing:
    """Lower left corners of rectangles that do not overlap, and the height they reach."""

    places: tuple[Place, ...]
    height: int


def packed(
    sizes: Sequence[Size], order: Sequence[int], width: int, *, below: int | None = None
) -> Packing | None:
    """Return a packing in a strip of that width, or None once it cannot stay lower than `below`.

    `order` decides between rectangles that fit equally well. Each must be no wider than the strip.
    """
    limit = below if below is not None else sum(h for _, h in sizes) + 1
    steps: list[Step] = [[0, 0, width]]
    places: list[Place] = [(0, 0)] * len(sizes)
    left = list(order)
    height = 0
    while left:
        n = min(range(len(steps)), key=lambda n: (steps[n][1], steps[n][0]))
        x, y, room = steps[n]
        wall_left = steps[n - 1][1] - y if n else limit
        wall_right = steps[n + 1][1] - y if n + 1 < len(steps) else limit
        chosen = _best_fit(
            sizes, left, room, max(wall_left, wall_right), min(wall_left, wall_right)
        )
        if chosen is None:
            _raise(steps, n)
            continue
        i = left.pop(chosen)
        w, h = sizes[i]
        if y + h >= limit:
            return None
        at_left = wall_left >= wall_right
        places[i] = (x if at_left else x + room - w, y)
        height = max(height, y + h)
        _cover(steps, n, w, y + h, at_left=at_left)
    return Packing(tuple(places), height)


def _best_fit(
    sizes: Sequence[Size], left: Sequence[int], room: int, high: int, low: int
) -> int | None:
    """Return the place in `left` of the rectangle that fits best, the first of equals."""
    best, found = -1, None
    for n, i in enumerate(left):
        w, h = sizes[i]
        if w > room:
            continue
        if w == room:
            fit = 6 if h == high else 5 if h == low else 4 if h > high else 3
        else:
            fit = 2 if h == high else 1 if h == low else 0
        if fit > best:
            best, found = fit, n
            if fit == 6:
                break
    return found


def _raise(steps: list[Step], n: int) -> None:
    """Give up a place that nothing fits: it becomes as high as its lower neighbour."""
    sides = [steps[m][1] for m in (n - 1, n + 1) if 0 <= m < len(steps)]
    steps[n][1] = min(sides)
    _join(steps, n)


def _cover(steps: list[Step], n: int, width: int, top: int, *, at_left: bool) -> None:
    x, y, room = steps[n]
    if width == room:
        steps[n][1] = top
    elif at_left:
        steps[n : n + 1] = [[x, top, width], [x + width, y, room - width]]
    else:
        steps[n : n + 1] = [[x, y, room - width], [x + room - width, top, width]]
        n += 1
    _join(steps, n)


def _join(steps: list[Step], n: int) -> None:
    """Make one step of neighbours of equal height."""
    if n + 1 < len(steps) and steps[n + 1][1] == steps[n][1]:
        steps[n][2] += steps.pop(n + 1)[2]
    if n and steps[n - 1][1] == steps[n][1]:
        steps[n - 1][2] += steps.pop(n)[2]
