"""Mirrored hangs against sorted neighbours in closed form, and against the list's order."""

from __future__ import annotations

import random
import time
from typing import Any

from layouts.checks import check
from layouts.problem import Problem
from layouts.solve import solve

COUNTS = (11, 60, 121, 301, 1000, 1001)


def mirrored() -> int:
    """Print one line a size; return how many demands were broken or errors above the least."""
    print("Mirrored on one wall: the sum of differences in width of pieces that face each other.")
    print("pieces  seconds  error  closed form  list order: error  smaller by")
    faults = 0
    for count in COUNTS:
        dice = random.Random(count)  # noqa: S311
        widths = [dice.randint(120, 900) for _ in range(count)]
        problem = _problem(widths, sum(widths) + 100 * (count + 1))
        seconds, answer = _timed(problem)
        error, least = answer.measures.mirror_error_mm, closed_form(widths)
        given = sum(abs(widths[n] - widths[-1 - n]) for n in range(count // 2))
        faults += len(check(problem, answer)) + (error != least)
        print(
            f"{count:6} {seconds:8.3f} {error:6} {least:12} {given:18} "
            f"{given / max(1, error):10.1f}x",
            flush=True,
        )
    dice = random.Random(42)  # noqa: S311
    problem = _problem([dice.randint(120, 380) for _ in range(100)], 42_000, "hanging_line")
    seconds, answer = _timed(problem)
    faults += len(check(problem, answer))
    print(
        f"A wall of 42 m with 100 pieces on a hanging line, mirrored: {seconds:.3f} s, "
        f"{answer.status}, gaps {answer.measures.smallest_gap_mm} mm that differ by at most "
        f"{answer.measures.gap_spread_mm} mm.\n"
    )
    return faults


def _problem(widths: list[int], length_mm: int, align: str = "centreline") -> Problem:
    pieces = [
        {"id": f"P{n}", "width_mm": w, "height_mm": 400, "hang_point_mm": 60}
        for n, w in enumerate(widths)
    ]
    wall = {"id": "N", "length_mm": length_mm, "height_mm": 3600}
    rule = {"kind": "mirrored", "align": align, "datum_mm": 1500}
    return Problem.from_dict({"walls": [wall], "pieces": pieces, "arrangement": rule})


def _timed(problem: Problem) -> tuple[float, Any]:
    began = time.process_time()
    answer = solve(problem)
    return time.process_time() - began, answer


def closed_form(widths: list[int]) -> int:
    """Return the least sum of differences: neighbours in width, with every piece tried as middle.

    >>> closed_form([300, 100, 310, 130, 500])
    40
    """
    row = sorted(widths)
    middles = range(len(row)) if len(row) % 2 else [len(row)]
    return min(
        sum(rest[n + 1] - rest[n] for n in range(0, len(rest), 2))
        for rest in (row[:m] + row[m + 1 :] for m in middles)
    )
