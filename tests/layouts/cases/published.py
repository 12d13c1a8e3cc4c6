"""Published classes of two-dimensional bin packing, made again from their recipe.

Classes 1 to 6 after Berkey and Wang 1987, 7 to 10 after Martello and Vigo 1998; ten instances each
of 20, 40, 60, 80 and 100 rectangles that may not be turned. Recipe and random numbers as in the
generator that Lodi, Martello and Vigo published with "Heuristic and metaheuristic approaches for a
class of two-dimensional bin packing problems", INFORMS Journal on Computing 11, 1999.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

SIDES = {1: (10, 10), 2: (30, 10), 3: (40, 35), 4: (100, 35), 5: (100, 100), 6: (300, 100)}
# Sums over ten instances for 20, 40, 60, 80, 100 rectangles: best values known, from memory.
BEST = {
    1: (71, 134, 200, 275, 317),
    2: (10, 19, 25, 31, 39),
    3: (51, 94, 139, 189, 223),
    4: (10, 19, 23, 30, 37),
    5: (65, 119, 180, 247, 281),
    6: (10, 16, 21, 30, 32),
    7: (55, 111, 158, 232, 271),
    8: (58, 113, 161, 224, 278),
    9: (143, 278, 437, 577, 695),
    10: (42, 74, 100, 128, 158),
}


def _numbers(start: int) -> Callable[[], np.float32]:
    """Draw as the generator does, in numbers of single precision."""
    value = 0

    def following() -> np.float32:
        nonlocal value
        value = (value * 7141 + 54773) % 259200
        return np.float32(value) / np.float32(259200)

    for _ in range(start):
        following()
    return following


def rectangles(number: int, count: int, instance: int) -> tuple[int, list[tuple[int, int]]]:
    """Return the side of the bins and (height, width) of each rectangle; instances 1 to 10."""
    following = _numbers(int(count * instance * 31.47 + 2000) + 1)
    if number <= 6:
        side, most = SIDES[number]
        scale = np.float32(most)
        draw = lambda: int(scale * following()) + 1  # noqa: E731
        return side, [(draw(), draw()) for _ in range(count)]
    wide, tall, large = [(0.7, 0.1, 0.1), (0.1, 0.7, 0.1), (0.1, 0.1, 0.7), (0.1, 0.1, 0.1)][
        number - 7
    ]
    found = []
    for _ in range(count):
        low, high, left, right = 1, 100, 1, 100
        pick = following()
        if pick < wide:
            left, high = 66, 50
        elif pick < wide + tall:
            low, right = 66, 50
        elif pick < wide + tall + large:
            left = low = 50
        else:
            right = high = 50
        height = int(np.float32(high - low + 1) * following()) + low
        found.append((height, int(np.float32(right - left + 1) * following()) + left))
    return 100, found


def as_cases(number: int, count: int, instance: int) -> dict[str, Any]:
    """Return an instance as cases without shelves, glass or conflicts."""
    side, found = rectangles(number, count, instance)
    return {
        "kinds": [
            {
                "id": "bin",
                "count": count,
                "width_mm": side,
                "depth_mm": side,
                "height_mm": 1,
                "glazed": [],
            }
        ],
        "objects": [
            {"id": f"R{n}", "width_mm": w, "depth_mm": h, "height_mm": 1, "turns": False}
            for n, (h, w) in enumerate(found)
        ],
        "clearances": {"between_mm": 0, "glass_mm": 0, "above_mm": 0},
    }
