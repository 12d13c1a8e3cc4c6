"""Orders that keep related pieces near, on published rows and on generated ones.

A folder holds published rows as JSON: `name`, `lengths`, `weights` (the full matrix) and
`published_optimum`; without one, the rows typed in `published_rows` are used.
"""

from __future__ import annotations

import time
from pathlib import Path

from layouts.bench.near_rows import Pairs, generated, published, read_published
from layouts.bench.published_rows import PUBLISHED
from layouts.related import nearest_order
from layouts.related.checks import faults
from layouts.related.row import Row

GENERATED = (20, 40, 60, 120, 300)
MOST_EXCHANGED = 60


def related(folder: Path | None) -> int:
    """Print one line a row; return how many answers are wrong or above the published cost."""
    print("Orders that keep related pieces near, as ratios of cost.")
    print("row      pieces  seconds proved :published  bound:found  found:exchanges")
    wrong = 0
    if folder:
        for path in sorted(folder.glob("*.json")):
            known, lengths, pairs = read_published(path)
            wrong += _measure(path.stem, lengths, pairs, 0, known)
    else:
        for name in PUBLISHED:
            known, lengths, pairs = published(name)
            wrong += _measure(name, lengths, pairs, 0, known)
    for count in GENERATED:
        widths, pairs = generated(count, 1)
        wrong += _measure("made", widths, pairs, 80, None)
    print()
    return wrong


def _measure(name: str, widths: list[int], pairs: Pairs, gap: int, known: float | None) -> int:
    began = time.process_time()
    answer = nearest_order(widths, pairs, gap_mm=gap)
    seconds = time.process_time() - began
    plain = None
    if len(widths) <= MOST_EXCHANGED:
        plain = answer.cost_twice / by_exchanges(Row.of(widths, pairs, gap))
    print(
        f"{name:8} {len(widths):6} {seconds:8.2f} {'yes' if answer.proved else 'no':7}"
        f"{f'{answer.cost_mm / known:.4f}' if known else '-':>10}"
        f"{answer.bound_twice / answer.cost_twice:12.3f}"
        f"{f'{plain:.3f}' if plain else '-':>17}",
        flush=True,
    )
    above = known is not None and answer.cost_mm > known
    return len(faults(answer, widths, pairs, gap_mm=gap)) + above


def by_exchanges(row: Row) -> int:
    """Return twice the cost of exchanging pieces while any exchange gains, up to 60 rounds."""
    order = list(range(len(row.lengths)))
    cost = row.cost_twice(order)
    for _ in range(60):
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
