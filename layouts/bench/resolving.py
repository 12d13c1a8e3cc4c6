"""Hang again after one change, and count what moves."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from copy import deepcopy
from statistics import median
from typing import Any

from layouts.bench.instances import exhibition
from layouts.checks import check
from layouts.problem import Problem
from layouts.solution import Solution
from layouts.solve import solve

Data = dict[str, Any]


def resized(data: Data, dice: random.Random) -> None:
    some = dice.choice(data["pieces"])
    some["width_mm"] = max(100, some["width_mm"] + dice.randint(-80, 120))


def withdrawn(data: Data, dice: random.Random) -> None:
    name = data["pieces"].pop(dice.randrange(len(data["pieces"])))["id"]
    data["together"] = [group for group in data["together"] if name not in group]
    data["apart"] = [rule for rule in data["apart"] if name not in rule["pieces"]]


def added(data: Data, dice: random.Random) -> None:
    some = dice.choice(data["pieces"])
    data["pieces"].append(some | {"id": "New", "width_mm": dice.randint(150, 500)})


CHANGES: tuple[Callable[[Data, random.Random], None], ...] = (resized, withdrawn, added)


def resolve(pieces: int, walls: int, count: int) -> int:
    """Print one line a change and a summary; return how many demands were broken.

    What needs to move is known where the answer is proved: no hang moves fewer, or less far.
    """
    print(f"{pieces} pieces on {walls} walls, hung again after one change.")
    print("exhibition change     seconds  change run/order  only shift  proved  afresh: s  moved")
    seconds, faults, proved, moving = [], 0, 0, 0
    for seed in range(count):
        before = exhibition(pieces, walls, seed, planted=seed % 2 == 0)
        first = solve(before)
        if not first.placements:
            continue
        for change in CHANGES:
            after = deepcopy(before)
            change(after, random.Random(seed))  # noqa: S311
            problem = Problem.from_dict(after | {"previous": first.to_dict()})
            began = time.process_time()
            again = solve(problem)
            seconds.append(time.process_time() - began)
            faults += len(check(problem, again)) if again.placements else 0
            proved += again.status == "optimal"
            moving += again.measures.relocated
            began = time.process_time()
            afresh = solve(after)
            longer = (time.process_time() - began) / seconds[-1]
            print(
                f"{seed:10} {change.__name__:10} {seconds[-1]:7.2f} {again.measures.relocated:18}"
                f"{again.measures.moved - again.measures.relocated:12}"
                f"{'yes' if again.status == 'optimal' else 'no':>8}{longer:10.1f}x"
                f"{_elsewhere(first, afresh):7}",
                flush=True,
            )
    print(
        f"Again: median {median(seconds):.2f} s, slowest {max(seconds):.2f} s; {proved} of "
        f"{len(seconds)} proved to disturb least, {moving} pieces changed run or order in all; "
        f"{faults} demands broken.\n"
    )
    return faults


def _elsewhere(first: Solution, other: Solution) -> int:
    """Return how many pieces hang elsewhere."""
    before = {p.id: (p.wall, p.x_mm) for p in first.placements}
    return sum(before.get(p.id) not in (None, (p.wall, p.x_mm)) for p in other.placements)
