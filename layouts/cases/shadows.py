"""Verify what is told to be hidden, by another method than the one that measures it.

Every box before an object throws a shadow on the plane of its front: the convex hull of its eight
corners seen from the eye. The shadows are measured along upright lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

COLUMNS = 60
# Level and upright lines, each some dozens, may differ by so many parts of a hundred.
TOLERANCE_PERCENT = 4

Point = tuple[float, float]


@dataclass(frozen=True)
class Block:
    """A box in a case: x, y and z from and to, in mm; what is no object has no name."""

    name: str
    x: tuple[int, int]
    y: tuple[int, int]
    z: tuple[int, int]


@dataclass(frozen=True)
class Eye:
    """An eye so far before the front, and so high over the case's floor, in mm."""

    distance_mm: int
    up_mm: int


def shares(target: Block, blocks: Iterable[Block], eye: Eye) -> tuple[float, dict[str, float]]:
    """Return which share of an object's front is hidden, in percent, and by each block alone."""
    middle = (target.x[0] + target.x[1]) / 2
    shadows = [
        (block.name, shadow)
        for block in blocks
        if block is not target and block.y[0] < target.y[0]
        if (shadow := _shadow(block, target.y[0], (middle, float(eye.up_mm)), eye.distance_mm))
    ]
    height = target.z[1] - target.z[0]
    lost, alone = 0.0, dict.fromkeys((name for name, _ in shadows), 0.0)
    for n in range(COLUMNS):
        x = target.x[0] + (target.x[1] - target.x[0]) * (n + 0.5) / COLUMNS
        spans = [(name, _within(_span(shadow, x), target.z)) for name, shadow in shadows]
        lost += _length(span for _, span in spans if span) / height
        for name, span in spans:
            if span:
                alone[name] += (span[1] - span[0]) / height
    return 100 * lost / COLUMNS, {name: 100 * part / COLUMNS for name, part in alone.items()}


def _shadow(block: Block, plane: int, eye: Point, distance: int) -> list[Point]:
    seen = []
    for y in (block.y[0], min(block.y[1], plane)):
        scale = (plane + distance) / (y + distance)
        seen += [
            (eye[0] + (x - eye[0]) * scale, eye[1] + (z - eye[1]) * scale)
            for x in block.x
            for z in block.z
        ]
    return _hull(seen)


def _hull(points: Sequence[Point]) -> list[Point]:
    """Return the convex hull, by the chains of Andrew 1979."""
    chains: list[list[Point]] = []
    for order in (sorted(set(points)), sorted(set(points), reverse=True)):
        chain: list[Point] = []
        for p in order:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _span(hull: Sequence[Point], x: float) -> tuple[float, float] | None:
    """Return from where to where an upright line runs in a hull."""
    met = [
        a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])
        for a, b in pairwise([*hull, hull[0]])
        if a[0] != b[0] and min(a[0], b[0]) <= x <= max(a[0], b[0])
    ]
    return (min(met), max(met)) if met else None


def _within(
    span: tuple[float, float] | None, limits: tuple[int, int]
) -> tuple[float, float] | None:
    if span is None:
        return None
    low, high = max(span[0], limits[0]), min(span[1], limits[1])
    return (low, high) if high > low else None


def _length(spans: Iterable[tuple[float, float]]) -> float:
    return sum(high - low for low, high in _merged(spans))


def _merged(spans: Iterable[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    here: tuple[float, float] | None = None
    for low, high in sorted(spans):
        if here and low <= here[1]:
            here = here[0], max(here[1], high)
            continue
        if here:
            yield here
        here = low, high
    if here:
        yield here
