"""Lay a wall on sheets of paper at a scale. Lengths on paper and on the wall in mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# 1:10, 1:20 and 1:50 are reduction scales of ISO 5455:1979; 1:25 is common practice, no source.
SCALES = (10, 20, 25, 50)
MOST_SHEETS = 6


@dataclass(frozen=True)
class Paper:
    """A sheet in landscape; ISO 216 trimmed sizes."""

    name: str
    width_mm: int
    height_mm: int

    @property
    def inner_width_mm(self) -> int:
        return self.width_mm - 2 * MARGIN_MM

    @property
    def inner_height_mm(self) -> int:
        return self.height_mm - 2 * MARGIN_MM


PAPERS = (
    Paper("A3", 420, 297),
    Paper("A2", 594, 420),
    Paper("A1", 841, 594),
    Paper("A0", 1189, 841),
)
MARGIN_MM = 10
TITLE_BLOCK_MM = 30
TEXT_MM = 3.0


@dataclass(frozen=True)
class Window:
    """The stretch of wall on one sheet; `number` counts from 1 among `of`."""

    from_mm: int
    to_mm: int
    number: int
    of: int


@dataclass(frozen=True)
class Plan:
    """How a wall goes on paper."""

    scale: int
    paper: Paper
    windows: tuple[Window, ...]


@dataclass(frozen=True)
class Drawn:
    """A wall's drawing at 1:scale: its whole height and what stands beside it, in mm of wall."""

    scale: int
    length_mm: int
    height_mm: float
    beside_mm: float
    cuts: tuple[int, ...] = ()

    def on(self, paper: Paper) -> Plan | None:
        """Return how the drawing goes on a paper; None when it is too high for it."""
        room_mm = (paper.inner_height_mm - TITLE_BLOCK_MM) * self.scale
        span_mm = paper.inner_width_mm * self.scale - self.beside_mm
        if self.height_mm > room_mm:
            return None
        return Plan(self.scale, paper, sheets(self.length_mm, int(span_mm), self.cuts))


def on_smallest_paper(drawn: Drawn) -> Plan:
    """Return the plan on the smallest paper that holds the height; raises ValueError."""
    for paper in PAPERS:
        if found := drawn.on(paper):
            return found
    raise ValueError(
        f"At 1:{drawn.scale} the drawing is {drawn.height_mm / drawn.scale:.0f} mm high, more than "
        f"{PAPERS[-1].name} holds: choose a smaller scale."
    )


def largest_on_few(drawn: Iterable[Drawn], *, most_sheets: int = MOST_SHEETS) -> Plan:
    """Return the plan with the largest scale that needs few sheets of the smallest paper."""
    scales = sorted(drawn, key=lambda one: one.scale)
    plans = [found for one in scales if (found := one.on(PAPERS[0]))]
    few = [found for found in plans if len(found.windows) <= most_sheets]
    return next(iter([*few, *plans[-1:]]), None) or on_smallest_paper(scales[-1])


def sheets(length_mm: int, span_mm: int, cuts: Iterable[int] = ()) -> tuple[Window, ...]:
    """Cut a wall into as few windows of at most `span_mm` as can be, as even as `cuts` allow.

    >>> [(w.from_mm, w.to_mm) for w in sheets(1000, 400, cuts=(320, 390, 700))]
    [(0, 320), (320, 700), (700, 1000)]
    """
    marks = sorted(cuts)
    ends = _ends(length_mm, span_mm, marks)
    low, high = max(1, length_mm // len(ends)), span_mm
    while low < high:
        middle = (low + high) // 2
        tried = _ends(length_mm, middle, marks)
        if len(tried) > len(ends):
            low = middle + 1
        else:
            high, ends = middle, tried
    starts = [0, *ends[:-1]]
    return tuple(
        Window(a, b, n, len(ends)) for n, (a, b) in enumerate(zip(starts, ends, strict=True), 1)
    )


def _ends(length_mm: int, span_mm: int, marks: Sequence[int]) -> list[int]:
    ends: list[int] = []
    start = 0
    while length_mm - start > span_mm:
        start = max((c for c in marks if start < c <= start + span_mm), default=start + span_mm)
        ends.append(start)
    return [*ends, length_mm]
