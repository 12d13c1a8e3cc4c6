"""Generated hangs like those of real exhibitions, from a seed: sections in order along walls that
differ in light and strength, labels, pieces that belong together and pairs kept apart."""

from __future__ import annotations

import random
from typing import Any

LIGHT = (50, 100, 200)
STRONG_KG = (15, 40)


def exhibition(
    pieces: int, walls: int, seed: int, *, planted: bool, kind: str = "by_section"
) -> dict[str, Any]:
    """Return a problem with a right answer; a planted one can be hung with equal gaps.

    Pieces are drawn wall by wall, so limits can be kept. Each wall is as long as its pieces need
    at a gap of 180 mm; without a planted answer its length then changes by up to 400 mm.
    """
    dice = random.Random(seed)  # noqa: S311
    gap = 180
    sections = max(2, walls - 1 + dice.randint(0, 2))
    section_of = [str(1 + n * sections // pieces) for n in range(pieces)]
    share = pieces / walls
    cuts = [round(share * n + dice.uniform(-share / 4, share / 4)) for n in range(1, walls)]
    rooms, things = [], []
    for number, (start, stop) in enumerate(zip([0, *cuts], [*cuts, pieces], strict=True)):
        lux, strong = dice.choice(LIGHT), dice.choice(STRONG_KG)
        length = gap
        for n in range(start, stop):
            thing = _piece(f"P{n}", section_of[n], dice, lux, strong)
            label = thing["label"]
            length += thing["width_mm"] + gap
            length += label["width_mm"] + label["gap_mm"] if label else 0
            things.append(thing)
        if not planted:
            length += dice.randint(-400, 400)
        rooms.append(
            {
                "id": f"W{number}",
                "length_mm": length,
                "height_mm": 3600,
                "zones": [{"from_mm": 0, "to_mm": length, "lux": lux}],
                "fixings": [
                    {
                        "from_mm": 0,
                        "to_mm": length,
                        "max_kg_per_object": strong,
                        "max_kg_per_m": 60,
                    }
                ],
            }
        )
    together = [
        [f"P{n}", f"P{n + 1}"]
        for n in range(5, pieces - 1, 17)
        if section_of[n] == section_of[n + 1] and n + 1 not in cuts
    ]
    apart = [
        {"pieces": [f"P{n}", f"P{n + 3}"], "at_least_mm": 900} for n in range(9, pieces - 3, 23)
    ]
    dice.shuffle(things)
    rule = {
        "kind": kind,
        "min_gap_mm": 60,
        "sections": [str(n + 1) for n in range(sections)],
        "datum_mm": 1500,
    }
    return {
        "walls": rooms,
        "pieces": things,
        "together": together,
        "apart": apart,
        "arrangement": rule,
    }


def _piece(
    name: str, section: str, dice: random.Random, lux: int, strong_kg: int
) -> dict[str, Any]:
    width = round(dice.lognormvariate(6.1, 0.45))
    bears = [limit for limit in LIGHT if limit >= lux]
    label = {"width_mm": 150, "height_mm": 100, "side": "right", "gap_mm": 40}
    return {
        "id": name,
        "width_mm": min(1800, max(120, width)),
        "height_mm": dice.randint(150, 1400),
        "section": section,
        "mass_g": dice.randint(300, 14_000 if strong_kg == 15 or dice.random() < 0.9 else 38_000),
        "max_lux": dice.choice([*bears, None]),
        "label": label if dice.random() < 0.7 else None,
    }
