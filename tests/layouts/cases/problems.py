"""Showcases and objects for tests and measurements: small, readable, and generated from a seed."""

from __future__ import annotations

import random
from typing import Any

# Invented groups of objects: what climate they bear, what tags they carry, how much light.
GROUPS = (
    ("iron", (10, 35), ("bare metal",), 300),
    ("lead", (30, 50), ("lead",), 300),
    ("oak", (45, 60), ("acid",), 150),
    ("dyed", (45, 55), ("wool", "dyed"), 50),
    ("silver", (35, 50), ("silver",), 300),
    ("clay", (20, 65), (), 300),
)
RULES = (
    {"tags": ["lead", "acid"], "reason": "organic acids corrode lead"},
    {"tags": ["silver", "wool"], "reason": "sulphur from wool tarnishes silver"},
    {"tags": ["silver", "acid"], "reason": "acids tarnish silver"},
    {"tags": ["lead", "wool"], "reason": "fibres hold damp at lead"},
    {"tags": ["silver", "lead"], "reason": "different cleaning"},
    {"tags": ["dyed", "acid"], "reason": "acids change dyes"},
)
EXTRA = ("waxed", "oiled", "gilt", "painted", "plain", "plain")
EXTRA_RULES = (
    {"tags": ["waxed", "painted"], "reason": "wax blooms on paint"},
    {"tags": ["oiled", "gilt"], "reason": "oil vapour dulls gilding"},
)


def kind(name: str = "case", count: int = 4, **more: Any) -> dict[str, Any]:
    return {
        "id": name,
        "count": count,
        "width_mm": 1200,
        "depth_mm": 500,
        "height_mm": 800,
        "glazed": ["front", "left", "right", "top"],
        **more,
    }


def thing(name: str, width: int = 200, depth: int = 150, height: int = 250, **more: Any) -> Any:
    return {"id": name, "width_mm": width, "depth_mm": depth, "height_mm": height, **more}


def problem(kinds: list[Any], objects: list[Any], **more: Any) -> dict[str, Any]:
    return {"kinds": kinds, "objects": objects, **more}


def showcases(count: int, seed: int, **more: Any) -> dict[str, Any]:
    """Return objects of which 65 to 80 % of all pairs may share no case, and one kind of case."""
    dice = random.Random(seed)  # noqa: S311
    weights = [dice.randint(3, 6) for _ in GROUPS[:5]] + [1]
    objects = []
    for n in range(count):
        _, band, tags, lux = dice.choices(GROUPS, weights)[0]
        low, high = band
        objects.append(
            thing(
                f"O{n}",
                min(600, max(40, round(dice.lognormvariate(5.1, 0.5)))),
                min(350, max(40, round(dice.lognormvariate(4.9, 0.45)))),
                min(700, max(30, round(dice.lognormvariate(5.2, 0.5)))),
                mass_g=dice.randint(100, 6000),
                turns=dice.random() < 0.8,
                max_lux=dice.choice([lux, lux, None]),
                climate={"low_percent": low, "high_percent": high},
                tags=[*tags, dice.choice(EXTRA)],
                section=str(1 + 5 * n // count),
                security=dice.choice([0, 0, 0, 1]),
            )
        )
    shelf = {"depth_mm": 420, "lowest_mm": 250, "highest_mm": 900, "step_mm": 25, "max_g": 40_000}
    pairs = [dice.sample(range(count), 2) for _ in range(count // 2)]
    case = kind(
        "large",
        max(14, count // 6),
        width_mm=1500,
        depth_mm=550,
        height_mm=1000,
        security=1,
        lux=[50, 150, 300],
        climates=[
            {"low_percent": low, "high_percent": high}
            for low, high in ((15, 30), (35, 45), (45, 50), (48, 55))
        ],
        shelves=[shelf],
        max_g=150_000,
    )
    return {
        "kinds": [case],
        "objects": objects,
        "conflicts": [
            *(dict(rule) for rule in (*RULES, *EXTRA_RULES)),
            *({"objects": [f"O{a}", f"O{b}"], "reason": "lenders' wish"} for a, b in pairs),
        ],
        "sections": ["1", "2", "3", "4", "5"],
        "clearances": {"between_mm": 20, "glass_mm": 15, "above_mm": 30},
        "display": {"label_strip_mm": 40},
        **more,
    }
