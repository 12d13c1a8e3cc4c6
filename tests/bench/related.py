"""Measure orders that keep related pieces near: `python -m tests.bench.related [FOLDER]`.

FOLDER holds published rows as JSON: `name`, `lengths`, `weights` (the full matrix) and
`published_optimum`; without it the rows of the tests are used. Prints seconds, and costs as ratios
to what is published, to the bound, and to a plain descent by exchanges from the order given.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from layouts.bench.near_rows import Pairs, generated, published, read_published
from layouts.bench.published_rows import PUBLISHED
from layouts.related import nearest_order
from layouts.related.checks import faults
from layouts.related.row import Row

GENERATED = (20, 40, 60, 120, 300)


def by_exchanges(row: Row) -> int:
    """Return twice the cost of exchanging pieces while any exchange gains, up to 60 rounds."""
    order = list(range(len(row.lengths)))
    cost = row.cost_twice(order)
    for _ in range(60 if len(order) <= 60 else 1):
        before = cost
        for a in range(len(order)):
            for b in range(a):
                order[a], order[b] = order[b], order[a]
                if (now := row.cost_twice(order)) < cost:
                    cost = now
                else:
                    order[a], order[b] = order[b], order[a]
        if cost == before:
            break
    return cost


def measure(name: str, widths: list[int], pairs: Pairs, gap: int, known: float | None) -> None:
    began = time.perf_counter()
    answer = nearest_order(widths, pairs, gap_mm=gap)
    seconds = time.perf_counter() - began
    if found := faults(answer, widths, pairs, gap_mm=gap):
        raise SystemExit(found[0])
    plain = by_exchanges(Row.of(widths, pairs, gap)) if len(widths) <= 60 else None
    print(
        f"{name:8} {len(widths):6} {seconds:8.2f} {'yes' if answer.proved else 'no':7}"
        f"{f'{answer.cost_mm / known:.4f}' if known else '-':>10}"
        f"{answer.bound_twice / answer.cost_twice:12.3f}"
        f"{f'{answer.cost_twice / plain:.3f}' if plain else '-':>17}"
    )


def main() -> None:
    print("row      pieces  seconds proved :published  bound:found  found:exchanges")
    if len(sys.argv) > 1:
        for path in sorted(Path(sys.argv[1]).glob("*.json")):
            known, lengths, pairs = read_published(path)
            measure(path.stem, lengths, pairs, 0, known)
    else:
        for name in PUBLISHED:
            known, lengths, pairs = published(name)
            measure(name, lengths, pairs, 0, known)
    for count in GENERATED:
        widths, pairs = generated(count, 1)
        measure("made", widths, pairs, 80, None)


if __name__ == "__main__":
    main()
