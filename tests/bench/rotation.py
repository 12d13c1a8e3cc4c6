"""Compare the search with rotating by hand: `python -m tests.bench.rotation`.

By hand: at each changeover leave what may stay, else take the object shown least so far. Prints,
for 60 objects at 12 places over 24 months, the effort of both and their ratio, the places times
months that stay empty by hand, what no plan can undercut, and seconds of the processor, which do
not count what else the machine does.
"""

import random
import time
from typing import Any

from conservation.rotation import Problem, check, solve
from conservation.rotation.greedy import by_hand
from conservation.rotation.model import cost_of
from conservation.rotation.steps import Steps, sets_of
from conservation.rotation.stretches import Reach

OBJECTS, PLACES, MONTHS = 60, 12, 24
SETS = (12, 6, 4, 3, 1)
SEEDS = range(3)


def generated(sets: int, seed: int) -> dict[str, Any]:
    """Return a rotation of sensitive objects: yearly budgets, longest stays, rests, a few loans."""
    dice = random.Random(seed)  # noqa: S311
    objects = [
        {
            "id": f"O{n}",
            "set": f"S{n % sets}",
            "max_lux": dice.choice([50, 50, 80, None]),
            "budgets": [{"lux_hours": dice.choice([40_000, 50_000, 75_000]), "any_days": 365}],
            "longest_days": dice.choice([90, 120, 180]),
            "rest_days": dice.choice([60, 90, 180, 270]),
            "away": [{"from_day": 300, "to_day": 420}] if dice.random() < 0.1 else [],
            "effort": dice.choice([1, 2, 3]),
        }
        for n in range(OBJECTS)
    ]
    places = [
        {"id": f"P{n}", "set": f"S{n % sets}", "lux": dice.choice([40, 50, 50]), "glass": True}
        for n in range(PLACES)
    ]
    return {
        "days": 30 * MONTHS,
        "every_days": 30,
        "hours_a_day": 8,
        "objects": objects,
        "places": places,
    }


def hand(problem: Problem) -> tuple[int, int]:
    """Return effort and empty places times months of rotating by hand."""
    effort = empty = 0
    steps = Steps(problem)
    for here in sets_of(problem):
        rows, missing = by_hand(Reach(steps, here))
        effort += cost_of(here, rows)
        empty += missing
    return effort, empty


def main() -> None:
    """Print one line for each instance."""
    solve(generated(12, 0))
    print("sets seed status     effort bound  gap%  by hand empty  search:hand  cpu s  wall s")
    for sets in SETS:
        for seed in SEEDS:
            problem = Problem.from_dict(generated(sets, seed))
            wall, cpu = time.perf_counter(), time.process_time()
            plan = solve(problem)
            cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
            if plan.stays and (faults := check(problem, plan)):
                raise SystemExit(faults[0].sentence)
            effort, empty = hand(problem)
            ratio = plan.measures.effort / effort if plan.stays and effort else float("nan")
            print(
                f"{sets:4} {seed:4} {plan.status:10} {plan.measures.effort:6} "
                f"{plan.bound.effort:5} {plan.gap_percent:5.1f} {effort:8} {empty:5} "
                f"{ratio:12.2f} {cpu:6.1f} {wall:7.1f}"
            )


if __name__ == "__main__":
    main()
