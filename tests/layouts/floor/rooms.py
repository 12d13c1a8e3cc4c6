"""Rooms with known answers, and others drawn at random. Invented, lengths in mm."""

from __future__ import annotations

import random
from typing import Any


def doors(width_mm: int, deep_mm: int, *, clear_mm: int = 1000) -> list[dict[str, Any]]:
    """Return an entrance in the middle of the lower wall and an exit in that of the upper."""
    along = (width_mm - clear_mm) // 2
    return [
        {"id": "in", "wall": 4, "along_mm": along, "width_mm": clear_mm, "role": "entrance"},
        {"id": "out", "wall": 2, "along_mm": along, "width_mm": clear_mm, "role": "exit"},
    ]


def outline(width_mm: int, deep_mm: int) -> list[list[int]]:
    return [[0, 0], [0, deep_mm], [width_mm, deep_mm], [width_mm, 0]]


def box(key: str, x: int, y: int, width: int, depth: int, **more: Any) -> dict[str, Any]:
    row = {"id": key, "width_mm": width, "depth_mm": depth, "height_mm": 1100}
    return {**row, "x_mm": x, "y_mm": y, **more}


def two_plinths(gap_mm: int, long_mm: int) -> dict[str, Any]:
    """Return a room closed by two plinths but for a gap as long as they are deep."""
    width = 3000 + gap_mm
    return {
        "outline": outline(width, 8000),
        "doors": doors(width, 8000),
        "pieces": [
            box("A", 750, 4000, 1500, long_mm),
            box("B", width - 750, 4000, 1500, long_mm),
        ],
    }


def in_a_row(gap_mm: int, long_mm: int, between_mm: int) -> dict[str, Any]:
    """Return a room with two such gaps one after the other."""
    width = 3000 + gap_mm
    up = 3000 + long_mm + between_mm
    return {
        "outline": outline(width, 9000),
        "doors": doors(width, 9000),
        "pieces": [
            box(f"{side}{n}", x, y, 1500, long_mm)
            for n, y in ((1, 3000), (2, up))
            for side, x in (("A", 750), ("B", width - 750))
        ],
    }


def round_a_case(case_mm: int, beside_mm: int, end_mm: int) -> dict[str, Any]:
    """Return a room in which the way leads up one side of a case and down the other.

    The case stands against the lower wall between entrance and exit.
    """
    width = case_mm + 2 * beside_mm
    deep = 4000 + end_mm
    return {
        "outline": outline(width, deep),
        "doors": [
            {"id": "in", "wall": 4, "along_mm": width - 910, "width_mm": 900, "role": "entrance"},
            {"id": "out", "wall": 4, "along_mm": 10, "width_mm": 900, "role": "exit"},
        ],
        "pieces": [box("case", width // 2, 2000, case_mm, 4000, kind="showcase")],
    }


def at_random(seed: int, *, width_mm: int = 4000, deep_mm: int = 6000) -> dict[str, Any]:
    """Return a room with up to a dozen pieces in its middle, clear of both doors."""
    dice = random.Random(seed)  # noqa: S311
    pieces = []
    for n in range(dice.randint(3, 12)):
        kind = dice.random()
        size = (dice.randrange(100, 1300, 2), dice.randrange(100, 900, 2))
        x, y = dice.randint(0, width_mm), dice.randint(2400, deep_mm - 2400)
        more = {"turn_deg": dice.choice([0, 0, 45, 90, dice.randint(0, 179)])}
        if kind < 0.3:
            size, more = (size[0], size[0]), {"shape": "round"}
        pieces.append(box(f"P{n}", x, y, *size, **more))
    return {
        "outline": outline(width_mm, deep_mm),
        "doors": doors(width_mm, deep_mm),
        "pieces": pieces,
    }
