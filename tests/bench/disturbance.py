"""Measure hanging again after one change: `python -m tests.bench.disturbance [PIECES WALLS SEEDS]`.

Hangs generated exhibitions, changes one thing or several in each, and hangs again with the previous
answer. Prints seconds of the processor, how many leave and how far all go; for a change of size
also the seconds and the way of hanging afresh, as ratios to that.
"""

from __future__ import annotations

import random
import sys
import time
from copy import deepcopy
from typing import Any

from layouts import Solution, solve
from layouts.bench.instances import exhibition

CHANGES = ("size", "large size", "three large", "withdrawn", "added", "dimmed", "five dimmed")
MANY = {"three": 3, "five": 5}
SECONDS = 10


def main(pieces: int, walls: int, seeds: int) -> None:
    solve(exhibition(8, 2, 0, planted=True))
    print(f"{pieces} pieces, {walls} walls")
    print("seed   change       seconds  relocated    mm in all  status     afresh: s        mm")
    for seed in range(seeds):
        for planted in (True, False):
            data = exhibition(pieces, walls, seed, planted=planted)
            first = solve(data, seconds=SECONDS).to_dict()
            for change in CHANGES:
                after = changed(data, change, random.Random(seed))  # noqa: S311
                _compare(f"{seed} {'p' if planted else 'r'}", change, after, first)


def _compare(name: str, change: str, after: dict[str, Any], first: dict[str, Any]) -> None:
    kept, seconds = _timed(after | {"previous": first})
    if not kept.placements:
        print(f"{name:6} {change:12} {seconds:7.3f}  no hang", flush=True)
        return
    m, ratios = kept.measures, ""
    if change == CHANGES[0] and m.moved_mm:
        afresh, longer = _timed(after)
        far = _moved_mm(after, first, afresh) / m.moved_mm
        ratios = f"{longer / seconds:9.1f} {far:9.1f}"
    print(
        f"{name:6} {change:12} {seconds:7.3f}  {m.relocated:9}  {m.moved_mm:11,}  "
        f"{kept.status:10}{ratios}",
        flush=True,
    )


def _timed(data: dict[str, Any]) -> tuple[Solution, float]:
    began = time.process_time()
    answer = solve(data, seconds=SECONDS)
    return answer, time.process_time() - began


def _moved_mm(data: dict[str, Any], first: dict[str, Any], afresh: Solution) -> int:
    begins, at = {}, 0
    for wall in data["walls"]:
        begins[wall["id"]] = at
        at += wall["length_mm"]
    before = {row["id"]: begins[row["wall"]] + row["x_mm"] for row in first["placements"]}
    return sum(
        abs(begins[p.wall] + p.x_mm - before[p.id]) for p in afresh.placements if p.id in before
    )


def changed(data: dict[str, Any], change: str, dice: random.Random) -> dict[str, Any]:
    """Return the hang with one thing changed, or three or five of a kind."""
    first, _, rest = change.partition(" ")
    if first in MANY:
        for _ in range(MANY[first]):
            data = changed(data, "large size" if rest == "large" else rest, dice)
        return data
    after = deepcopy(data)
    some = dice.choice(after["pieces"])
    if change == "size":
        some["width_mm"] = max(100, some["width_mm"] + dice.randint(-100, 200))
    elif change == "large size":
        some["width_mm"] += dice.randint(1500, 2300)
    elif change == "dimmed":
        some["max_lux"] = 50
    elif change == "added":
        after["pieces"].append(some | {"id": "New"})
    else:
        name = some["id"]
        after["pieces"].remove(some)
        after["together"] = [group for group in after["together"] if name not in group]
        after["apart"] = [rule for rule in after["apart"] if name not in rule["pieces"]]
    return after


if __name__ == "__main__":
    main(*(int(word) for word in (sys.argv[1:] or ["120", "8", "5"])))
