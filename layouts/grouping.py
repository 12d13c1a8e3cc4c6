"""Hang tight groups: pieces shared out over stretches of wall, one group of `layouts.clustering`
in each.

A piece takes the box of itself and its label. What hangs together makes one box of neighbours, side
by side or one above the other, whichever is smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from layouts.blocks import Block
from layouts.checks import check
from layouts.geometry import (
    Cell,
    Stretch,
    band_mm,
    bottom_mm,
    box_mm,
    group_height_mm,
    room_mm,
    rule_on,
    whole_runs,
)
from layouts.measures import measure
from layouts.problem import Piece, Problem
from layouts.search.options import EVERY_DEMAND, Demands
from layouts.search.sharing import Limits, Unit, shared
from layouts.solution import Placement, Run, Solution

TRIALS = 1_500
PAIRS_TRIED = 2_000_000
ATTEMPTS = 12
MAY_BREAK = {"apart", "load_per_metre"}
"""What a sharing may break that does not ask for it yet; anything else is a fault of ours."""
LOOSER = (
    EVERY_DEMAND,
    Demands(light=False, dose=False),
    Demands(load=False),
    Demands(light=False, dose=False, load=False),
)


@dataclass
class _Search:
    """What all attempts at a hang have in common, and the groups already made."""

    problem: Problem
    runs: Sequence[Stretch]
    units: Sequence[Unit]
    seed: int
    seconds: float
    cancelled: Callable[[], bool]
    made: dict[tuple[int, tuple[int, ...]], _Group | None] = field(default_factory=dict)

    def group(self, r: int, chosen: tuple[int, ...]) -> _Group | None:
        if (r, chosen) not in self.made:
            self.made[r, chosen] = self._group(r, [self.units[n] for n in chosen])
        return self.made[r, chosen]

    def _group(self, r: int, units: Sequence[Unit]) -> _Group | None:
        """Return a group that fits the stretch; wider or lower ones are tried after the usual."""
        from layouts.clustering import cluster, lowest_band

        gap = self.problem.arrangement.min_gap_mm
        width, height = extent_mm(self.problem, self.runs[r])
        sizes = [(unit.width_mm, unit.height_mm) for unit in units]
        trials = max(50, min(TRIALS, PAIRS_TRIED // len(sizes) ** 2))
        for ratio in (None, min(20.0, max(0.05, width / max(1, height)))):
            made = cluster(
                sizes,
                gap,
                ratio=ratio,
                max_width_mm=width,
                max_height_mm=height,
                seed=self.seed,
                trials=trials,
                seconds=self.seconds,
                cancelled=self.cancelled,
            )
            if made.fits:
                tight = made.filled == 1 and made.gaps.spread_mm == 0
                return _Group(r, units, made.places_mm, made.width_mm, made.height_mm, tight)
        band = lowest_band(
            sizes,
            gap,
            width,
            seed=self.seed,
            trials=trials,
            seconds=self.seconds,
            cancelled=self.cancelled,
        )
        if band.height_mm > height:
            return None
        right = max(x + w for (x, _), (w, _) in zip(band.places_mm, sizes, strict=True))
        return _Group(r, units, band.places_mm, right, band.height_mm, False)


@dataclass(frozen=True)
class _Group:
    run: int
    units: Sequence[Unit]
    places_mm: Sequence[tuple[int, int]]
    width_mm: int
    height_mm: int
    tight: bool


def extent_mm(problem: Problem, run: Stretch) -> tuple[int, int]:
    """Return how wide and how high a group on a stretch may be.

    It stands in the stretch's middle and keeps the gap to pieces fixed at its ends.
    """
    rule = problem.arrangement
    margin = 2 * rule.min_gap_mm if 2 in (run.left, run.right) else 0
    return run.length_mm - margin, min(room_mm(run.wall, rule), group_height_mm(problem))


def arrange_groups(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: Sequence[Cell],
    *,
    seconds: float,
    seed: int,
    demands: Demands | None,
    cancelled: Callable[[], bool],
) -> Solution | None:
    """Return a hang of groups that the verifier accepts, or None when there is provably none.

    Raises NothingKnown when none was found and none is excluded.
    """
    from layouts.search.assign import NothingKnown

    if demands is None and (kept := _as_before(problem, runs)):
        return kept
    extents = [extent_mm(problem, run) for run in runs]
    units = [unit_of(problem, block, extents) for block in blocks]
    search = _Search(problem, runs, units, seed, seconds / 4, cancelled)
    limits = Limits.of(problem, runs, extents)
    exact = not any(unit.loses(extents) for unit in units)
    for _ in range(ATTEMPTS):
        chosen = shared(problem, units, runs, cells, limits, demands or EVERY_DEMAND, seed, seconds)
        if chosen is None and limits.untouched and exact:
            return None if demands else _by_luck(search, cells, limits)
        if chosen is None or cancelled():
            break
        groups = [search.group(r, row) for r, row in enumerate(chosen) if row]
        failed = [r for r, row in enumerate(chosen) if row and search.group(r, row) is None]
        if failed:
            limits = limits.tighter(failed, chosen, units, problem.arrangement.min_gap_mm)
            continue
        answer = _answer(problem, runs, [group for group in groups if group])
        faults = [] if demands else check(problem, answer)
        rules = {fault.rule for fault in faults}
        if not rules <= MAY_BREAK or not rules:
            return answer
        limits = limits.after(rules)
    raise NothingKnown("No tight groups were found that keep every demand.")


def share_denied(
    problem: Problem, blocks: Sequence[Block], runs: list[Stretch], *, seed: int, seconds: float
) -> bool:
    """Tell whether it is certain that the pieces cannot be shared out over stretches.

    Each stretch counts as bright, and as weak, as its worst part.
    """
    from layouts.search.assign import NothingKnown

    extents = [extent_mm(problem, run) for run in runs]
    units = [unit_of(problem, block, extents) for block in blocks]
    if any(unit.loses(extents) for unit in units):
        return False
    limits, cells = Limits.of(problem, runs, extents), whole_runs(runs, problem)
    try:
        return shared(problem, units, runs, cells, limits, EVERY_DEMAND, seed, seconds) is None
    except NothingKnown:
        return False


def _by_luck(search: _Search, cells: Sequence[Cell], limits: Limits) -> Solution | None:
    """Return groups that keep every demand though their stretches' worst parts do not.

    Or though one group holds what must part, if it came to hang far enough.
    """
    problem, runs = search.problem, search.runs
    limits = replace(limits, apart=0)
    for looser in LOOSER:
        chosen = shared(
            problem, search.units, runs, cells, limits, looser, search.seed, search.seconds
        )
        made = [search.group(r, row) for r, row in enumerate(chosen or ()) if row]
        groups = [group for group in made if group]
        if chosen and len(groups) == len(made):
            answer = _answer(problem, runs, groups)
            if not check(problem, answer):
                return answer
    return None


def _as_before(problem: Problem, runs: Sequence[Stretch]) -> Solution | None:
    """Return the previous hang if it still keeps every demand."""
    rows = (problem.previous or {}).get("placements", [])
    if {row["id"] for row in rows} != {piece.id for piece in problem.pieces}:
        return None
    walls = {wall.id for wall in problem.walls}
    if not rows or not all(row["wall"] in walls for row in rows):
        return None
    placements = [
        Placement(
            row["id"], row["wall"], row["x_mm"], row.get("y_mm", -1), 0, row.get("hook_mm", -1)
        )
        for row in rows
    ]
    answer = _solution(problem, runs, placements, proved=False)
    return None if check(problem, answer) else answer


def unit_of(problem: Problem, block: Block, extents: Sequence[tuple[int, int]]) -> Unit:
    """Return the box of what hangs together, each piece's box in the middle of its row."""
    rule = problem.arrangement
    gap = rule.min_gap_mm
    sizes = [box_mm(piece, rule) for piece in block.pieces]
    beside = Unit.beside(block, sizes, gap)
    above = Unit.above(block, sizes, gap)
    options = sorted((beside, above), key=lambda unit: unit.width_mm * unit.height_mm)
    for unit in options:
        if any(unit.width_mm <= w and unit.height_mm <= h for w, h in extents):
            return unit
    return options[0]


def _answer(problem: Problem, runs: Sequence[Stretch], groups: Sequence[_Group]) -> Solution:
    rule = problem.arrangement
    placements = [
        _placed(piece, piece.wall, piece.x_mm, piece.y_mm)
        for piece in problem.pieces
        if piece.x_mm is not None and piece.y_mm is not None and piece.wall is not None
    ]
    for group in groups:
        run = runs[group.run]
        left = run.from_mm + (run.length_mm - group.width_mm) // 2
        low = rule_on(run.wall, rule).datum_mm - group.height_mm // 2
        for unit, (x, y) in zip(group.units, group.places_mm, strict=True):
            for piece, (dx, dy) in zip(unit.block.pieces, unit.offsets_mm, strict=True):
                lift = bottom_mm(piece, rule) - band_mm(piece, rule)[0]
                x_mm = left + x + dx + piece.lead_mm
                placements.append(_placed(piece, run.wall.id, x_mm, low + y + dy + lift))
    proved = len(runs) <= 1 and all(group.tight for group in groups)
    return _solution(problem, runs, placements, proved=proved)


def _placed(piece: Piece, wall: str, x_mm: int, y_mm: int) -> Placement:
    return Placement(piece.id, wall, x_mm, y_mm, 0, y_mm + piece.height_mm - piece.hang_point_mm)


def _solution(
    problem: Problem, runs: Sequence[Stretch], placements: Sequence[Placement], *, proved: bool
) -> Solution:
    order = {wall.id: n for n, wall in enumerate(problem.walls)}
    placed = tuple(sorted(placements, key=lambda p: (order[p.wall], p.x_mm, p.y_mm)))
    used = [
        any(p.wall == run.wall.id and run.from_mm <= p.x_mm < run.to_mm for p in placed)
        for run in runs
    ]
    gap = problem.arrangement.min_gap_mm
    return Solution(
        "optimal" if proved else "feasible",
        placements=placed,
        runs=tuple(
            Run(run.wall.id, run.from_mm, run.to_mm, gap if here else None)
            for run, here in zip(runs, used, strict=True)
        ),
        measures=measure(problem, runs, placed),
        bound={"gap_spread_mm": 0},
    )
