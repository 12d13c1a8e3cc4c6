"""Measure rows and tight groups: `python -m tests.bench.packing [FOLDER]`.

FOLDER holds published strips as JSON: `strip_width`, `optimal_height` and `items`; without it those
of the tests are used. Heights are ratios to the published least height, beside those of a general
packing library's best of forty packings; rows are compared with filling the emptiest row in turn.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

from layouts.bench.library import (
    by_library,
    generated,
    group_by_library,
    published,
    read_published,
)
from layouts.bench.published_packings import PUBLISHED
from layouts.clustering import cluster, lowest_band
from layouts.clustering.checks import faults as cluster_faults
from layouts.clustering.measure import Size, gaps
from layouts.rowing import split_rows
from layouts.rowing.checks import faults as row_faults

GROUPS = (12, 30, 60, 120)
ROWS = ((20, 3), (40, 4), (120, 4), (1000, 6))
GAP_MM = 50


def strips() -> None:
    print("strip    pieces  seconds proved :published  library:published")
    tasks: list[tuple[str, tuple[int, int, list[Size]]]]
    if len(sys.argv) > 1:
        paths = sorted(Path(sys.argv[1]).glob("*.json"))
        tasks = [(path.stem, read_published(path)) for path in paths]
    else:
        tasks = [(name, published(name)) for name in PUBLISHED]
    for name, (width, height, sizes) in tasks:
        began = time.perf_counter()
        band = lowest_band(sizes, 0, width)
        seconds = time.perf_counter() - began
        library = by_library(sizes, width)
        print(
            f"{name:8} {len(sizes):6} {seconds:8.2f} {'yes' if band.proved else 'no':6}"
            f"{band.height_mm / height:11.3f}"
            f"{f'{library[0] / height:.3f}' if library else '-':>19}"
        )


def groups() -> None:
    print("\npieces  seconds  filled  library  gaps as asked  library  spread of gaps  library")
    for count in GROUPS:
        for seed in (1, 2):
            sizes = generated(count, seed)
            began = time.perf_counter()
            answer = cluster(sizes, GAP_MM)
            seconds = time.perf_counter() - began
            if found := cluster_faults(answer, sizes, GAP_MM):
                raise SystemExit(found[0])
            filled, places = group_by_library(sizes, GAP_MM)
            theirs = gaps(places, sizes, GAP_MM)
            print(
                f"{count:6} {seconds:8.2f} {answer.filled:7.3f} {filled:8.3f}"
                f"{answer.gaps.even_share:15.3f} {theirs.even_share:8.3f}"
                f"{answer.gaps.spread_mm:13} mm {theirs.spread_mm:5} mm"
            )


def in_turn(widths: list[int], rows: int) -> float:
    """Return the spread of row widths of the input's order, each piece to the emptiest row."""
    filled = [0] * rows
    for width in widths:
        filled[filled.index(min(filled))] += width
    return max(filled) - min(filled)


def rows() -> None:
    print("\npieces rows  seconds  spread of widths  in turn  of gaps  lowered by  height:bound")
    for count, number in ROWS:
        dice = random.Random(count)  # noqa: S311
        widths = [dice.randint(150, 900) for _ in range(count)]
        heights = [dice.randint(150, 900) for _ in range(count)]
        length = (sum(widths) + 100 * (count + number)) // number
        began = time.perf_counter()
        plain = split_rows(widths, number)
        seconds = time.perf_counter() - began
        even = split_rows(widths, number, length_mm=length, heights_mm=heights)
        low = split_rows(widths, number, length_mm=length, heights_mm=heights, spread_at_most_mm=10)
        for answer in (even, low):
            known = {"length_mm": length, "heights_mm": heights}
            if found := row_faults(answer, widths, number, **known):
                raise SystemExit(found[0])
        print(
            f"{count:6} {number:4} {seconds:8.2f} {float(plain.spread_mm):14.0f} mm"
            f"{in_turn(widths, number):6.0f} mm {float(even.spread_mm):5.2f} mm"
            f"{1 - low.height_mm / even.height_mm:12.1%}"
            f"{low.height_mm / low.height_bound_mm:14.3f}"
        )


def main() -> None:
    strips()
    groups()
    rows()


if __name__ == "__main__":
    main()
