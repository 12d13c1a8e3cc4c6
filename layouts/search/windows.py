"""Where sections must come when many follow each other along many runs."""

from __future__ import annotations

from layouts.search.model import Task

AROUND = 1


def windows_of(task: Task, gap_mm: int) -> tuple[tuple[int, int], ...] | None:
    """Return for each block the first and last run near where its section comes at equal gaps.

    Only when the order of sections is given. A window that yields nothing proves nothing.
    """
    rule = task.problem.arrangement
    if rule.kind != "by_section" or not rule.sections:
        return None
    ends, at = [], 0
    for run in task.runs:
        at += run.length_mm - gap_mm
        ends.append(at)
    need = dict.fromkeys(rule.sections, 0)
    for block in task.blocks:
        need[block.section or ""] += block.width_mm + block.count * gap_mm
    spans, at = {}, 0
    last = len(ends) - 1
    for name in rule.sections:
        first = next((r for r, end in enumerate(ends) if end > at), last)
        at += need[name]
        final = next((r for r, end in enumerate(ends) if end >= at), last)
        spans[name] = (max(0, first - AROUND), min(last, final + AROUND))
    return tuple(spans[block.section or ""] for block in task.blocks)
