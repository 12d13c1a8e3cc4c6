"""Say which block hangs in which cell of which run, so that all gaps come as close as they can.

One CP-SAT model: each block lies in one cell, or straddles the border of two. Gaps are equal
within a run by construction, so the left edge of the first piece behind a border follows from
what hangs before it: start of the run + widths + count times the gap. Objective, in this order:
the least gap is as large as possible; then the largest gap is as small as possible.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

from layouts.blocks import Block
from layouts.geometry import NO_LIMIT, Cell, Stretch
from layouts.problem import Arrangement, Piece, Problem

DETERMINISTIC_SECONDS = 4.0


@dataclass(frozen=True)
class Forbidden:
    """(Run, block) pairs that must not all come true: no order is known that would allow them."""

    places: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Demands:
    """What the model is to keep; each may be left out to find which of them clash."""

    light: bool = True
    load: bool = True
    load_per_metre: bool = True
    order: bool = True
    fixed_wall: bool = True


@dataclass
class Assignment:
    """`runs[r]` lists, cell by cell, the numbers of the blocks that hang there, in order."""

    runs: list[list[list[int]]]
    proved: bool
    least_gap_bound_mm: int
    spread_bound_mm: int


@dataclass
class _Model:
    """The solver's variables by what they mean."""

    cp: Any
    model: Any
    inside: dict[tuple[int, int], Any] = field(default_factory=dict)
    across: dict[tuple[int, int], Any] = field(default_factory=dict)
    gaps: dict[int, Any] = field(default_factory=dict)
    used: dict[int, Any] = field(default_factory=dict)
    leads: dict[int, Any] = field(default_factory=dict)


def fits(block: Block, cell: Cell, stretch: Stretch, demands: Demands) -> bool:
    """Tell whether every piece of a block may hang in this cell."""
    if demands.light and block.max_lux is not None and cell.lux > block.max_lux:
        return False
    if demands.load and block.heaviest_g > cell.max_g:
        return False
    return not (demands.fixed_wall and block.walls and block.walls != {stretch.wall.id})


def assign(
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    *,
    demands: Demands = Demands(),
    forbidden: Sequence[Forbidden] = (),
    seed: int = 0,
    seconds: float = 30.0,
    cancelled: Callable[[], bool] = lambda: False,
) -> Assignment | None:
    """Return the assignment with the largest least gap, or None when there is provably none.

    Raises TimeoutError when neither is known in the time given.
    """
    from ortools.sat.python import cp_model

    build = _Model(cp_model, cp_model.CpModel())
    if not _place(build, problem, blocks, runs, cells, demands):
        return None
    _run_gaps(build, problem, blocks, runs, cells)
    _borders(build, problem.arrangement, blocks, runs, cells)
    if demands.order:
        _keep_order(build, problem, blocks, runs, cells)
    if demands.load_per_metre:
        _loads(build, blocks, runs, cells)
    for cut in forbidden:
        literals = [_in_run(build, cells, block, run) for run, block in cut.places]
        build.model.add(sum(literals) <= len(cut.places) - 1)
    return _solve(build, problem, blocks, runs, cells, seed, seconds, cancelled)


def _place(
    build: _Model,
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    demands: Demands,
) -> bool:
    for i, block in enumerate(blocks):
        options = []
        for c, cell in enumerate(cells):
            if not fits(block, cell, runs[cell.run], demands):
                continue
            if block.width_mm > runs[cell.run].length_mm:
                continue
            build.inside[i, c] = build.model.new_bool_var(f"in {i} {c}")
            options.append(build.inside[i, c])
            before = (i, c - 1) in build.inside and cells[c - 1].run == cell.run
            if before:
                build.across[i, c - 1] = build.model.new_bool_var(f"over {i} {c - 1}")
                options.append(build.across[i, c - 1])
        if not options:
            return False
        build.model.add_exactly_one(options)
    return True


def _in_run(build: _Model, cells: Sequence[Cell], block: int, run: int) -> Any:
    return sum(
        var
        for table in (build.inside, build.across)
        for (i, c), var in table.items()
        if i == block and cells[c].run == run
    )


def _run_gaps(
    build: _Model,
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
) -> None:
    """Tie each run's gap to what hangs there: units x gap fills twice the free length."""
    rule, model = problem.arrangement, build.model
    pieces = sum(block.count for block in blocks)
    for r, run in enumerate(runs):
        chosen = [
            (var, blocks[i])
            for table in (build.inside, build.across)
            for (i, c), var in table.items()
            if cells[c].run == r
        ]
        used = model.new_bool_var(f"used {r}")
        build.used[r] = used
        if not chosen:
            model.add(used == 0)
            continue
        model.add_max_equality(used, [var for var, _ in chosen])
        gap = model.new_int_var(0, run.length_mm, f"gap {r}")
        build.gaps[r] = gap
        changes = _section_changes(build, blocks, chosen_vars(build, cells, r), rule, r)
        units = model.new_int_var(0, 2 * pieces + 4, f"units {r}")
        count = sum(var * block.count for var, block in chosen)
        ends = run.left + run.right - 2
        model.add(units == 2 * count + ends - 2 * changes).only_enforce_if(used)
        twice_free = 2 * run.length_mm - sum(2 * block.width_mm * var for var, block in chosen)
        twice_free -= 2 * (rule.section_gap_mm or 0) * changes
        filled = model.new_int_var(0, 4 * run.length_mm, f"filled {r}")
        model.add_multiplication_equality(filled, [units, gap])
        model.add(filled <= twice_free).only_enforce_if(used)
        centred = model.new_bool_var(f"centred {r}")
        if rule.max_gap_mm is not None:
            model.add(gap <= rule.max_gap_mm).only_enforce_if(used)
        if rule.ends == "free":
            model.add(centred == 1)
        elif rule.max_gap_mm is None:
            model.add(centred == 0)
        else:
            model.add(gap == rule.max_gap_mm).only_enforce_if(centred)
        model.add(twice_free <= filled + units - 1).only_enforce_if([used, centred.negated()])
        lead = model.new_int_var(0, 4 * run.length_mm, f"lead {r}")
        margins = run.left + run.right
        model.add(lead == twice_free - filled + margins * gap).only_enforce_if([used, centred])
        model.add(lead == 2 * run.left * gap).only_enforce_if([used, centred.negated()])
        build.leads[r] = lead
        model.add(gap >= rule.min_gap_mm).only_enforce_if(used)
        if rule.section_gap_mm is not None:
            model.add(gap <= rule.section_gap_mm).only_enforce_if(used)


def chosen_vars(build: _Model, cells: Sequence[Cell], run: int, last: int = 10**9) -> list[Any]:
    """Return (variable, block number) for all that may lie in a run, up to its cell `last`."""
    rows = [(v, i) for (i, c), v in build.inside.items() if cells[c].run == run and c <= last]
    rows += [(v, i) for (i, c), v in build.across.items() if cells[c].run == run and c < last]
    return rows


def _section_changes(
    build: _Model,
    blocks: Sequence[Block],
    chosen: Sequence[tuple[Any, int]],
    rule: Arrangement,
    name: object,
) -> Any:
    """Count how often one section follows another among the chosen; 0 where nothing asks."""
    if rule.section_gap_mm is None or not chosen:
        return 0
    here: dict[str | None, list[Any]] = {}
    for var, i in chosen:
        here.setdefault(blocks[i].section, []).append(var)
    flags = []
    for section, members in here.items():
        flag = build.model.new_bool_var(f"section {section} {name}")
        build.model.add_max_equality(flag, members)
        flags.append(flag)
    some = build.model.new_bool_var(f"some {name}")
    build.model.add_max_equality(some, flags)
    changes = build.model.new_int_var(0, max(0, len(flags) - 1), f"changes {name}")
    build.model.add(changes == sum(flags) - some)
    return changes


def _borders(
    build: _Model,
    rule: Arrangement,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
) -> None:
    """Let each border between cells fall into a gap, or into a block that bears both sides.

    Edges are reckoned in quarter millimetres. Gaps are rounded to whole mm along the run, so an
    edge is known to within the count of gaps before it; the border must hold at both ends.
    """
    model = build.model
    for c in range(len(cells) - 1):
        r = cells[c].run
        if cells[c + 1].run != r or r not in build.gaps:
            continue
        gap, used, border = build.gaps[r], build.used[r], 4 * cells[c].to_mm
        before = chosen_vars(build, cells, r, last=c)
        count = model.new_int_var(0, sum(b.count for b in blocks), f"count {c}")
        model.add(count == sum(var * blocks[i].count for var, i in before))
        gaps = model.new_int_var(0, 2 * runs[r].length_mm, f"gaps to {c}")
        model.add_multiplication_equality(gaps, [count, gap])
        wider = 0
        if rule.section_gap_mm is not None:
            changes = _section_changes(build, blocks, before, rule, f"to {c}")
            more = model.new_int_var(0, rule.section_gap_mm, f"more {c}")
            model.add(more == rule.section_gap_mm - gap).only_enforce_if(used)
            wider = model.new_int_var(0, runs[r].length_mm, f"wider {c}")
            model.add_multiplication_equality(wider, [changes, more])
        right = 4 * runs[r].from_mm + build.leads[r] - 4 * gap + 4 * gaps + 4 * wider
        right += sum(4 * blocks[i].width_mm * var for var, i in before)
        over = {i: var for (i, k), var in build.across.items() if k == c}
        none_over = model.new_bool_var(f"clear {c}")
        model.add(sum(over.values()) + none_over == 1)
        model.add(right + 4 * (count + 1) <= border).only_enforce_if(used)
        model.add(right + 4 * gap >= border).only_enforce_if([none_over, used])
        for i, var in over.items():
            reach = 4 * blocks[i].width_mm + 4 * (blocks[i].count + 1) * gap
            model.add(right + reach >= border).only_enforce_if(var)


def _pin_slot(piece: Piece, runs: Sequence[Stretch], cells: Sequence[Cell]) -> int:
    """Return the slot behind the last cell that lies before a piece fixed in place."""
    walls = list(dict.fromkeys(run.wall.id for run in runs))
    here = walls.index(piece.wall) if piece.wall in walls else 0
    before = [
        c
        for c, cell in enumerate(cells)
        if (walls.index(runs[cell.run].wall.id), cell.from_mm) < (here, piece.x_mm or 0)
    ]
    return 2 * max(before, default=-1) + 1


def _keep_order(
    build: _Model,
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
) -> None:
    rule, model = problem.arrangement, build.model
    last = 2 * len(cells)
    slots = []
    for i in range(len(blocks)):
        slot = model.new_int_var(0, last, f"slot {i}")
        model.add(
            slot
            == sum(2 * c * var for (k, c), var in build.inside.items() if k == i)
            + sum((2 * c + 1) * var for (k, c), var in build.across.items() if k == i)
        )
        slots.append(slot)
    if rule.order:
        for a, b in itertools.pairwise(slots):
            model.add(a <= b)
    if rule.kind != "by_section":
        return
    spans = {}
    for section in dict.fromkeys(block.section for block in blocks):
        first = model.new_int_var(-1, last, f"first {section}")
        end = model.new_int_var(-1, last, f"last {section}")
        for i, block in enumerate(blocks):
            if block.section == section:
                model.add(slots[i] >= first)
                model.add(slots[i] <= end)
        for piece in problem.pieces:
            if piece.x_mm is not None and piece.section == section:
                pin = _pin_slot(piece, runs, cells)
                model.add(first <= pin)
                model.add(end >= pin)
        spans[section] = (first, end)
    if rule.sections:
        known = [spans[s] for s in rule.sections if s in spans]
        for (_, end), (first, _) in itertools.pairwise(known):
            model.add(end <= first)
        return
    names = list(spans)
    for n, one in enumerate(names):
        for other in names[n + 1 :]:
            earlier = model.new_bool_var(f"{one} before {other}")
            model.add(spans[one][1] <= spans[other][0]).only_enforce_if(earlier)
            model.add(spans[other][1] <= spans[one][0]).only_enforce_if(earlier.negated())


def _loads(
    build: _Model, blocks: Sequence[Block], runs: Sequence[Stretch], cells: Sequence[Cell]
) -> None:
    walls = {run.wall.id: run.wall for run in runs}
    for wall in walls.values():
        for fixing in wall.fixings:
            if fixing.max_kg_per_m is None:
                continue
            touched = {
                c
                for c, cell in enumerate(cells)
                if runs[cell.run].wall.id == wall.id
                and cell.from_mm < fixing.to_mm
                and cell.to_mm > fixing.from_mm
            }
            load = [v * blocks[i].mass_g for (i, c), v in build.inside.items() if c in touched]
            load += [
                v * blocks[i].mass_g
                for (i, c), v in build.across.items()
                if c in touched or c + 1 in touched
            ]
            limit = int(fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm))
            if load and limit < NO_LIMIT:
                build.model.add(sum(load) <= limit)


def _solve(
    build: _Model,
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    seed: int,
    seconds: float,
    cancelled: Callable[[], bool],
) -> Assignment | None:
    cp, model = build.cp, build.model
    longest = max(run.length_mm for run in runs)
    least = model.new_int_var(0, longest, "least gap")
    most = model.new_int_var(0, longest, "largest gap")
    for r, gap in build.gaps.items():
        model.add(least <= gap).only_enforce_if(build.used[r])
        if problem.arrangement.ends == "free":
            model.add(gap <= least).only_enforce_if(build.used[r])
        model.add(most >= gap).only_enforce_if(build.used[r])
    model.add(least <= largest_gap_mm(blocks, runs, problem.arrangement.section_gap_mm))
    solver = _solver(cp, seed, seconds)
    model.maximize(least)
    status = solver.solve(model)
    if status == cp.INFEASIBLE:
        return None
    if status not in (cp.OPTIMAL, cp.FEASIBLE):
        raise TimeoutError("No hang was found and none excluded in the time given.")
    proved = status == cp.OPTIMAL
    least_bound = int(solver.best_objective_bound)
    best = int(solver.objective_value)
    answer = _read(build, runs, cells, solver)
    if problem.arrangement.ends == "free" or cancelled():
        return Assignment(answer, proved, least_bound, 0)
    model.add(least >= best)
    model.add(most >= best)
    model.clear_hints()
    for var in [*build.inside.values(), *build.across.values()]:
        model.add_hint(var, solver.value(var))
    model.minimize(most)
    second = _solver(cp, seed, seconds)
    status = second.solve(model)
    if status in (cp.OPTIMAL, cp.FEASIBLE):
        answer = _read(build, runs, cells, second)
        spread = max(0, int(second.best_objective_bound) - best)
        return Assignment(answer, proved and status == cp.OPTIMAL, least_bound, spread)
    return Assignment(answer, False, least_bound, 0)


def largest_gap_mm(
    blocks: Sequence[Block], runs: Sequence[Stretch], section_gap_mm: int | None
) -> int:
    """Return a least gap that no hang can exceed: all free length shared among all gaps.

    Which runs stay empty is free, so the best choice of runs counts; with many runs all length is
    counted and only the gaps that must exist.
    """
    width = sum(block.width_mm for block in blocks)
    inner = 2 * sum(block.count for block in blocks)
    if section_gap_mm is not None:
        inner -= 2 * (len({block.section for block in blocks}) - 1)
    if len(runs) > 12:
        free = 2 * (sum(run.length_mm for run in runs) - width)
        return max(0, free // max(1, inner - 2 * len(runs)))
    best = 0
    for count in range(1, len(runs) + 1):
        for chosen in combinations(runs, count):
            free = 2 * (sum(run.length_mm for run in chosen) - width)
            units = inner + sum(run.left + run.right - 2 for run in chosen)
            best = max(best, free // max(1, units))
    return best


def _solver(cp: Any, seed: int, seconds: float) -> Any:
    """One worker and deterministic work repeat themselves; the clock is only the safety net."""
    solver = cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = DETERMINISTIC_SECONDS
    solver.parameters.max_time_in_seconds = seconds
    return solver


def _read(
    build: _Model, runs: Sequence[Stretch], cells: Sequence[Cell], solver: Any
) -> list[list[list[int]]]:
    """Return block numbers by run and slot: each cell, and between cells what straddles them."""
    slots: list[list[list[int]]] = [[] for _ in runs]
    for c, cell in enumerate(cells):
        slots[cell.run].append(
            [i for (i, k), v in build.inside.items() if k == c and solver.value(v)]
        )
        slots[cell.run].append(
            [i for (i, k), v in build.across.items() if k == c and solver.value(v)]
        )
    return slots
