"""Keep an arrangement as it was, as far as what has changed allows."""

from __future__ import annotations

from collections import Counter
from typing import Any

from layouts.cases.greedy import Plan
from layouts.cases.packing import Layout, Space
from layouts.cases.surfaces import lay_shelves
from layouts.cases.task import Task


def homes(task: Task) -> dict[int, str]:
    """Return for each item the case where most of its objects stood, if that case still exists."""
    before = _before(task)
    known = {name for names in task.case_names for name in names}
    found = {}
    for i, item in enumerate(task.items):
        names = Counter(
            before[task.things[n].id]["case"] for n in item.things if task.things[n].id in before
        )
        names = Counter({name: times for name, times in names.items() if name in known})
        if names:
            found[i] = min(names, key=lambda name: (-names[name], name))
    return found


def old_layouts(task: Task) -> dict[str, Layout]:
    """Return where objects stood, case by case, without those that may not stand there any more."""
    before = _before(task)
    found: dict[str, Layout] = {}
    for k, names in enumerate(task.case_names):
        for name in names:
            rows = [row for row in before.values() if row["case"] == name]
            if rows:
                found[name] = _still_standing(task, k, rows)
    return found


def moved(task: Task, plan: Plan) -> int:
    """Return how many objects stand in another case than before."""
    before = _before(task)
    count = 0
    for case in plan.cases:
        for i in case.items:
            for n in task.items[i].things:
                old = before.get(task.things[n].id)
                count += old is not None and old["case"] != case.name
    return count


def rename(task: Task, plan: Plan) -> None:
    """Give each case of a plan the name of the old case of its kind whose objects it holds most."""
    before = _before(task)
    pairs = []
    for c, case in enumerate(plan.cases):
        if any(task.items[i].case for i in case.items):
            continue
        votes = Counter(
            before[task.things[n].id]["case"]
            for i in case.items
            for n in task.items[i].things
            if task.things[n].id in before
        )
        pairs += [
            (-times, c, name) for name, times in votes.items() if name in task.case_names[case.k]
        ]
    promised = {item.case for item in task.items if item.case}
    chosen: dict[int, str] = {}
    for _, c, name in sorted(pairs):
        if c not in chosen and name not in chosen.values() and name not in promised:
            chosen[c] = name
    kept = {c: case.name for c, case in enumerate(plan.cases) if case.name in promised}
    used = {*chosen.values(), *kept.values()}
    for c, case in enumerate(plan.cases):
        if c in chosen or c in kept:
            case.name = chosen.get(c, kept.get(c))
            continue
        case.name = next(name for name in task.case_names[case.k] if name not in used)
        used.add(case.name)


def _before(task: Task) -> dict[str, dict[str, Any]]:
    rows = (task.problem.previous or {}).get("places", [])
    return {row["id"]: row for row in rows if row["id"] in task.number}


def _still_standing(task: Task, k: int, rows: list[dict[str, Any]]) -> Layout:
    spaces = [Space(surface, task) for surface in task.surfaces[k]]
    tallest: dict[int, int] = {}
    for row in rows:
        at, x, y = (int(str(row[key])) for key in ("shelf", "x_mm", "y_mm"))
        n = task.number[str(row["id"])]
        thing = task.things[n]
        turned = bool(row.get("turned"))
        if at >= len(spaces) or (turned and not thing.turns) or thing.shelf not in (None, at):
            continue
        if thing.x_mm is not None and (thing.x_mm, thing.y_mm, thing.turned) != (x, y, turned):
            continue
        tall = {**tallest, at: max(tallest.get(at, 0), thing.height_mm)}
        surface = spaces[at].surface
        if lay_shelves(task.kinds[k], task.problem, tall) is not None and spaces[at].stand(
            n, x - surface.left_mm, y - surface.front_mm, turned
        ):
            tallest = tall
    return tuple(spot for space in spaces for spot in space.spots)
