"""Tight groups and rows against a general packing library and against published packings.

A folder holds published strips as JSON: `strip_width`, `optimal_height` and `items`; without one,
the strips typed in `published_packings` are used.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

from layouts.bench.library import (
    by_library,
    generated,
    group_by_library,
    published,
    read_published,
    rectpack,
)
from layouts.bench.published_packings import PUBLISHED
from layouts.checks import check
from layouts.clustering import cluster, lowest_band
from layouts.clustering.checks import faults as cluster_faults
from layouts.clustering.measure import Size, gaps
from layouts.problem import Problem
from layouts.solve import solve

GROUPS = (12, 30, 60, 120)
ROWS = ((20, 3), (40, 4), (60, 3), (100, 4), (200, 6))
PUBLISHED_ROWS = 3
UNIT_MM = 40
GAP_MM = 50


def groups(folder: Path | None) -> int:
    """Print strips and groups; return how many answers are wrong."""
    rectpack()
    _strips(folder)
    print("Tight groups: how much of its box a group fills, how many neighbours are at the gap.")
    print(
        "pieces  seconds :library  filled  library  gaps as asked  library  spread of gaps  library"
    )
    wrong = 0
    for count in GROUPS:
        for seed in (1, 2):
            sizes = generated(count, seed)
            began = time.process_time()
            answer = cluster(sizes, GAP_MM)
            seconds = time.process_time() - began
            wrong += len(cluster_faults(answer, sizes, GAP_MM))
            began = time.process_time()
            filled, places = group_by_library(sizes, GAP_MM)
            theirs_seconds = max(0.001, time.process_time() - began)
            theirs = gaps(places, sizes, GAP_MM)
            print(
                f"{count:6} {seconds:8.2f} {seconds / theirs_seconds:8.2f} {answer.filled:7.3f} "
                f"{filled:8.3f}"
                f"{answer.gaps.even_share:15.3f} {theirs.even_share:8.3f}"
                f"{answer.gaps.spread_mm:13} mm {theirs.spread_mm:5} mm",
                flush=True,
            )
    print()
    return wrong


def _strips(folder: Path | None) -> None:
    print("Published strips, heights as ratios to the published least height.")
    print("strip    pieces  seconds proved :published  library:published")
    tasks: list[tuple[str, tuple[int, int, list[Size]]]]
    if folder:
        tasks = [(path.stem, read_published(path)) for path in sorted(folder.glob("*.json"))]
    else:
        tasks = [(name, published(name)) for name in PUBLISHED]
    for name, (width, height, sizes) in tasks:
        began = time.process_time()
        band = lowest_band(sizes, 0, width)
        seconds = time.process_time() - began
        library = by_library(sizes, width)
        print(
            f"{name:8} {len(sizes):6} {seconds:8.2f} {'yes' if band.proved else 'no':6}"
            f"{band.height_mm / height:11.3f}"
            f"{f'{library[0] / height:.3f}' if library else '-':>19}",
            flush=True,
        )
    print()


def rows() -> int:
    """Print hangs of several rows; return how many demands were broken.

    The library packs the same pieces, each with its gap, into a strip as long as the wall; it knows
    no rows, so its gaps are as they come.
    """
    rectpack()
    print("Rows justified to one wall, against the same pieces packed freely at the same length.")
    print(f"Gaps as least + spread, {GAP_MM} mm or just below asked for; used: the pieces' area")
    print("as a share of length times height of all rows. In turn: how far the rows' widths differ")
    print("where each piece goes to the emptiest row. Published: rectangles that fill a strip, one")
    print(f"unit as {UNIT_MM} mm; they differ fivefold and more in height.")
    print(
        "pieces           rows  seconds status    gaps          used :library  its gaps    in turn"
    )
    broken = 0
    for count, number in ROWS:
        dice = random.Random(count)  # noqa: S311
        sizes = [(dice.randint(150, 900), dice.randint(150, 400)) for _ in range(count)]
        broken += _row_hang("made", sizes, number)
    for name in PUBLISHED:
        sizes = [(UNIT_MM * w, UNIT_MM * h) for w, h in published(name)[2]]
        broken += _row_hang(name, sizes, PUBLISHED_ROWS)
    print()
    return broken


def _row_hang(name: str, sizes: list[Size], number: int) -> int:
    count = len(sizes)
    length = (sum(w for w, _ in sizes) + GAP_MM * (count + number)) // number
    problem = _in_rows(sizes, number, length)
    began = time.process_time()
    answer = solve(problem)
    seconds = time.process_time() - began
    tops = {p.id: p.y_mm + problem.piece(p.id).height_mm for p in answer.placements}
    high = max(tops.values(), default=0) - min((p.y_mm for p in answer.placements), default=0)
    used = sum(w * h for w, h in sizes) / (length * max(1, high))
    m = answer.measures
    print(
        f"{count:6} {name:9} {number:4} {seconds:8.2f} {answer.status:10}"
        f"{f'{m.smallest_gap_mm} + {m.gap_spread_mm} mm':12}"
        f"{used:6.3f} {_library(sizes, length, used)}"
        f"{_in_turn([w for w, _ in sizes], number):7} mm",
        flush=True,
    )
    return len(check(problem, answer)) if answer.placements else 1


def _in_rows(sizes: list[Size], number: int, length_mm: int) -> Problem:
    pieces = [{"id": f"P{n}", "width_mm": w, "height_mm": h} for n, (w, h) in enumerate(sizes)]
    wall = {"id": "N", "length_mm": length_mm, "height_mm": 4000}
    rule = {"kind": "rows", "rows": number, "row_gap_mm": GAP_MM, "datum_mm": 2000}
    return Problem.from_dict({"walls": [wall], "pieces": pieces, "arrangement": rule})


def _library(sizes: list[Size], length_mm: int, used: float) -> str:
    """Return how many times as much is used as the library uses, and its gaps."""
    taken = [(w + GAP_MM, h + GAP_MM) for w, h in sizes]
    found = by_library(taken, length_mm + GAP_MM)
    if found is None:
        return f"{'nothing':>25}"
    theirs = gaps(found[1], sizes, GAP_MM)
    area = sum(w * h for w, h in sizes)
    ratio = used * length_mm * (found[0] - GAP_MM) / area
    return f"{ratio:8.2f} {f'{theirs.least_mm} + {theirs.spread_mm} mm':>14}"


def _in_turn(widths: list[int], number: int) -> int:
    """Return the spread of row widths when each piece in turn goes to the emptiest row."""
    filled = [0] * number
    for width in widths:
        filled[filled.index(min(filled))] += width
    return max(filled) - min(filled)
