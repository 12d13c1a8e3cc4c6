"""Borders of light and load within a run: each falls into a gap, or into what bears both sides.

Here a gap must be known, not only its band: `cases.py` says what it may be.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from layouts.search.cases import Case, Free, cases_of, common_cases

if TYPE_CHECKING:
    from layouts.search.model import Model, Sums

MM = 16
"""Positions within a run are counted in sixteenths of a millimetre, gaps in eighths."""


def keep_all_borders(build: Model, frees: Sequence[Free | None]) -> None:
    """Let each border between cells, run by run, fall where it may; `frees` are the runs' own."""
    task = build.task
    free_ends = task.problem.arrangement.ends == "free"
    common = common_cases(build, frees) if free_ends and task.bordered else None
    for r, free in enumerate(frees):
        if free is None or sum(cell.run == r for cell in task.cells) == 1:
            continue
        if not free_ends:
            keep_borders(build, r, free.sums, cases_of(build, r, free))
        elif common is not None:
            keep_borders(build, r, free.sums, common)


def keep_borders(build: Model, r: int, whole: Sums, cases: Sequence[Case]) -> None:
    """Let each border between cells fall into a gap, or into a block that bears both sides."""
    task, model = build.task, build.model
    borders = [c for c, (a, b) in enumerate(pairwise(task.cells)) if a.run == r and b.run == r]
    for c in borders:
        slot = 2 * c + 1
        before = [(v, o) for v, o in build.by_run[r] if o.last < slot]
        first = build.flag([v for v, _ in before])
        after = build.flag([v for v, o in build.by_run[r] if o.first > slot])
        over = [
            (v, crossing)
            for v, o in build.by_run[r]
            for crossing in o.crossings
            if crossing.border == c
        ]
        clear = model.new_bool_var("")
        model.add(sum(v for v, _ in over) + clear == 1)
        for v, o in build.by_run[r]:
            if o.first < slot < o.last:
                for w, other in build.by_run[r]:
                    if o.first < other.first and other.last < o.last:
                        model.add_implication(v, w.negated())
        sums = build.sums(before)
        for case in cases:
            _border(build, r, c, case, whole, sums, over, clear, (first, after))


def _border(
    build: Model,
    r: int,
    c: int,
    case: Case,
    whole: Sums,
    before: Sums,
    over: Sequence[tuple[Any, Any]],
    clear: Any,
    beside: tuple[Any, Any],
) -> None:
    task, model = build.task, build.model
    rule, run, border = task.problem.arrangement, task.runs[r], MM * task.cells[c].to_mm
    section = rule.section_gap_mm
    low, high, safe = (case.high, case.low, -MM) if task.lenient else (case.low, case.high, MM)

    def behind(gap: int, other: int) -> Any:
        """Return where what follows would begin if gaps were `gap`."""
        at = MM * run.from_mm + MM * before.width_mm + 2 * gap * before.count
        if section is not None:
            at += before.changes * (MM * section - 2 * other)
        if not case.centred:
            return at + run.left * gap
        free = run.length_mm - whole.width_mm - (section or 0) * whole.changes
        return at + MM // 2 * free - gap * (whole.count - 1 - whole.changes)

    wider = 0 if section is None else MM * section - 2 * min(case.low, 8 * section)
    begins_low, begins_high = behind(low, high), behind(high, low)
    if task.lenient:
        begins_low, low_more, high_more = begins_low, wider, 0
    else:
        low_more, high_more = 0, wider
    first, after = beside
    model.add(begins_high - 2 * high + safe <= border).only_enforce_if([case.when, clear, first])
    model.add(begins_low + low_more - safe >= border).only_enforce_if([case.when, clear, after])
    from_left = sum(v * (MM * x.low_mm + 2 * high * x.low_gaps) for v, x in over)
    from_right = sum(v * (MM * x.high_mm + 2 * low * x.high_gaps) for v, x in over)
    crossed = [case.when, clear.negated()]
    model.add(begins_high + high_more + from_left + safe <= border).only_enforce_if(crossed)
    model.add(begins_low + low_more + from_right - safe >= border).only_enforce_if(crossed)
