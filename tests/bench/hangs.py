"""Compare the search with a greedy fill: `python -m tests.bench.hangs`.

Prints, for generated hangs, seconds and spread of gaps of the search as ratios to a greedy fill
that hangs each piece, widest first, on the run with the most room left.
"""

import random
import time
from dataclasses import replace
from statistics import median

from layouts import Problem, check, solve
from layouts.geometry import clear_runs
from layouts.spacing import equal_gap_mm

SIZES = ((30, 2), (60, 3), (120, 6))


def generated(count: int, walls: int, seed: int) -> Problem:
    dice = random.Random(seed)  # noqa: S311
    widths = [dice.randint(150, 900) for _ in range(count)]
    length = (sum(widths) + 250 * count) // walls + 1200
    door = {"x_mm": length // 3, "y_mm": 0, "width_mm": 1200, "height_mm": 2100, "what": "door"}
    return Problem.from_dict(
        {
            "walls": [
                {"id": f"W{n}", "length_mm": length, "height_mm": 3600, "blocked": [door]}
                for n in range(walls)
            ],
            "pieces": [
                {
                    "id": f"P{n}",
                    "width_mm": width,
                    "height_mm": 400,
                    "section": str(6 * n // count),
                }
                for n, width in enumerate(widths)
            ],
            "arrangement": {"kind": "even", "datum_mm": 1500},
        }
    )


def greedy_spread_mm(problem: Problem) -> int:
    runs = clear_runs(problem)
    rows: list[list[int]] = [[] for _ in runs]
    for piece in sorted(problem.pieces, key=lambda p: -p.width_mm):
        room = [
            (run.length_mm - sum(row) - piece.width_mm) / (len(row) + 2)
            for run, row in zip(runs, rows, strict=True)
        ]
        rows[room.index(max(room))].append(piece.width_mm)
    gaps = [
        equal_gap_mm(length_mm=run.length_mm, widths_mm=row)
        for run, row in zip(runs, rows, strict=True)
        if row
    ]
    return max(gaps) - min(gaps)


def main() -> None:
    solve(generated(2, 2, 0))
    print("pieces walls kind        seconds  spread  greedy  search:greedy")
    for count, walls in SIZES:
        for kind in ("even", "by_section"):
            seconds, spreads, greedy = [], [], []
            for seed in range(5):
                problem = generated(count, walls, seed)
                rule = replace(problem.arrangement, kind=kind)
                problem = replace(problem, arrangement=rule)
                began = time.perf_counter()
                answer = solve(problem)
                seconds.append(time.perf_counter() - began)
                if faults := check(problem, answer):
                    raise SystemExit(faults[0].sentence)
                spreads.append(answer.measures.gap_spread_mm)
                greedy.append(greedy_spread_mm(problem))
            ratio = median(spreads) / max(1, median(greedy))
            print(
                f"{count:6} {walls:5} {kind:11} {median(seconds):7.2f} {median(spreads):5.0f} mm "
                f"{median(greedy):4.0f} mm {ratio:13.3f}"
            )


if __name__ == "__main__":
    main()
