"""Borders of light and load within a run: each falls into a gap, or into what bears both sides.

Here a gap must be known, not only its band: cases divide the band, the narrowest near its least.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from layouts.search.model import Model, Sums

CASES = 6
MM = 16
"""Positions within a run are counted in sixteenths of a millimetre, gaps in eighths."""


@dataclass(frozen=True)
class _Case:
    """While `when` holds, gaps lie from `low` to `high` eighths of a mm; `centred` rows are free
    of their margins."""

    when: Any
    low: int
    high: int
    centred: bool


def _cases(build: Model, r: int, twice_free: Any, units: Any) -> list[_Case]:
    rule, model = build.task.problem.arrangement, build.model
    least, most = build.band
    cap = rule.max_gap_mm
    if rule.ends == "free":
        gap = least if cap is None else min(least, cap)
        return [_Case(build.used[r], 8 * gap, 8 * gap, True)]
    cases = []
    if cap is not None and most >= cap:
        centred = model.new_bool_var("")
        model.add(twice_free >= cap * units).only_enforce_if(centred)
        cases.append(_Case(centred, 8 * cap, 8 * cap, True))
        most = cap - 1
    for low, high in _parts_of_band(least, most):
        when = model.new_bool_var("")
        model.add(8 * twice_free >= low * units).only_enforce_if(when)
        model.add(8 * twice_free <= high * units).only_enforce_if(when)
        cases.append(_Case(when, low, high, False))
    model.add_exactly_one([*(case.when for case in cases), build.used[r].negated()])
    return cases


def _parts_of_band(least: int, most: int) -> Iterator[tuple[int, int]]:
    """Divide a band into narrow parts first: near the least gap is where answers are sought."""
    low, end = 8 * least, 8 * (most + 1)
    if end <= low:
        return
    step = max(1, (end - low) // CASES) if end - low <= 32 * CASES else 8
    while low < end:
        high = min(end, low + step)
        yield low, high
        if end - low > 32 * CASES:
            step *= 2
        low = high


def keep_borders(build: Model, r: int, whole: Sums, twice_free: Any, units: Any) -> None:
    """Let each border between cells fall into a gap, or into a block that bears both sides."""
    task, model = build.task, build.model
    if task.lenient and task.problem.arrangement.ends == "free":
        return  # the one gap of all rows may be any of the band: where borders fall is not known
    cases = _cases(build, r, twice_free, units)
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
    case: _Case,
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
