"""Pieces to pack for tests and measurements, and what a general packing library makes of them."""

from __future__ import annotations

import json
import math
import random
from importlib import import_module
from pathlib import Path
from typing import Any

from layouts.bench.published_packings import PUBLISHED
from layouts.clustering.measure import Place, Size

NAMES = (
    *("MaxRectsBssf", "MaxRectsBl", "MaxRectsBaf", "SkylineBl", "SkylineMwf"),
    *("SkylineMwfl", "SkylineBlWm", "SkylineMwfWm", "GuillotineBssfSas", "GuillotineBafMaxas"),
)
SORTS = ("SORT_AREA", "SORT_SSIDE", "SORT_LSIDE", "SORT_PERI")
MISSING = "Install rectpack, a general packing library, to compare with it: pip install rectpack."


def rectpack() -> Any:
    """Return the packing library; raises ImportError with what to install."""
    try:
        return import_module("rectpack")
    except ImportError as error:
        raise ImportError(MISSING) from error


def published(name: str) -> tuple[int, int, list[Size]]:
    """Return the width of the strip, the least height and the rectangles."""
    width, height, words = PUBLISHED[name]
    pairs = (word.split("x") for word in words.split())
    return width, height, [(int(w), int(h)) for w, h in pairs]


def read_published(path: Path) -> tuple[int, int, list[Size]]:
    """Read `strip_width`, `optimal_height` and `items` from a JSON file."""
    data = json.loads(path.read_text())
    return data["strip_width"], data["optimal_height"], [(w, h) for w, h in data["items"]]


def generated(count: int, seed: int) -> list[Size]:
    dice = random.Random(seed)  # noqa: S311
    return [(dice.randint(150, 900), dice.randint(150, 900)) for _ in range(count)]


def by_library(sizes: list[Size], width: int) -> tuple[int, list[Place]] | None:
    """Return the lowest of forty packings in a strip: ten ways to place, four orders."""
    library = rectpack()
    best: tuple[int, list[Place]] | None = None
    for packer in NAMES:
        for order in SORTS:
            ways = {"pack_algo": getattr(library, packer), "sort_algo": getattr(library, order)}
            bins = library.newPacker(**ways, rotation=False)
            for number, (w, h) in enumerate(sizes):
                bins.add_rect(w, h, rid=number)
            bins.add_bin(width, 1 + sum(h for _, h in sizes))
            bins.pack()
            placed = sorted((number, x, y) for _, x, y, _, _, number in bins.rect_list())
            if len(placed) < len(sizes):
                continue
            height = max(y + sizes[number][1] for number, _, y in placed)
            if best is None or height < best[0]:
                best = height, [(x, y) for _, x, y in placed]
    return best


def group_by_library(sizes: list[Size], gap: int, tries: int = 8) -> tuple[float, list[Place]]:
    """Return how much of its box the library's tightest group fills, and the places.

    Each piece takes its gap with it; the box is about as wide as high.
    """
    taken = [(w + gap, h + gap) for w, h in sizes]
    area = sum(w * h for w, h in taken)
    best: tuple[float, list[Place]] = (0.0, [])
    for n in range(tries):
        width = int(math.sqrt(area * (0.7 + n / tries)))
        found = by_library(taken, width) if width >= max(w for w, _ in taken) else None
        if found:
            used = max(x + w for (x, _), (w, _) in zip(found[1], taken, strict=True))
            best = max(best, (area / (used * found[0]), found[1]))
    return best
