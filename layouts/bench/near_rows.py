"""Rows of pieces for the tests and measurements of orders that keep things near."""

from __future__ import annotations

import json
import random
from pathlib import Path

from layouts.bench.published_rows import PUBLISHED

Pairs = list[tuple[int, int, int]]


def published(name: str) -> tuple[float, list[int], Pairs]:
    """Return the published least cost, the lengths and the near pairs of a row."""
    cost, lengths, lines = PUBLISHED[name]
    pairs = [
        (a, a + 1 + n, int(weight))
        for a, line in enumerate(lines)
        for n, weight in enumerate(line.split())
        if weight != "0"
    ]
    return cost, lengths, pairs


def read_published(path: Path) -> tuple[float, list[int], Pairs]:
    """Read `published_optimum`, `lengths` and the full matrix `weights` from a JSON file."""
    data = json.loads(path.read_text())
    weights = data["weights"]
    count = len(weights)
    pairs = [(a, b, weights[a][b]) for b in range(count) for a in range(b) if weights[a][b]]
    return data["published_optimum"], data["lengths"], pairs


def generated(count: int, seed: int, pairs_a_piece: float = 2.0) -> tuple[list[int], Pairs]:
    dice = random.Random(seed)  # noqa: S311
    widths = [dice.randint(150, 900) for _ in range(count)]
    pairs: Pairs = []
    while len(pairs) < pairs_a_piece * count:
        a, b = dice.sample(range(count), 2)
        pairs.append((a, b, dice.randint(1, 5)))
    return widths, pairs
