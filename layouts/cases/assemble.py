"""Turn a plan into an answer: cases in their order, set and named, with measures."""

from __future__ import annotations

from collections.abc import Sequence

from layouts.cases.answer import CasesAnswer, Hidden, Level, Measures, Place, UsedCase
from layouts.cases.opencase import OpenCase, room
from layouts.cases.packing import Layout
from layouts.cases.sequence import backward, breaks, ranks, sections_in
from layouts.cases.showing import HIDDEN_FROM_PERCENT, heights, hidden_in, uneven_lines
from layouts.cases.task import Task


def name_in_order(task: Task, cases: Sequence[OpenCase]) -> None:
    """Name cases that nobody named before by their place in the row, kind by kind."""
    promised = {item.case for item in task.items if item.case}
    fixed = {case.name for case in cases if case.name in promised}
    for k in range(len(task.kinds)):
        free = [name for name in task.case_names[k] if name not in fixed]
        free.sort(key=lambda name: (name in promised, task.case_names[k][name]))
        for case in cases:
            if case.k == k and case.name not in fixed:
                case.name = free.pop(0)


def answer_of(
    task: Task,
    cases: Sequence[OpenCase],
    shown: Sequence[Layout],
    *,
    bound: tuple[int, int],
    proved: bool,
    moved: int = 0,
) -> CasesAnswer:
    """Return the answer for cases in the order in which they stand and layouts as shown."""
    places: list[Place] = []
    used: list[UsedCase] = []
    hidden: list[Hidden] = []
    for case, layout in zip(cases, shown, strict=True):
        z_mm = heights(task, case.k, layout)
        places += _places(task, case, layout)
        used.append(_used(task, case, z_mm))
        hidden += hidden_in(task, case.k, layout, z_mm)
    sets = [sections_in(task, case) for case in cases]
    measures = Measures(
        cost=sum(task.kinds[case.k].cost for case in cases),
        cases=len(cases),
        breaks=breaks(sets),
        out_of_order=backward(sets, ranks(task)),
        use_spread_percent=_spread(task, cases),
        uneven_lines=sum(uneven_lines(task, layout) for layout in shown),
        hidden=len({one.id for one in hidden if one.percent > HIDDEN_FROM_PERCENT}),
        moved=moved,
    )
    return CasesAnswer(
        "optimal" if proved else "feasible",
        places=tuple(places),
        cases=tuple(used),
        measures=measures,
        bound_cost=bound[0],
        bound_cases=bound[1],
        hidden=tuple(hidden),
    )


def _places(task: Task, case: OpenCase, layout: Layout) -> list[Place]:
    rows = sorted(layout, key=lambda s: (s.surface, s.y_mm, s.x_mm, s.thing))
    return [
        Place(task.things[s.thing].id, case.name or "", s.surface, s.x_mm, s.y_mm, s.turned)
        for s in rows
    ]


def _used(task: Task, case: OpenCase, z_mm: dict[int, int]) -> UsedCase:
    setting = task.setting(case.k, case.mask)
    band = setting.climate
    return UsedCase(
        id=case.name or "",
        kind=task.kinds[case.k].id,
        levels=tuple(Level(at, z) for at, z in sorted(z_mm.items())),
        lux=setting.lux,
        low_percent=band.low_percent if band else None,
        high_percent=band.high_percent if band else None,
    )


def _spread(task: Task, cases: Sequence[OpenCase]) -> int:
    spread = 0
    for k in {case.k for case in cases}:
        shares = [100 * case.area // max(1, room(task, k)) for case in cases if case.k == k]
        spread = max(spread, max(shares) - min(shares))
    return spread
