"""Hang generated exhibitions, and hang the same in plain ways."""

from __future__ import annotations

import time
from statistics import median

from layouts.bench.baselines import greedy, in_list_order, plain_model
from layouts.bench.instances import exhibition
from layouts.checks import check
from layouts.problem import Problem
from layouts.solve import solve

HEAD = (
    "exhibition   seconds status    gaps           bound  evener than plain model, greedy, list: "
    "their gaps"
)


def hangs(pieces: int, walls: int, count: int, plain_seconds: float) -> int:
    """Print one line an exhibition and a summary; return how many demands were broken."""
    print(f"{pieces} pieces on {walls} walls, in sections, with light, load, together and apart.")
    print(
        "Gaps as least + spread; the bound is on the spread at that least gap. Seconds are of one"
    )
    print("processor. Beside it how many times evener the hang is than what plain ways find.")
    print(HEAD)
    seconds, faults, proved, near = [], 0, 0, 0
    for planted in (True, False):
        for seed in range(count):
            problem = Problem.from_dict(exhibition(pieces, walls, seed, planted=planted))
            began = time.process_time()
            answer = solve(problem)
            seconds.append(time.process_time() - began)
            faults += len(check(problem, answer)) if answer.placements else 0
            proved += answer.status == "optimal"
            measures, bound = answer.measures, int(answer.bound.get("gap_spread_mm", 0))
            near += bool(answer.placements) and measures.gap_spread_mm <= bound + 1
            gaps = f"{measures.smallest_gap_mm} + {measures.gap_spread_mm} mm"
            others = (plain_model(problem, plain_seconds), greedy(problem), in_list_order(problem))
            evener = " ".join(
                f"{'-' if o.spread_mm is None else _ratio(o.spread_mm, measures.gap_spread_mm):>5}"
                for o in others
            )
            print(
                f"{'perfect' if planted else 'rough':8}{seed:3} {seconds[-1]:8.2f} "
                f"{answer.status:10}{gaps if answer.placements else 'nothing':14} "
                f"{bound:2} mm  {evener}: {'; '.join(o.words for o in others)}",
                flush=True,
            )
    print(
        f"Search: {proved} of {len(seconds)} proved, {near} within 1 mm of the bound; median "
        f"{median(seconds):.2f} s, slowest {max(seconds):.2f} s; {faults} demands broken. "
        f"The plain model had {plain_seconds:g} s each.\n"
    )
    return faults


def _ratio(other_mm: int, ours_mm: int) -> str:
    """Return how many times evener ours is; a spread within a millimetre counts as one."""
    return f"{max(1, other_mm) / max(1, ours_mm):.0f}x"
