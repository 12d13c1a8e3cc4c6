"""Split pieces into rows: even first, then low."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from layouts.rowing.bounds import least_height_mm
from layouts.rowing.exact import evenest
from layouts.rowing.exchange import Aim, by_height, improved, largest_first
from layouts.rowing.task import Task
from layouts.watch import Watch

ROWS = range(2, 7)
MOST_KICKS = 300
KICKS_A_PIECE = 10
PIECES_KICKED = 6_000
MOST_PIECES_PROVED = 60
KNOWN_TO_MM = Fraction(1, 50)


@dataclass(frozen=True)
class Rows:
    """Pieces by number in each row, the input's order kept within; rows tallest first.

    `levels_mm` are the rows' gaps, or their widths where no length was given; no split spreads them
    by less than `bound_mm`. `height_mm` is the sum of the rows' heights; no split as even as asked
    comes lower than `height_bound_mm`. `stopped` names what ended the search early: "clock",
    "cancelled" or nothing; only then may another run give another split.
    """

    rows: tuple[tuple[int, ...], ...]
    widths_mm: tuple[int, ...]
    heights_mm: tuple[int, ...]
    levels_mm: tuple[Fraction, ...]
    bound_mm: Fraction
    height_bound_mm: int
    stopped: str = ""

    @property
    def spread_mm(self) -> Fraction:
        return max(self.levels_mm) - min(self.levels_mm)

    @property
    def proved(self) -> bool:
        """Say whether no split is evener, gaps compared to a fiftieth of a millimetre."""
        return self.spread_mm - self.bound_mm <= KNOWN_TO_MM

    @property
    def height_mm(self) -> int:
        return sum(self.heights_mm)


def split_rows(
    widths_mm: Sequence[int],
    rows: int,
    *,
    heights_mm: Sequence[int] | None = None,
    length_mm: int | None = None,
    left: int = 2,
    right: int = 2,
    spread_at_most_mm: int | None = None,
    enough_mm: float = 0.5,
    seed: int = 0,
    kicks: int | None = None,
    seconds: float = 30.0,
    cancelled: Callable[[], bool] = lambda: False,
) -> Rows:
    """Return 2 to 6 rows whose gaps over `length_mm`, or else whose widths, spread least.

    `left` and `right` are a row's margins in half gaps (2: as wide as a gap), at least 1 together.
    Search ends once gaps spread by no more than `enough_mm`, for pieces hang on whole millimetres;
    up to 60 pieces a solver then seeks and proves the rest. `kicks` is how often the search starts
    again from rows it has disturbed, by default what takes seconds.

    With `heights_mm` and `spread_at_most_mm`, the split is then made as low as it can be while it
    spreads by no more than that, or than it must. Gaps below 0 mean that the length does not hold
    the pieces. Raises ValueError for what cannot be read.
    """
    task = _task(widths_mm, rows, heights_mm, length_mm, left + right)
    until = time.monotonic() + seconds
    watch = Watch(until, cancelled)
    if kicks is None:
        kicks = min(MOST_KICKS, KICKS_A_PIECE * len(widths_mm))
    enough = Fraction(enough_mm)
    least = Fraction(int(int(task.widths.sum()) % rows > 0)) if length_mm is None else Fraction(0)
    goal = max(least, Fraction(0) if length_mm is None else enough)
    found = improved(
        Aim(task),
        largest_first(task),
        lambda rows: (float(task.spread(rows)),),
        kicks=kicks,
        seed=seed,
        enough=lambda worth: worth[0] <= goal,
        cancelled=watch,
    )
    if task.spread(found) > goal and len(widths_mm) <= MOST_PIECES_PROVED and not watch():
        proof = evenest(
            task, found, seed=seed, seconds=max(0.1, until - time.monotonic()), cancelled=cancelled
        )
        found = min(found, proof.rows, key=task.spread)
        least = max(least, proof.bound_mm)
        watch.reason = watch.reason or proof.stopped
    allowed = task.spread(found)
    if heights_mm is not None and spread_at_most_mm is not None:
        allowed = max(allowed, Fraction(spread_at_most_mm))
        lowering = max(5, min(60, PIECES_KICKED // len(widths_mm)))
        found = _lowered(task, found, allowed, min(kicks, lowering), seed, watch)
    return _answer(task, found, min(least, task.spread(found)), allowed, watch.reason)


def _task(
    widths_mm: Sequence[int],
    rows: int,
    heights_mm: Sequence[int] | None,
    length_mm: int | None,
    margins: int,
) -> Task:
    if rows not in ROWS:
        raise ValueError(f"There must be 2 to 6 rows, not {rows}.")
    if len(widths_mm) < rows:
        raise ValueError(f"{len(widths_mm)} pieces cannot fill {rows} rows.")
    heights = [0] * len(widths_mm) if heights_mm is None else list(heights_mm)
    if len(heights) != len(widths_mm):
        raise ValueError("There must be a height for each width.")
    if min(widths_mm) < 0 or min(heights) < 0:
        raise ValueError("Widths and heights must be 0 mm or more.")
    if length_mm is not None and (length_mm < 0 or margins < 1):
        raise ValueError("The length must be 0 mm or more, and margins half a gap or more.")
    return Task(
        np.array(widths_mm, dtype=np.int64),
        np.array(heights, dtype=np.int64),
        rows,
        length_mm,
        margins,
    )


def _lowered(
    task: Task, even: list[list[int]], allowed: Fraction, kicks: int, seed: int, watch: Watch
) -> list[list[int]]:
    """Return the lowest rows met that spread no more than allowed."""

    def worth(rows: list[list[int]]) -> tuple[float, ...]:
        spread = task.spread(rows)
        return (float(max(Fraction(0), spread - allowed)), task.height(rows), float(spread))

    bound = least_height_mm(task, allowed)
    aim = Aim(task, float(allowed))
    options = [
        improved(
            aim,
            start,
            worth,
            kicks=kicks,
            seed=seed,
            enough=lambda worth: worth[0] == 0 and worth[1] <= bound,
            cancelled=watch,
        )
        for start in (by_height(task), even)
    ]
    return min([*options, even], key=worth)


def _answer(
    task: Task, found: list[list[int]], least: Fraction, allowed: Fraction, stopped: str
) -> Rows:
    ranked = sorted(
        (sorted(row) for row in found), key=lambda row: (-int(task.heights[row].max()), row)
    )
    return Rows(
        rows=tuple(tuple(row) for row in ranked),
        widths_mm=tuple(int(task.widths[row].sum()) for row in ranked),
        heights_mm=tuple(int(task.heights[row].max()) for row in ranked),
        levels_mm=tuple(task.row_levels(ranked)),
        bound_mm=least,
        height_bound_mm=least_height_mm(task, allowed),
        stopped=stopped,
    )
