"""Search over the order in which pieces go onto the skyline, and over the width of the skyline.

A trial exchanges one or two pairs of the order, now and then widens or narrows the strip a little,
and is kept when it is no worse. Several widths begin; in rounds of equal work the worse half is
dropped. Work is counted in trials, never in time.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from random import Random

import numpy as np

from layouts.clustering.measure import facing_mm, holes_mm2
from layouts.clustering.skyline import Packing, Size, packed

UNEVEN_SIDES_COUNT = 0.3
LARGEST_GAP_COUNTS = 0.1
HOLE_COUNTS = 20.0
TOO_LARGE_COUNTS = 10.0
FREE_RATIOS = (0.6, 1.7)
WIDTHS = 10
USED_AT_LEAST = 0.95
WIDTH_CHANGES = 0.15
WORSE_AT_FIRST = 0.02


@dataclass(frozen=True)
class Wish:
    """What a group is to be like; sizes as they are, lengths in mm, holes in mm2."""

    sizes: tuple[Size, ...]
    gap: int
    ratio: float | None = None
    max_width: int | None = None
    max_height: int | None = None
    largest_hole: int | None = None
    taken: tuple[Size, ...] = field(init=False)

    def __post_init__(self) -> None:
        taken = tuple((w + self.gap, h + self.gap) for w, h in self.sizes)
        object.__setattr__(self, "taken", taken)

    @property
    def area(self) -> int:
        """Return the area that the pieces take, each with its gap."""
        return sum(w * h for w, h in self.taken)

    def box(self, packing: Packing) -> Size:
        """Return width and height of the group with one gap beyond it."""
        right = max(x + w for (x, _), (w, _) in zip(packing.places, self.taken, strict=True))
        return right, packing.height

    def box_area(self, width: float, height: float) -> float:
        """Return the area of the box, or of the smallest box of the ratio asked that holds it."""
        if self.ratio is None:
            least, most = FREE_RATIOS
            return max(width, height * least) * max(height, width / most)
        return max(width, height * self.ratio) * max(height, width / self.ratio)

    def score(self, packing: Packing, enough: float = math.inf) -> float:
        """Return what is to be least; stops counting once `enough` is exceeded."""
        width, height = self.box(packing)
        area = self.box_area(width, height)
        for length, most in ((width, self.max_width), (height, self.max_height)):
            if most is not None:
                beyond = max(0, length - self.gap - most)
                area *= 1 + TOO_LARGE_COUNTS * beyond / (most + self.gap)
        if area <= enough:
            area *= 1 + self.unevenness(packing)
        if area <= enough and self.largest_hole is not None:
            holes = holes_mm2(packing.places, self.sizes, self.gap)
            area += HOLE_COUNTS * max(0, max(holes, default=0) - self.largest_hole)
        return area

    def unevenness(self, packing: Packing) -> float:
        """Return by which share of the area uneven gaps make a group worse.

        A side counts by how far its gap exceeds the one asked, up to twice that; the largest gap
        counts against the pieces' usual size.
        """
        sides = facing_mm(packing.places, self.sizes)
        if not len(sides):
            return 0.0
        beyond = np.minimum(1.0, (sides - self.gap) / max(1, self.gap)).mean()
        usual = math.sqrt(self.area / len(self.sizes))
        largest = (sides.max() - self.gap) / usual
        return float(UNEVEN_SIDES_COUNT * beyond + LARGEST_GAP_COUNTS * largest)


@dataclass
class Trail:
    """An order and a width that a search goes on from."""

    order: list[int]
    width: int
    packing: Packing
    score: float


@dataclass
class Effort:
    """How many trials may still be made, and whether somebody wants to stop sooner."""

    trials: int
    stop: Callable[[], bool] = lambda: False
    on_trial: Callable[[int], None] = lambda done: None
    done: int = field(default=0, init=False)
    stopped: bool = field(default=False, init=False)

    def spend(self) -> bool:
        """Count one trial; False when no more may be made."""
        if self.stopped or self.done >= self.trials:
            return False
        self.done += 1
        if self.done % 16 == 0:
            self.on_trial(self.done)
            self.stopped = self.stop()
        return not self.stopped


def starting_orders(sizes: Sequence[Size]) -> list[list[int]]:
    """Return orders by falling area, height, width and girth."""
    keys: list[Callable[[Size], int]] = [
        lambda size: size[0] * size[1],
        lambda size: size[1],
        lambda size: size[0],
        lambda size: size[0] + size[1],
    ]
    return [sorted(range(len(sizes)), key=lambda i: (-key(sizes[i]), i)) for key in keys]


def grouped(wish: Wish, seed: int, effort: Effort) -> list[Packing]:
    """Return the best packing of each width that was met, the best of all first."""
    dice = Random(seed)  # noqa: S311
    trails = sorted((_start(wish, width) for width in _widths(wish)), key=lambda t: t.score)
    kept = len(trails)
    rounds = math.ceil(math.log2(max(2, kept)))
    for n in range(rounds):
        share = max(1, effort.trials // rounds // kept)
        for trail in trails[:kept]:
            _advance(wish, trail, dice, effort, share, WORSE_AT_FIRST * (1 - n / rounds))
        trails.sort(key=lambda trail: trail.score)
        kept = max(1, math.ceil(kept / 2))
    return [trail.packing for trail in trails]


def _widths(wish: Wish) -> list[int]:
    least, most = FREE_RATIOS if wish.ratio is None else (wish.ratio * 0.95, wish.ratio * 1.25)
    first, last = (math.sqrt(wish.area * ratio) for ratio in (least, most))
    widths = (first * (last / first) ** (n / (WIDTHS - 1)) for n in range(WIDTHS))
    return sorted({_within(wish, width) for width in widths})


def _within(wish: Wish, width: float) -> int:
    """Return a width that the widest piece fits in and, if it can be, no wider than allowed."""
    if wish.max_width is not None:
        width = min(width, wish.max_width + wish.gap)
    return max(math.ceil(width), *(w for w, _ in wish.taken), 1)


def _start(wish: Wish, width: int) -> Trail:
    trails = []
    for order in starting_orders(wish.taken):
        packing = packed(wish.taken, order, width)
        if packing is None:
            raise AssertionError("A strip without limit holds everything.")
        trails.append(Trail(order, width, packing, wish.score(packing)))
    return min(trails, key=lambda trail: trail.score)


def _advance(
    wish: Wish, trail: Trail, dice: Random, effort: Effort, trials: int, worse: float
) -> None:
    """Go on from a trail's best; a trial may be worse than the last by a share that dwindles."""
    order, width, score = trail.order, trail.width, trail.score
    for n in range(trials):
        if not effort.spend():
            break
        new_order, new_width = exchanged(order, dice), width
        if dice.random() < WIDTH_CHANGES:
            new_width = _within(wish, width * dice.uniform(0.97, 1.03))
        enough = score * (1 + worse * (1 - n / trials))
        below = math.floor(enough / (USED_AT_LEAST * new_width)) + 1
        packing = packed(wish.taken, new_order, new_width, below=below)
        if packing is None or (new_score := wish.score(packing, enough)) > enough:
            continue
        order, width, score = new_order, new_width, new_score
        if score < trail.score:
            trail.order, trail.width, trail.packing, trail.score = order, width, packing, score


def exchanged(order: Sequence[int], dice: Random) -> list[int]:
    """Return an order with one or two pairs exchanged."""
    order = list(order)
    for _ in range(dice.choice((1, 1, 2)) if len(order) > 1 else 0):
        a, b = dice.sample(range(len(order)), 2)
        order[a], order[b] = order[b], order[a]
    return order


def lowest(sizes: Sequence[Size], width: int, seed: int, effort: Effort) -> Packing:
    """Return the lowest packing met in a strip of that width."""
    dice = Random(seed)  # noqa: S311
    least = least_height(sizes, width)
    options = [(packed(sizes, order, width), order) for order in starting_orders(sizes)]
    best, order = min(
        ((packing, order) for packing, order in options if packing is not None),
        key=lambda option: option[0].height,
    )
    while best.height > least and effort.spend():
        trial = exchanged(order, dice)
        packing = packed(sizes, trial, width, below=best.height + 1)
        if packing is not None:
            best, order = packing, trial
    return best


def least_height(sizes: Sequence[Size], width: int) -> int:
    """Return a height that no packing in the strip comes below.

    The area, the tallest, and those wider than half of the strip, which stand upon each other.
    """
    by_area = -(-sum(w * h for w, h in sizes) // max(1, width))
    stacked = sum(h for w, h in sizes if 2 * w > width)
    return max(by_area, stacked, max(h for _, h in sizes))
