"""Sections whose order is free: an order in which they could follow each other as sand.

Several such orders are followed along the runs; the one that allows the largest gap is kept. A hang
in that order is a hang; that there is none says nothing of other orders.
"""

from __future__ import annotations

from dataclasses import replace

from layouts.search.chain import Chain, chain_of
from layouts.search.fluid import section_order
from layouts.search.model import Task
from layouts.search.solver import Allowance
from layouts.search.walk import Walk

ORDERS = 6
LEAST_UNDER_MM = 3
SHARE_OF_WORK = 0.4


def in_some_order(task: Task, gap_mm: int, allowance: Allowance) -> Chain | None:
    """Return a chain of sections in the best order met, or None where that does not apply."""
    rule = task.problem.arrangement
    if rule.kind != "by_section" or rule.sections or rule.order or task.bordered or task.homes:
        return None
    widest = max((run.length_mm for run in task.runs), default=0)
    best, lost = None, gap_mm - rule.min_gap_mm + 1
    under, enough = LEAST_UNDER_MM, allowance.work * (1 - SHARE_OF_WORK)
    for seed in range(ORDERS):
        names = section_order(task, max(rule.min_gap_mm, gap_mm - under), seed, allowance)
        if names is None:
            under *= 2
            continue
        ordered = replace(task.problem, arrangement=replace(rule, sections=names))
        chain = chain_of(replace(task, problem=ordered), certain=False)
        if chain is None:
            return None
        step = 0
        while step < lost and Walk(chain, (gap_mm - step, widest)).denied:
            step = max(1, 2 * step)
        if step < lost:
            best, lost = chain, step
        if lost <= 1 or allowance.work < enough or allowance.spent:
            break
    return best
