"""Two pieces of one section that came too near on a run, and what it takes to part them.

At most all that hangs there of their section lies between them. How far that is depends on the
gap, which is linear once it is known how many pieces hang there: so each count is a case of its
own. A millimetre is allowed for rounding; what then is too near all the same is not excluded.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layouts.search.model import Model, Task


@dataclass(frozen=True)
class Parting:
    """On this run two blocks need so much between them, in mm, labels outside them counted."""

    run: int
    one: int
    other: int
    needed_mm: int


def parting_of(task: Task, run: int, pair: tuple[int, ...]) -> Parting | None:
    """Return what parts two blocks on a run, or None where more than their section may."""
    from layouts.search.apart import outside_mm, pairs_apart

    rule = task.problem.arrangement
    plain = rule.section_gap_mm is None and rule.max_gap_mm is None and rule.ends != "free"
    if rule.kind != "by_section" or not task.demands.order or not plain or len(pair) != 2:
        return None
    one, other = (task.blocks[i] for i in pair)
    if one.section != other.section or one.count > 1 or other.count > 1:
        return None
    names = {one.pieces[0].id, other.pieces[0].id}
    needed = [least for a, b, least in pairs_apart(task.problem) if {a, b} == names]
    return Parting(run, *pair, max(needed, default=0) + outside_mm(task, *pair))


def constrain_parting(build: Model, parting: Parting) -> None:
    """Let two blocks hang on a run only with enough of their section between them."""
    task, model = build.task, build.model
    run, chosen = task.runs[parting.run], build.by_run[parting.run]
    both = [
        build.flag([var for var, o in chosen if o.block == block])
        for block in (parting.one, parting.other)
    ]
    section = task.blocks[parting.one].section
    same = [(var, o) for var, o in chosen if task.blocks[o.block].section == section]
    here, own = build.sums(chosen), build.sums(same)
    cases = []
    for sums, options in ((here, chosen), (own, same)):
        most = sum(task.blocks[i].count for i in {o.block for _, o in options})
        counts = {n: model.new_bool_var("") for n in range(2, most + 1)}
        model.add_bool_or([*counts.values(), both[0].negated(), both[1].negated()])
        for n, when in counts.items():
            model.add(sums.count == n).only_enforce_if(when)
        cases.append(counts)
    pieces = (task.blocks[i].pieces[0] for i in (parting.one, parting.other))
    between = own.width_mm - sum(piece.width_mm for piece in pieces) - parting.needed_mm + 1
    twice_free = 2 * (run.length_mm - here.width_mm)
    for (n, all_here), (k, of_section) in product(cases[0].items(), cases[1].items()):
        if k <= n:
            units = 2 * n - 2 + run.left + run.right
            far_enough = between * units + (k - 1) * twice_free >= 0
            model.add(far_enough).only_enforce_if([*both, all_here, of_section])
