"""Make a tight group of pieces of mixed sizes with one gap between neighbours."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from layouts.clustering.exact import MOST_PIECES, lowered
from layouts.clustering.measure import Gaps, gaps, holes_mm2
from layouts.clustering.search import Effort, Wish, grouped, least_height, lowest
from layouts.clustering.settling import settled
from layouts.clustering.skyline import Place, Size
from layouts.watch import Watch

MOST_TRIALS = 6_000
TRIALS_A_PIECE = 400
LEAST_TRIALS = 50
SETTLED = 4
PAIRS_TRIED = 10_000_000


@dataclass(frozen=True)
class Cluster:
    """Each piece's lower left corner from the group's own, and how tight and even the group is.

    `filled` is the area of all pieces over that of the group's box, each with one gap added to both
    sides; no group exceeds 1, so that 1 - `filled` is the most that any other could save.
    `fits` says whether the largest width and height asked are kept; when they are not, nothing is
    proved. `stopped` names what ended the search early: "clock", "cancelled" or nothing; only then
    may another run give another group.
    """

    places_mm: tuple[Place, ...]
    width_mm: int
    height_mm: int
    filled: float
    gaps: Gaps
    holes_mm2: tuple[int, ...]
    fits: bool
    stopped: str = ""

    @property
    def largest_hole_mm2(self) -> int:
        return max(self.holes_mm2, default=0)


@dataclass(frozen=True)
class Band:
    """A group in a band of given width; no group there is lower than `bound_mm`."""

    places_mm: tuple[Place, ...]
    height_mm: int
    bound_mm: int
    stopped: str = ""

    @property
    def proved(self) -> bool:
        return self.height_mm == self.bound_mm


def cluster(
    sizes_mm: Sequence[Size],
    gap_mm: int,
    *,
    ratio: float | None = None,
    max_width_mm: int | None = None,
    max_height_mm: int | None = None,
    largest_hole_mm2: int | None = None,
    seed: int = 0,
    trials: int | None = None,
    seconds: float = 60.0,
    on_progress: Callable[[float], None] = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Cluster:
    """Return a tight group: nothing nearer than the gap, as many neighbours as can be just there.

    Sizes are `(width, height)` in whole mm above 0, the gap 0 or more; pieces are not turned.
    `ratio` is width over height (by default between 0.6 and 1.7). `largest_hole_mm2` is the largest
    enclosed blank wanted, gaps not counted; where the search finds none so good, the best it met
    comes back and its holes say so. `trials` of search (by default what takes seconds) from a
    `seed`: the same input gives the same group, unless `seconds` run out, which `stopped` says.
    Raises ValueError for what cannot be read, and for a piece larger than the group may be.
    """
    wish = _wish(sizes_mm, gap_mm, ratio, max_width_mm, max_height_mm, largest_hole_mm2)
    watch = Watch(time.monotonic() + seconds, cancelled)
    effort = _effort(len(sizes_mm), trials, watch, on_progress)
    best = grouped(wish, seed, effort)[:SETTLED]
    packing = min((settled(wish, packing) for packing in best), key=wish.score)
    on_progress(1.0)
    width, height = wish.box(packing)
    return Cluster(
        places_mm=packing.places,
        width_mm=width - gap_mm,
        height_mm=height - gap_mm,
        filled=wish.area / (width * height),
        gaps=gaps(packing.places, wish.sizes, gap_mm),
        holes_mm2=holes_mm2(packing.places, wish.sizes, gap_mm),
        fits=(max_width_mm is None or width - gap_mm <= max_width_mm)
        and (max_height_mm is None or height - gap_mm <= max_height_mm),
        stopped=watch.reason,
    )


def lowest_band(
    sizes_mm: Sequence[Size],
    gap_mm: int,
    width_mm: int,
    *,
    seed: int = 0,
    trials: int | None = None,
    seconds: float = 60.0,
    on_progress: Callable[[float], None] = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Band:
    """Return pieces in a band of that width, as low as the search can get them.

    Below 30 pieces a solver then tries to go lower or to prove that nothing does. Sizes, gap,
    trials and errors as for `cluster`.
    """
    wish = _wish(sizes_mm, gap_mm, None, width_mm, None, None)
    until = time.monotonic() + seconds
    watch = Watch(until, cancelled)
    effort = _effort(len(sizes_mm), trials, watch, on_progress)
    found = lowest(wish.taken, width_mm + gap_mm, seed, effort)
    bound = least_height(wish.taken, width_mm + gap_mm)
    if found.height > bound and len(sizes_mm) <= MOST_PIECES and not watch():
        left = max(0.1, until - time.monotonic())
        proof = lowered(
            *(wish.taken, width_mm + gap_mm, found, bound),
            seed=seed,
            seconds=left,
            cancelled=cancelled,
        )
        found, bound = proof.packing, proof.bound
        watch.reason = watch.reason or proof.stopped
    on_progress(1.0)
    return Band(
        places_mm=found.places,
        height_mm=found.height - gap_mm,
        bound_mm=bound - gap_mm,
        stopped=watch.reason,
    )


def _wish(
    sizes_mm: Sequence[Size],
    gap_mm: int,
    ratio: float | None,
    max_width_mm: int | None,
    max_height_mm: int | None,
    largest_hole_mm2: int | None,
) -> Wish:
    if not sizes_mm:
        raise ValueError("A group must hold a piece.")
    if gap_mm < 0 or any(w <= 0 or h <= 0 for w, h in sizes_mm):
        raise ValueError("Sizes must be above 0 mm, and the gap 0 mm or more.")
    if ratio is not None and not 0.05 <= ratio <= 20:
        raise ValueError("The ratio of width to height must be between 0.05 and 20.")
    for side, most, name in ((0, max_width_mm, "width"), (1, max_height_mm, "height")):
        if most is not None and (largest := max(size[side] for size in sizes_mm)) > most:
            raise ValueError(f"A {name} of {most} mm must hold a piece of {largest} mm.")
    if largest_hole_mm2 is not None and largest_hole_mm2 < 0:
        raise ValueError("The largest hole must be 0 mm2 or more.")
    sizes = tuple((int(w), int(h)) for w, h in sizes_mm)
    return Wish(sizes, gap_mm, ratio, max_width_mm, max_height_mm, largest_hole_mm2)


def _effort(
    count: int, trials: int | None, watch: Watch, on_progress: Callable[[float], None]
) -> Effort:
    if trials is None:
        trials = min(MOST_TRIALS, TRIALS_A_PIECE * count, PAIRS_TRIED // count**2)
        trials = max(LEAST_TRIALS, trials)
    return Effort(trials, watch, lambda done: on_progress(done / trials))
