"""Share pieces out over stretches by the area that they take, for tight groups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, combinations
from typing import Any

from layouts.blocks import Block
from layouts.geometry import Cell, Stretch
from layouts.problem import Problem
from layouts.search.options import Demands, block_fits

WORK = 2.0
PARTS = 1_000
LESS = 0.94
"""By how much less a stretch is asked to hold when a group came out too large for it."""


@dataclass(frozen=True)
class Unit:
    """What hangs together as one box: each piece's box, and its lower left corner in the whole."""

    block: Block
    width_mm: int
    height_mm: int
    sizes_mm: tuple[tuple[int, int], ...]
    offsets_mm: tuple[tuple[int, int], ...]

    @classmethod
    def beside(cls, block: Block, sizes: Sequence[tuple[int, int]], gap_mm: int) -> Unit:
        """Return the pieces from left to right, their middles level."""
        height = max(h for _, h in sizes)
        starts = list(accumulate((w + gap_mm for w, _ in sizes), initial=0))
        offsets = tuple((x, (height - h) // 2) for x, (_, h) in zip(starts, sizes, strict=False))
        return cls(block, starts[-1] - gap_mm, height, tuple(sizes), offsets)

    @classmethod
    def above(cls, block: Block, sizes: Sequence[tuple[int, int]], gap_mm: int) -> Unit:
        """Return the pieces from the top down, their middles one above the other."""
        width = max(w for w, _ in sizes)
        ends = list(accumulate(h + gap_mm for _, h in sizes))
        height = ends[-1] - gap_mm
        offsets = tuple(
            ((width - w) // 2, height + gap_mm - end)
            for end, (w, _) in zip(ends, sizes, strict=True)
        )
        return cls(block, width, height, tuple(sizes), offsets)

    def area_mm2(self, gap_mm: int) -> int:
        """Return what the pieces take, each with one gap: no more than any shape of them would."""
        return sum((w + gap_mm) * (h + gap_mm) for w, h in self.sizes_mm)

    def loses(self, extents_mm: Sequence[tuple[int, int]]) -> bool:
        """Tell whether a stretch may be too small for this box and hold another of its pieces."""
        return any(
            (self.width_mm > width or self.height_mm > height)
            and all(w <= width and h <= height for w, h in self.sizes_mm)
            for width, height in extents_mm
        )


@dataclass(frozen=True)
class Limits:
    """How large groups may be on each stretch, and what the sharing itself must heed so far.

    `apart` 1 keeps what must part out of one group, which is the rule, 2 off one wall; `metres`
    counts every mass fully on each length of wall that its stretch touches. Both 2 and `metres` ask
    more than the rules do, and so does less area than first given: then nothing is proved.
    """

    extents_mm: tuple[tuple[int, int], ...]
    areas_mm2: tuple[int, ...]
    apart: int = 0
    metres: bool = False
    untouched: bool = True

    @classmethod
    def of(
        cls, problem: Problem, runs: Sequence[Stretch], extents: Sequence[tuple[int, int]]
    ) -> Limits:
        gap = problem.arrangement.min_gap_mm
        areas = (max(0, w + gap) * max(0, h + gap) for w, h in extents)
        return cls(tuple(extents), tuple(areas), int(bool(problem.apart)))

    def tighter(
        self,
        failed: Sequence[int],
        chosen: Sequence[Sequence[int]],
        units: Sequence[Unit],
        gap_mm: int,
    ) -> Limits:
        """Return limits that ask less of the stretches whose groups came out too large."""
        areas = list(self.areas_mm2)
        for r in failed:
            tried = sum(units[n].area_mm2(gap_mm) for n in chosen[r])
            areas[r] = int(LESS * min(areas[r], tried))
        return replace(self, areas_mm2=tuple(areas), untouched=False)

    def after(self, rules: set[str]) -> Limits:
        """Return limits that heed what the verifier found broken."""
        apart = min(2, self.apart + 1) if "apart" in rules else self.apart
        metres = self.metres or "load_per_metre" in rules
        return replace(self, apart=apart, metres=metres, untouched=False)


def shared(
    problem: Problem,
    units: Sequence[Unit],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    limits: Limits,
    demands: Demands,
    seed: int,
    seconds: float,
) -> list[tuple[int, ...]] | None:
    """Return each stretch's units, areas against lengths as even as they can be.

    None says that there is provably no way; raises NothingKnown.
    """
    from ortools.sat.python import cp_model

    from layouts.search.assign import NothingKnown

    model = cp_model.CpModel()
    gap = problem.arrangement.min_gap_mm
    chosen: dict[tuple[int, int], Any] = {}
    for n, unit in enumerate(units):
        for r, (width, height) in enumerate(limits.extents_mm):
            if unit.width_mm > width or unit.height_mm > height:
                continue
            if block_fits(unit.block, cells[r], runs[r], demands):
                chosen[n, r] = model.new_bool_var("")
        mine = [var for (m, _), var in chosen.items() if m == n]
        if not mine:
            return None
        model.add_exactly_one(mine)
    most = model.new_int_var(0, PARTS * sum(unit.area_mm2(gap) for unit in units), "")
    for r, run in enumerate(runs):
        area = sum(var * units[n].area_mm2(gap) for (n, at), var in chosen.items() if at == r)
        model.add(area <= limits.areas_mm2[r])
        model.add(PARTS * area <= most * run.length_mm)
    _part(model, problem, units, runs, chosen, limits.apart)
    if limits.metres and demands.load_per_metre:
        _carry(model, problem, units, runs, chosen)
    model.minimize(most)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = WORK
    solver.parameters.max_time_in_seconds = max(0.1, seconds)
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise NothingKnown("The pieces could not be shared out over the walls in the time given.")
    return [
        tuple(n for (n, at), var in chosen.items() if at == r and solver.value(var))
        for r in range(len(runs))
    ]


def _part(
    model: Any,
    problem: Problem,
    units: Sequence[Unit],
    runs: Sequence[Stretch],
    chosen: dict[tuple[int, int], Any],
    level: int,
) -> None:
    home = {piece.id: n for n, unit in enumerate(units) for piece in unit.block.pieces}
    for rule in problem.apart if level else ():
        for a, b in combinations([home[name] for name in rule.pieces if name in home], 2):
            if a == b:
                model.add_bool_or([])
            for (n, r), var in chosen.items():
                for (m, q), other in chosen.items():
                    near = r == q if level == 1 else runs[r].wall.id == runs[q].wall.id
                    if (n, m) == (a, b) and near and a != b:
                        model.add(var + other <= 1)


def _carry(
    model: Any,
    problem: Problem,
    units: Sequence[Unit],
    runs: Sequence[Stretch],
    chosen: dict[tuple[int, int], Any],
) -> None:
    for wall in problem.walls:
        for fixing in wall.fixings:
            if fixing.max_kg_per_m is None:
                continue
            load = sum(
                var * units[n].block.mass_g
                for (n, r), var in chosen.items()
                if runs[r].wall.id == wall.id
                and runs[r].from_mm < fixing.to_mm
                and runs[r].to_mm > fixing.from_mm
            )
            pinned = sum(
                p.mass_g for p in problem.pieces if p.x_mm is not None and p.wall == wall.id
            )
            limit = int(fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm)) - pinned
            model.add(load <= limit)
