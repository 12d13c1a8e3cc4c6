"""A coarse question that is quick to deny: pieces of one section and one set of runs flow as sand.

If not even sand fits a band of gaps, no pieces do. With the band given, a piece in a run takes its
width and one gap, so one number of millimetres is enough for each side of the band.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

from layouts.search.model import Task
from layouts.search.options import fits
from layouts.search.solver import Allowance

MOST_WORK = 1.0
ORDER_WORK = 4.0


def denied(task: Task, band: tuple[int, int], allowance: Allowance) -> bool:
    """Tell whether it is certain that no hang has all its gaps in the band."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    groups = _groups(task)
    if groups is None:
        return True
    flags = _presence(model, task, groups)
    least, most = band
    rule = task.problem.arrangement
    _flow(model, task, groups, flags, least)
    bounded = rule.max_gap_mm is None and rule.section_gap_mm is None and rule.ends != "free"
    if bounded and most < max(run.length_mm for run in task.runs):
        must = [r for r in range(len(task.runs)) if least >= task.needed_mm[r]]
        _flow(model, task, groups, flags, most + 1, must)
    _, status = allowance.solve(model, most=MOST_WORK)
    return bool(status == cp_model.INFEASIBLE)


def section_order(
    task: Task, gap_mm: int, seed: int, allowance: Allowance
) -> tuple[str, ...] | None:
    """Return an order in which sections, as sand, follow each other with at least this gap."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    groups = _groups(task)
    if groups is None:
        return None
    flags = _presence(model, task, groups)
    _flow(model, task, groups, flags, gap_mm)
    names = list(dict.fromkeys(section for section, _ in groups))
    begun, ended = _unbroken(model, task, names, flags)
    for one, other in combinations(names, 2):
        earlier = model.new_bool_var("")
        for r in range(len(task.runs)):
            model.add_bool_or([earlier.negated(), begun[other, r].negated(), ended[one, r]])
            model.add_bool_or([earlier, begun[one, r].negated(), ended[other, r]])
    seeded = replace(allowance, seed=seed)
    solver, status = seeded.solve(model, most=ORDER_WORK)
    allowance.work = seeded.work
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    held = {
        name: [r for r in range(len(task.runs)) if solver.value(flags[name, r])] for name in names
    }
    ranked = sorted(names, key=lambda name: (min(held[name]), max(held[name])))
    return tuple(name for name in ranked if name is not None)


def _groups(task: Task) -> dict[tuple[str | None, frozenset[int]], tuple[int, int]] | None:
    """Return width and count of blocks by section and bearing runs; None if one fits nowhere."""
    found: dict[tuple[str | None, frozenset[int]], tuple[int, int]] = {}
    for block in task.blocks:
        bears = frozenset(
            r
            for r, run in enumerate(task.runs)
            if all(
                any(fits(p, cell, run, task.demands) for cell in task.cells if cell.run == r)
                for p in block.pieces
            )
        )
        if not bears:
            return None
        key = (block.section, bears)
        width, count = found.get(key, (0, 0))
        found[key] = (width + block.width_mm, count + block.count)
    return found


def _presence(model: Any, task: Task, groups: dict[Any, Any]) -> dict[tuple[str | None, int], Any]:
    """Return a flag for each section and run, kept in the order asked for."""
    names = list(dict.fromkeys(section for section, _ in groups))
    runs = range(len(task.runs))
    flags = {(name, r): model.new_bool_var("") for name in names for r in runs}
    sections = task.problem.arrangement.sections
    if task.problem.arrangement.kind != "by_section" or not sections or not task.demands.order:
        return flags
    begun, ended = _unbroken(model, task, names, flags)
    for one, other in pairwise([name for name in sections if name in names]):
        for r in runs:
            model.add_implication(begun[other, r], ended[one, r])
    return flags


def _unbroken(
    model: Any, task: Task, names: list[str | None], flags: dict[tuple[str | None, int], Any]
) -> tuple[dict[Any, Any], dict[Any, Any]]:
    """Return whether each section has begun, and ended, by each run; between, none is closed."""
    runs = range(len(task.runs))
    begun = {(n, r): model.new_bool_var("") for n in names for r in runs}
    ended = {(n, r): model.new_bool_var("") for n in names for r in runs}
    for name in names:
        for a, b in pairwise(runs):
            model.add_implication(begun[name, a], begun[name, b])
            model.add_implication(ended[name, a], ended[name, b])
        for r in runs:
            model.add_implication(flags[name, r], begun[name, r])
            if r:
                model.add_implication(flags[name, r], ended[name, r - 1].negated())
    return begun, ended


def _flow(
    model: Any,
    task: Task,
    groups: dict[Any, tuple[int, int]],
    flags: dict[tuple[str | None, int], Any],
    gap_mm: int,
    filled: list[int] | None = None,
) -> None:
    """Let no run hold more than its length at this gap, or have each of `filled` hold more."""
    rule = task.problem.arrangement
    into: list[list[Any]] = [[] for _ in task.runs]
    for (section, bears), (width, count) in groups.items():
        total = 2 * (width + count * gap_mm)
        parts = []
        for r in sorted(bears):
            part = model.new_int_var(0, total, "")
            model.add(part == 0).only_enforce_if(flags[section, r].negated())
            parts.append(part)
            into[r].append(part)
        model.add(sum(parts) == total)
    for r, run in enumerate(task.runs):
        ends = run.left + run.right
        if rule.ends == "free" and gap_mm > rule.min_gap_mm:
            ends = 4
        room = 2 * run.length_mm - gap_mm * (ends - 2)
        if filled is None:
            model.add(sum(into[r]) <= max(0, room))
        elif r in filled:
            model.add(sum(into[r]) >= room + 1)
