"""Compare showcases arranged with plain ways: `python -m tests.bench.cases [SIZES]`.

Prints, for generated objects of which 65 to 80 % of all pairs may share no case, the number of
cases as ratios to the lower bound, to first fit by decreasing ground with conflicts, to a general
rectangle packer whose conflicts are repaired, and to the habit of filling 60 % of the surface
(common practice, no source). With --published it sums bins over N instances of each published class
of two-dimensional bin packing against the best values known. With --alike it solves each size twice
on one core and twice on two, and says whether all four answers are the same and what memory they
took. With --imports it measures what importing costs. Seconds are those of the processor.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from statistics import median

import rectpack

from layouts.cases import CasesProblem, check_cases, solve_cases
from layouts.cases.greedy import first_fit
from layouts.cases.opencase import OpenCase, room
from layouts.cases.packing import Packer
from layouts.cases.search import Clock, Search
from layouts.cases.task import Task
from tests.layouts.cases.alike import solved
from tests.layouts.cases.problems import showcases
from tests.layouts.cases.published import BEST, as_cases

SEEDS = 5


def by_first_fit(task: Task) -> int:
    """First fit by decreasing ground, conflicts and limits kept; objects stand where they fell."""
    packer = Packer(task)
    order = sorted(range(len(task.items)), key=lambda i: -task.items[i].area)
    plan = first_fit(packer, order, repack=False)
    return len(plan.cases) if plan else len(task.items)


def by_rectangles(task: Task) -> tuple[int, int]:
    """Pack by the best of eight ways of a rectangle packer that knows no conflicts, then move what
    clashes into the first case with room; return cases and the pairs that clashed before."""
    surfaces, gap = task.surfaces[0], task.problem.clearances.between_mm
    best: list[list[int]] | None = None
    for algorithm in (
        rectpack.MaxRectsBssf,
        rectpack.MaxRectsBl,
        rectpack.SkylineBl,
        rectpack.GuillotineBssfSas,
    ):
        for sort in (rectpack.SORT_AREA, rectpack.SORT_LSIDE):
            packer = rectpack.newPacker(
                pack_algo=algorithm,
                sort_algo=sort,
                rotation=True,
                bin_algo=rectpack.PackingBin.BFF,
            )
            for n, thing in enumerate(task.things):
                packer.add_rect(thing.width_mm + gap, thing.depth_mm + gap, n)
            for _ in range(task.kinds[0].count):
                for surface in surfaces:
                    packer.add_bin(surface.width_mm + gap, surface.depth_mm + gap)
            packer.pack()
            bins: dict[int, list[int]] = {}
            for number, _, _, _, _, n in packer.rect_list():
                bins.setdefault(number // len(surfaces), []).append(n)
            if best is None or len(bins) < len(best):
                best = list(bins.values())
    assert best is not None
    clashes = sum(
        task.conflicts[a] >> b & 1 for group in best for a in group for b in group if a < b
    )
    cases: list[OpenCase] = []
    packer_here = Packer(task)
    late = []
    for group in best:
        case = OpenCase(packer_here, 0)
        late += [n for n in sorted(group) if not case.add(n)]
        cases.append(case)
    for n in late:
        if not any(case.add(n) for case in cases):
            cases.append(OpenCase(packer_here, 0))
            cases[-1].add(n)
    return len(cases), clashes


def by_sixty_percent(task: Task) -> int:
    """Fill cases in the order of the list until 60 % of their surface is taken."""
    cases: list[list[int]] = []
    most = 0.6 * room(task, 0)
    for i, item in enumerate(task.items):
        for case in cases:
            clash = any(task.conflicts[i] >> j & 1 for j in case)
            if not clash and sum(task.items[j].area for j in case) + item.area <= most:
                case.append(i)
                break
        else:
            cases.append([i])
    return len(cases)


def generated(sizes: list[int]) -> Iterator[str]:
    yield (
        "objects seed density  cases bound proved seconds   :bound "
        ":first fit :packer :60 %  clashes"
    )
    for count in sizes:
        seconds, ratios = [], []
        for seed in range(SEEDS):
            asked = CasesProblem.from_dict(showcases(count, seed))
            task = Task(asked)
            began = time.process_time()
            answer = solve_cases(asked, seconds=600)
            taken = time.process_time() - began
            seconds.append(taken)
            if faults := check_cases(asked, answer):
                raise SystemExit(faults[0].sentence)
            cases = answer.measures.cases
            packed, clashes = by_rectangles(task)
            plain = (by_first_fit(task), packed, by_sixty_percent(task))
            ratios.append(max(cases / other for other in plain))
            yield (
                f"{count:7} {seed:4} {task.density():7.2f} {cases:6} {answer.bound_cases:5} "
                f"{'yes' if answer.status == 'optimal' else 'no':>6} {taken:7.2f} "
                f"{cases / answer.bound_cases:8.3f} {cases / plain[0]:10.3f} "
                f"{cases / plain[1]:7.3f} {cases / plain[2]:5.3f} {clashes:8}"
            )
        yield f"{count:7} median {median(seconds):.2f} s, worst ratio {max(ratios):.3f}"


def published(instances: int) -> Iterator[str]:
    yield "class rectangles   bins  bound   best  bins:best   median seconds"
    total = best_total = 0
    for number, sums in BEST.items():
        before = total
        for count, best in zip((20, 40, 60, 80, 100), sums, strict=True):
            found = bound = 0
            seconds = []
            for instance in range(1, instances + 1):
                task = Task(CasesProblem.from_dict(as_cases(number, count, instance)))
                began = time.process_time()
                outcome = Search(task, 0, Clock.of(600, lambda: False)).free()
                seconds.append(time.process_time() - began)
                assert outcome.plan is not None
                found += outcome.plan.score(task)[1]
                bound += outcome.bound[1]
            known = f"{best:6} {found / best:10.4f}" if instances == 10 else f"{'':17}"
            total, best_total = total + found, best_total + best
            yield f"{number:5} {count:10} {found:6} {bound:6} {known} {median(seconds):14.2f}"
        if instances == 10:
            here = total - before
            yield f"{number:5} {'sum':>10} {here:6} {'':6} {sum(sums):6} {here / sum(sums):10.4f}"
    if instances == 10:
        yield f"sum {total} against {best_total}: {total / best_total:.4f}"


def alike(sizes: list[int]) -> Iterator[str]:
    yield "objects seed  answers that differ, of four on one and two cores   peak MB"
    for count in sizes:
        for seed in range(2):
            runs = [solved(cores, count, seed) for cores in (1, 1, 2, 2)]
            other = sum(run[0] != runs[0][0] for run in runs)
            yield f"{count:7} {seed:4} {other:20} {max(run[1] for run in runs):38}"


def imports() -> Iterator[str]:
    """Measure a fresh process that imports, less one that imports nothing: least of five."""
    yield f"{'import':<24}{'seconds':>8}  heavy libraries loaded"
    bare = min(_started("pass") for _ in range(5))
    for package in ("layouts.cases", "layouts.floor", "layouts"):
        heavy = ("ortools", "shapely", "numpy", "scipy")
        asked = f"import sys, {package}; print([m for m in {heavy} if m in sys.modules])"
        told = subprocess.run(  # noqa: S603
            [sys.executable, "-c", asked], capture_output=True, check=True, text=True
        ).stdout.strip()
        taken = min(_started(f"import {package}") for _ in range(5)) - bare
        yield f"{package:<24}{taken:8.3f}  {told}"


def _started(code: str) -> float:
    """Return the processor seconds of a process that runs a line of code."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True)  # noqa: S603
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sizes", nargs="*", type=int)
    parser.add_argument("--published", type=int, default=0, metavar="N")
    parser.add_argument("--alike", action="store_true")
    parser.add_argument("--imports", action="store_true")
    given = parser.parse_args()
    if given.imports or given.alike:
        for line in imports() if given.imports else alike(given.sizes or [60, 400]):
            print(line, flush=True)
        return
    solve_cases(showcases(4, 0))
    lines = (
        published(given.published)
        if given.published
        else generated(given.sizes or [20, 60, 150, 400])
    )
    for line in lines:
        print(line, flush=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"peak memory {peak} MB", file=sys.stderr)


if __name__ == "__main__":
    main()
