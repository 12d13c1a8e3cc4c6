"""Empty cases of boxes one after another: what is left over pushes its way into the others.

The boxes of a case or two and those left over are set anew by the skyline, in orders shaken a
little by chance; kept is what leaves the least over. A box that stays over for long weighs more,
as in guided local search after Voudouris and Tsang 1999, from memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from layouts.cases.skyline import Rect, Spot, grow

Held = frozenset[int]
Found = dict[Held, dict[int, Spot]]
# Takes the sets found and how many cases are too many; returns fewer of them, or None.
Choose = Callable[[Iterable[Held], int], list[Held] | None]
FIRST_ORDERS = 20
TRIES = 2
HEAVIER_EVERY, HEAVIER_BY, HEAVIEST = 20, 1.2, 50.0
CHOOSE_EVERY = 1_000


@dataclass
class Emptying:
    """Boxes (width, depth, may be turned) with masses, and the rectangle that each case offers.

    `found` gathers every set of boxes that was seen to fit one case; `steps` counts the work.
    """

    boxes: Sequence[Rect]
    width: int
    depth: int
    masses_g: Sequence[int]
    most_g: int | None
    seed: int = 0
    found: Found = field(default_factory=dict)
    steps: int = 0

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)  # noqa: S311
        self.across = [(d, w, turns) for w, d, turns in self.boxes]
        self.ground = [w * d for w, d, _ in self.boxes]
        self.keys: tuple[list[int], ...] = (
            self.ground,
            [max(w, d) for w, d, _ in self.boxes],
            [w for w, _, _ in self.boxes],
            [d for _, d, _ in self.boxes],
        )
        self.weights = [1.0] * len(self.boxes)

    def fewest(
        self,
        start: list[Held],
        *,
        least: int,
        steps: int,
        choose: Choose,
        stop: Callable[[], bool],
    ) -> list[Held]:
        """Return as few sets as were found in so many steps; start must hold every box."""
        best = start
        for n in range(FIRST_ORDERS):
            key = self.keys[n % len(self.keys)]
            shake = 0.0 if n < len(self.keys) else self.dice.choice((0.1, 0.3, 0.8))
            bins = self._whole(self._order(range(len(self.boxes)), key, shake))
            best = bins if len(bins) < len(best) else best
        until = self.steps + steps
        while len(best) > least and self.steps < until and not stop():
            fewer = self._without_one(best, until, choose, stop)
            if fewer is None:
                break
            best = fewer
        if len(best) > least:
            best = choose(self.found, len(best)) or best
        return best

    def _order(self, boxes: Iterable[int], key: Sequence[float], shake: float) -> list[int]:
        worth = {n: key[n] * (1 - shake * self.dice.random()) for n in boxes}
        return sorted(worth, key=lambda n: (-worth[n], n))

    def _whole(self, order: list[int]) -> list[Held]:
        bins = []
        while order:
            held = self._fill(order)
            bins.append(held)
            order = [n for n in order if n not in held]
        return bins

    def _fill(self, order: list[int]) -> Held:
        """Fill one case from the front or from the left, with what comes first in an order."""
        turned = self.dice.random() < 0.5
        boxes = self.across if turned else self.boxes
        size = (self.depth, self.width) if turned else (self.width, self.depth)
        spots, left = grow(boxes, order, *size)
        out = set(left)
        load = 0
        layout = {}
        for n in order:
            if n in out or (self.most_g is not None and load + self.masses_g[n] > self.most_g):
                continue
            load += self.masses_g[n]
            x, y, t = spots[n]
            layout[n] = (y, x, t) if turned else (x, y, t)
        held = frozenset(layout)
        self.found.setdefault(held, layout)
        return held

    def _without_one(
        self, best: list[Held], until: int, choose: Choose, stop: Callable[[], bool]
    ) -> list[Held] | None:
        """Return one set fewer; None when the steps are used up."""
        bins = sorted(best, key=lambda held: (sum(self.ground[n] for n in held), sorted(held)))
        gone = bins.pop(0 if self.dice.random() < 0.5 else self.dice.randrange(len(bins)))
        over = set(gone)
        tried = 0
        while over:
            if self.steps >= until or stop() or not bins:
                return None
            self.steps += 1
            tried += 1
            over = self._step(bins, over)
            if tried % HEAVIER_EVERY == 0:
                self._weigh(over)
            if over and tried % CHOOSE_EVERY == 0:
                chosen = choose(self.found, len(best))
                if chosen is not None:
                    return chosen
        return bins

    def _step(self, bins: list[Held], over: set[int]) -> set[int]:
        """Set one case or two anew with what is left over, if that does not leave more over."""
        count = 2 if len(bins) > 1 and self.dice.random() < 0.4 else 1
        chosen = self.dice.sample(range(len(bins)), count)
        here = sorted(over.union(*(bins[b] for b in chosen)))
        had = self._weight(n for b in chosen for n in bins[b])
        best: list[Held] = []
        best_weight = -1.0
        for _ in range(TRIES):
            key: Sequence[float] = self.dice.choice(self.keys)
            shake = self.dice.choice((0.1, 0.3, 0.6))
            if self.dice.random() < 0.6:
                key = [k * w for k, w in zip(key, self.weights, strict=True)]
            order = self._order(here, key, shake)
            got: list[Held] = []
            for _ in range(count):
                got.append(self._fill(order))
                order = [n for n in order if n not in got[-1]]
            weight = self._weight(n for held in got for n in held)
            if weight > best_weight:
                best, best_weight = got, weight
        if best_weight < had:
            return over
        for b, held in zip(chosen, best, strict=True):
            bins[b] = held
        return set(here).difference(*best)

    def _weight(self, boxes: Iterable[int]) -> float:
        return sum(self.ground[n] * self.weights[n] for n in boxes)

    def _weigh(self, over: Iterable[int]) -> None:
        for n in over:
            self.weights[n] *= HEAVIER_BY
        if max(self.weights) > HEAVIEST:
            self.weights = [max(1.0, w / 10) for w in self.weights]
