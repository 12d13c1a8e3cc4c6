"""Cases of what a run's gap can be, for questions that a band of gaps leaves open.

A few blocks leave a run few gaps: one for each set of them, each a case of its own. Otherwise cases
divide the band, the narrowest near its least; a `fine` model, asked last, divides all of it finely.
With free ends one gap, in whole mm, is common to all runs: it is the least that any run would have
alone, and each case is one such gap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING, Any

from layouts.search.limits import largest_gap_mm

if TYPE_CHECKING:
    from layouts.search.model import Model, Sums, Task

CASES = 6
FEW_BLOCKS = 8
FINE_MM = 2
FINE_PART = 32
MOST_COMMON = 130


@dataclass(frozen=True)
class Case:
    """While `when` holds, gaps lie from `low` to `high` eighths of a mm; `centred` rows are free
    of their margins."""

    when: Any
    low: int
    high: int
    centred: bool


@dataclass(frozen=True)
class Free:
    """A run's sums, and as expressions twice its free length and its gaps in halves; with free ends
    its margins count as gaps."""

    sums: Sums
    twice_mm: Any
    units: Any


def cases_of(build: Model, r: int, free: Free) -> list[Case]:
    """Return cases of which just one holds while the run is used: all gaps of the band."""
    rule, model = build.task.problem.arrangement, build.model
    least, most = build.band
    cap = rule.max_gap_mm
    cases = []
    if cap is not None and most >= cap:
        centred = model.new_bool_var("")
        model.add(free.twice_mm >= cap * free.units).only_enforce_if(centred)
        cases.append(Case(centred, 8 * cap, 8 * cap, True))
        most = cap - 1
    for low, high in _parts(build, r, least, most):
        when = model.new_bool_var("")
        model.add(8 * free.twice_mm >= low * free.units).only_enforce_if(when)
        model.add(8 * free.twice_mm <= high * free.units).only_enforce_if(when)
        cases.append(Case(when, low, high, False))
    model.add_exactly_one([*(case.when for case in cases), build.used[r].negated()])
    return cases


def _parts(build: Model, r: int, least: int, most: int) -> Iterator[tuple[int, int]]:
    task = build.task
    if len(task.blocks) <= FEW_BLOCKS:
        for low, exact in eighths_of(*_asked(task, r, {o.block for _, o in build.by_run[r]})):
            if 8 * least <= low < 8 * (most + 1):
                yield low, low + (not exact)
        return
    if task.fine:
        low = 8 * least
        while low < 8 * (most + 1):
            step = max(8 * FINE_MM, low // FINE_PART)
            yield low, min(low + step, 8 * (most + 1))
            low += step
        return
    yield from parts_of_band(least, most)


def parts_of_band(least: int, most: int) -> Iterator[tuple[int, int]]:
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


def common_cases(build: Model, frees: Sequence[Free | None]) -> list[Case] | None:
    """Return a case for each gap that rows with free ends can have in common.

    A gap up to the cap is common while some run has no more alone. None where a lenient model
    cannot name all gaps: where borders fall is then not known.
    """
    rule, model = build.task.problem.arrangement, build.model
    cap = rule.max_gap_mm
    gaps, every = _common_gaps(build, cap)
    if build.task.lenient and not every:
        return None
    cases = []
    for gap in gaps:
        when = model.new_bool_var("")
        cases.append(Case(when, 8 * gap, 8 * gap, True))
        tight = []
        for r, free in enumerate(frees):
            if free is None:
                continue
            here = [when, build.used[r]]
            if gap > rule.min_gap_mm:
                model.add(free.twice_mm >= gap * free.units).only_enforce_if(here)
            if gap != cap:
                tight.append(model.new_bool_var(""))
                model.add(free.twice_mm <= (gap + 1) * free.units - 1).only_enforce_if(tight[-1])
                model.add_implication(tight[-1], build.used[r])
        if gap != cap:
            model.add_bool_or([when.negated(), *tight])
    model.add_exactly_one([case.when for case in cases])
    return cases


def _common_gaps(build: Model, cap: int | None) -> tuple[list[int], bool]:
    """Return the gaps of the band that may be common to all runs, and whether these are all."""
    task = build.task
    rule = task.problem.arrangement
    least, most = build.band
    if len(task.blocks) <= FEW_BLOCKS:
        found = {rule.min_gap_mm}
        for r in range(len(task.runs)):
            here = {o.block for _, o in build.by_run[r]}
            found |= {low // 8 for low, _ in eighths_of(*_asked(task, r, here))}
    else:
        most = min(most, largest_gap_mm(task.problem, task.blocks, task.runs))
        found = {least, *range(max(least, most - MOST_COMMON), most + 1)}
    capped = {gap if cap is None else min(gap, cap) for gap in found if gap >= rule.min_gap_mm}
    gaps = sorted(gap for gap in capped if least <= gap <= most)
    return gaps, len(task.blocks) <= FEW_BLOCKS or most - least <= MOST_COMMON


Asked = tuple[tuple[tuple[int, int, str | None], ...], int, int, int | None]


def _asked(task: Task, r: int, here: set[int]) -> Asked:
    """Return the blocks that may hang on a run, its length, the half gaps at its ends, and the gap
    of sections."""
    rule, run = task.problem.arrangement, task.runs[r]
    blocks = [task.blocks[i] for i in sorted(here)]
    ends = 4 if rule.ends == "free" else run.left + run.right
    items = tuple((block.width_mm, block.count, block.section) for block in blocks)
    return items, run.length_mm, ends, rule.section_gap_mm


@lru_cache(maxsize=256)
def eighths_of(
    items: tuple[tuple[int, int, str | None], ...],
    length_mm: int,
    ends: int,
    section_gap_mm: int | None,
) -> tuple[tuple[int, bool], ...]:
    """Return the gaps that sets of blocks leave a run, in eighths of a mm rounded down, and whether
    all that round so need no rounding.

    Items are widths, counts and sections; `ends` are the half gaps at both ends. A section that
    hangs on a run hangs there once.
    """
    found: dict[int, bool] = {}
    for size in range(1, len(items) + 1):
        for chosen in combinations(items, size):
            changes = 0
            if section_gap_mm is not None:
                changes = len({section for _, _, section in chosen}) - 1
            free = length_mm - sum(width for width, _, _ in chosen)
            free -= changes * (section_gap_mm or 0)
            units = 2 * (sum(count for _, count, _ in chosen) - 1 - changes) + ends
            if free < 0 or not units:
                continue
            low, rest = divmod(16 * free, units)
            found[low] = found.get(low, True) and not rest
    return tuple(sorted(found.items()))
