"""Prove whether a set of objects stands in one case, with CP-SAT, within a limit of work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from layouts.cases.packing import Layout, Spot
from layouts.cases.surfaces import Surface, headroom_mm
from layouts.cases.task import Task

MOST_THINGS = 24


def stand_all(
    task: Task, k: int, numbers: Sequence[int], *, work: float, seconds: float, seed: int = 0
) -> Layout | None:
    """Return where all things stand in a case of kind k, None if they provably cannot.

    Raises TimeoutError when neither is known within the work allowed.
    """
    from ortools.sat.python import cp_model

    if len(numbers) > MOST_THINGS:
        raise TimeoutError("Too many objects for a proof.")
    model = cp_model.CpModel()
    heights = _heights(model, task, k)
    boxes = {n: _box(model, task, k, n, heights) for n in numbers}
    gap = task.problem.clearances.between_mm
    for surface in task.surfaces[k]:
        here = {n: box[surface.number] for n, box in boxes.items() if surface.number in box}
        if len(here) > 1:
            model.add_no_overlap_2d(
                [part["x_span"] for part in here.values()],
                [part["y_span"] for part in here.values()],
            )
        ground = (surface.width_mm + gap) * (surface.depth_mm + gap)
        model.add(
            sum(
                (task.things[n].width_mm + gap) * (task.things[n].depth_mm + gap) * part["on"]
                for n, part in here.items()
            )
            <= ground
        )
        if surface.max_g is not None:
            load = sum(task.things[n].mass_g * part["on"] for n, part in here.items())
            model.add(load <= surface.max_g)
    for box in boxes.values():
        model.add_exactly_one([part["on"] for part in box.values()])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise TimeoutError("Neither a way to stand nor a proof of none was found.")
    return tuple(
        _spot(solver, surface, n, box[surface.number])
        for n, box in boxes.items()
        for surface in task.surfaces[k]
        if surface.number in box and solver.value(box[surface.number]["on"])
    )


def _heights(model: Any, task: Task, k: int) -> list[tuple[Any, Any]]:
    """Return for each surface its height as a variable, and whether it is in use."""
    kind = task.kinds[k]
    found = [(model.new_constant(0), model.new_constant(1))]
    for shelf in kind.shelves:
        steps = model.new_int_var(0, (shelf.highest_mm - shelf.lowest_mm) // shelf.step_mm, "")
        found.append((shelf.lowest_mm + steps * shelf.step_mm, model.new_bool_var("")))
    for a in range(len(found)):
        for b in range(a + 1, len(found)):
            thick = kind.shelves[b - 1].thickness_mm
            apart = found[a][0] + thick <= found[b][0]
            model.add(apart).only_enforce_if([found[a][1], found[b][1]])
    return found


def _box(
    model: Any, task: Task, k: int, n: int, heights: list[tuple[Any, Any]]
) -> dict[int, dict[str, Any]]:
    thing, kind = task.things[n], task.kinds[k]
    gap, above = task.problem.clearances.between_mm, task.problem.clearances.above_mm
    turned = model.new_bool_var("") if thing.turns else model.new_constant(0)
    if thing.x_mm is not None:
        model.add(turned == int(thing.turned))
    wide = thing.width_mm + gap + (thing.depth_mm - thing.width_mm) * turned
    deep = thing.depth_mm + gap + (thing.width_mm - thing.depth_mm) * turned
    parts: dict[int, dict[str, Any]] = {}
    for surface in task.surfaces[k]:
        if not surface.holds(thing) or thing.shelf not in (None, surface.number):
            continue
        on = model.new_bool_var("")
        x = model.new_int_var(0, surface.width_mm, "")
        y = model.new_int_var(0, surface.depth_mm, "")
        x_end = model.new_int_var(0, surface.width_mm + gap, "")
        y_end = model.new_int_var(0, surface.depth_mm + gap, "")
        model.add(x_end == x + wide).only_enforce_if(on)
        model.add(y_end == y + deep).only_enforce_if(on)
        if thing.x_mm is not None and thing.y_mm is not None:
            model.add(x == thing.x_mm - surface.left_mm).only_enforce_if(on)
            model.add(y == thing.y_mm - surface.front_mm).only_enforce_if(on)
        low, in_use = heights[surface.number]
        model.add_implication(on, in_use)
        top = headroom_mm(kind, task.problem)
        model.add(low + thing.height_mm + above <= top).only_enforce_if(on)
        for number in range(surface.number + 1, len(heights)):
            lid, lid_in_use = heights[number]
            thick = kind.shelves[number - 1].thickness_mm
            clear = low + thing.height_mm + above + thick <= lid
            model.add(clear).only_enforce_if([on, lid_in_use])
        parts[surface.number] = {
            "on": on,
            "x": x,
            "y": y,
            "turned": turned,
            "x_span": model.new_optional_interval_var(x, wide, x_end, on, ""),
            "y_span": model.new_optional_interval_var(y, deep, y_end, on, ""),
        }
    return parts


def _spot(solver: Any, surface: Surface, n: int, part: dict[str, Any]) -> Spot:
    return Spot(
        n,
        surface.number,
        solver.value(part["x"]) + surface.left_mm,
        solver.value(part["y"]) + surface.front_mm,
        bool(solver.value(part["turned"])),
    )
