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


def plan(
    *,
    length_mm: int,
    drawn_height_in: dict[int, int],
    beside_in: dict[int, int],
    cuts: Sequence[int] = (),
    scale: int | None = None,
    most_sheets: int = MOST_SHEETS,
) -> Plan:
    """Choose paper and windows: the largest scale that needs few A3 sheets, or the scale asked.

    `drawn_height_in` and `beside_in` give, for each scale, the drawing's height and what stands
    beside the wall, in mm of wall. Sheets are cut at one of `cuts`, so that no piece is torn,
    unless none lies within a sheet. An asked scale takes the smallest paper that holds the
    height.
    """
    offered = [scale] if scale else SCALES
    best: Plan | None = None
    for ratio in offered:
        for paper in PAPERS if scale else PAPERS[:1]:
            room_mm = (paper.height_mm - 2 * MARGIN_MM - TITLE_BLOCK_MM) * ratio
            if drawn_height_in[ratio] > room_mm:
                continue
            span_mm = (paper.width_mm - 2 * MARGIN_MM) * ratio - beside_in[ratio]
            best = Plan(ratio, paper, sheets(length_mm, span_mm, cuts))
            break
        if best and best.scale == ratio and len(best.windows) <= most_sheets:
            return best
    return best or plan(
        length_mm=length_mm,
        drawn_height_in=drawn_height_in,
        beside_in=beside_in,
        cuts=cuts,
        scale=SCALES[-1],
    )


def sheets(length_mm: int, span_mm: int, cuts: Iterable[int] = ()) -> tuple[Window, ...]:
    """Cut a wall into windows no longer than `span_mm`, at the last possible of `cuts`.

    >>> [(w.from_mm, w.to_mm) for w in sheets(1000, 400, cuts=(350, 390, 700))]
    [(0, 390), (390, 700), (700, 1000)]
    """
    marks = sorted(cuts)
    ends: list[int] = []
    start = 0
    while length_mm - start > span_mm:
        start = max((c for c in marks if start < c <= start + span_mm), default=start + span_mm)
        ends.append(start)
    ends.append(length_mm)
    starts = [0, *ends[:-1]]
    return tuple(
        Window(a, b, n, len(ends)) for n, (a, b) in enumerate(zip(starts, ends, strict=True), 1)
    )
