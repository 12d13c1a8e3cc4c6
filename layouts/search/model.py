"""The CP-SAT model that shares blocks out over cells of runs.

Each block lies in one cell, or straddles the border of two. Gaps are equal within a run by
construction, so the left edge of the first piece behind a border follows from what hangs before
it: start of the run + widths + count times the gap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from layouts.blocks import Block
from layouts.geometry import NO_LIMIT, Cell, Stretch
from layouts.problem import Piece, Problem


@dataclass(frozen=True)
class Demands:
    """What the model is to keep; each may be left out to find which of them clash."""

    light: bool = True
    load: bool = True
    load_per_metre: bool = True
    order: bool = True
    fixed_wall: bool = True


EVERY_DEMAND = Demands()


@dataclass(frozen=True)
class Forbidden:
    """(Run, block) pairs that must not all come true: no order is known that would allow them."""

    places: tuple[tuple[int, int], ...]


@dataclass
class Model:
    """The solver's model with what it is about, and its variables by what they mean.

    Edges are known to within the rounding of gaps before them. A strict model keeps borders at
    both ends of that margin, so every answer is right; a lenient one at either end, so no hang is
    missed and what it proves bounds all of them. With a `band` only gaps from its first to its
    last width count, which makes the model all but linear.
    """

    model: Any
    problem: Problem
    blocks: Sequence[Block]
    runs: Sequence[Stretch]
    cells: Sequence[Cell]
    forbidden: tuple[Forbidden, ...] = ()
    lenient: bool = False
    band: tuple[int, int] | None = None
    inside: dict[tuple[int, int], Any] = field(default_factory=dict)
    across: dict[tuple[int, int], Any] = field(default_factory=dict)
    gaps: dict[int, Any] = field(default_factory=dict)
    used: dict[int, Any] = field(default_factory=dict)
    leads: dict[int, Any] = field(default_factory=dict)

    def constrain(self, demands: Demands) -> bool:
        """Write all demands down; returns False when a block fits nowhere."""
        if not _place(self, demands):
            return False
        _run_gaps(self)
        _borders(self)
        if demands.order:
            _keep_order(self)
        if demands.load_per_metre:
            _loads(self)
        for cut in self.forbidden:
            hanging = [self.in_run(block, run) for run, block in cut.places]
            self.model.add(sum(hanging) <= len(cut.places) - 1)
        return True

    def within(self, model: Any, band: tuple[int, int]) -> Model:
        """Return an empty model of the same task whose gaps must lie in a band."""
        task = (self.problem, self.blocks, self.runs, self.cells, self.forbidden, self.lenient)
        return Model(model, *task, band)

    def hint_at(self, other: Model, value: Any) -> None:
        """Let the search start from another model's answer."""
        for key, var in other.inside.items():
            self.model.add_hint(self.inside[key], value(var))
        for key, var in other.across.items():
            self.model.add_hint(self.across[key], value(var))
        for run, var in other.gaps.items():
            self.model.add_hint(self.gaps[run], value(var))

    def in_run(self, block: int, run: int) -> Any:
        """Return the expression that is 1 when the block hangs in the run."""
        return sum(
            var
            for table in (self.inside, self.across)
            for (i, c), var in table.items()
            if i == block and self.cells[c].run == run
        )


def fits(block: Block, cell: Cell, stretch: Stretch, demands: Demands) -> bool:
    """Tell whether every piece of a block may hang in this cell."""
    if demands.light and block.max_lux is not None and cell.lux > block.max_lux:
        return False
    if demands.load and block.heaviest_g > cell.max_g:
        return False
    return not (demands.fixed_wall and block.walls and block.walls != {stretch.wall.id})


def _place(build: Model, demands: Demands) -> bool:
    for i, block in enumerate(build.blocks):
        options = []
        for c, cell in enumerate(build.cells):
            if not fits(block, cell, build.runs[cell.run], demands):
                continue
            if block.width_mm > build.runs[cell.run].length_mm:
                continue
            build.inside[i, c] = build.model.new_bool_var(f"in {i} {c}")
            options.append(build.inside[i, c])
            before = (i, c - 1) in build.inside and build.cells[c - 1].run == cell.run
            if before:
                build.across[i, c - 1] = build.model.new_bool_var(f"over {i} {c - 1}")
                options.append(build.across[i, c - 1])
        if not options:
            return False
        build.model.add_exactly_one(options)
    return True


def _run_gaps(build: Model) -> None:
    """Tie each run's gap to what hangs there: units x gap fills twice the free length."""
    rule, model = build.problem.arrangement, build.model
    pieces = sum(block.count for block in build.blocks)
    for r, run in enumerate(build.runs):
        chosen = [
            (var, build.blocks[i])
            for table in (build.inside, build.across)
            for (i, c), var in table.items()
            if build.cells[c].run == r
        ]
        used = model.new_bool_var(f"used {r}")
        build.used[r] = used
        if not chosen:
            model.add(used == 0)
            continue
        model.add_max_equality(used, [var for var, _ in chosen])
        gap = model.new_int_var(*(build.band or (0, run.length_mm)), f"gap {r}")
        build.gaps[r] = gap
        changes = _section_changes(build, _chosen(build, r), r)
        units = model.new_int_var(0, 2 * pieces + 4, f"units {r}")
        count = sum(var * block.count for var, block in chosen)
        ends = run.left + run.right - 2
        model.add(units == 2 * count + ends - 2 * changes).only_enforce_if(used)
        twice_free = 2 * run.length_mm - sum(2 * block.width_mm * var for var, block in chosen)
        twice_free -= 2 * (rule.section_gap_mm or 0) * changes
        if build.band:
            least, most = build.band
            model.add(twice_free >= least * units).only_enforce_if(used)
            if rule.ends != "free" and rule.max_gap_mm is None:
                model.add(twice_free <= (most + 1) * units - 1).only_enforce_if(used)
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


def _chosen(build: Model, run: int, last: int = 10**9) -> list[Any]:
    """Return (variable, block number) for all that may lie in a run, up to its cell `last`."""
    rows = [(v, i) for (i, c), v in build.inside.items() if build.cells[c].run == run and c <= last]
    rows += [(v, i) for (i, c), v in build.across.items() if build.cells[c].run == run and c < last]
    return rows


def _section_changes(build: Model, chosen: Sequence[tuple[Any, int]], name: object) -> Any:
    """Count how often one section follows another among the chosen; 0 where nothing asks."""
    if build.problem.arrangement.section_gap_mm is None or not chosen:
        return 0
    here: dict[str | None, list[Any]] = {}
    for var, i in chosen:
        here.setdefault(build.blocks[i].section, []).append(var)
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


def _borders(build: Model) -> None:
    """Let each border between build.cells fall into a gap, or into a block that bears both sides.

    Edges are reckoned in quarter millimetres.
    """
    rule, model = build.problem.arrangement, build.model
    for c in range(len(build.cells) - 1):
        r = build.cells[c].run
        if build.cells[c + 1].run != r or r not in build.gaps:
            continue
        gap, used, border = build.gaps[r], build.used[r], 4 * build.cells[c].to_mm
        before = _chosen(build, r, last=c)
        count = model.new_int_var(0, sum(b.count for b in build.blocks), f"count {c}")
        model.add(count == sum(var * build.blocks[i].count for var, i in before))
        gaps = model.new_int_var(0, 2 * build.runs[r].length_mm, f"gaps to {c}")
        model.add_multiplication_equality(gaps, [count, gap])
        wider = 0
        if rule.section_gap_mm is not None:
            changes = _section_changes(build, before, f"to {c}")
            more = model.new_int_var(0, rule.section_gap_mm, f"more {c}")
            model.add(more == rule.section_gap_mm - gap).only_enforce_if(used)
            wider = model.new_int_var(0, build.runs[r].length_mm, f"wider {c}")
            model.add_multiplication_equality(wider, [changes, more])
        right = 4 * build.runs[r].from_mm + build.leads[r] - 4 * gap + 4 * gaps + 4 * wider
        right += sum(4 * build.blocks[i].width_mm * var for var, i in before)
        over = {i: var for (i, k), var in build.across.items() if k == c}
        none_over = model.new_bool_var(f"clear {c}")
        model.add(sum(over.values()) + none_over == 1)
        early, late = (4 * (count + 1), 0) if build.lenient else (0, 4 * (count + 1))
        model.add(right + late <= border).only_enforce_if(used)
        model.add(right + early + 4 * gap >= border).only_enforce_if([none_over, used])
        for i, var in over.items():
            reach = 4 * build.blocks[i].width_mm + 4 * (build.blocks[i].count + 1) * gap
            model.add(right + early + reach >= border).only_enforce_if(var)


def _pin_slot(build: Model, piece: Piece) -> int:
    """Return the slot behind the last cell that lies before a piece fixed in place."""
    walls = list(dict.fromkeys(run.wall.id for run in build.runs))
    here = walls.index(piece.wall) if piece.wall in walls else 0
    before = [
        c
        for c, cell in enumerate(build.cells)
        if (walls.index(build.runs[cell.run].wall.id), cell.from_mm) < (here, piece.x_mm or 0)
    ]
    return 2 * max(before, default=-1) + 1


def _keep_order(build: Model) -> None:
    rule, model = build.problem.arrangement, build.model
    last = 2 * len(build.cells)
    slots = []
    for i in range(len(build.blocks)):
        slot = model.new_int_var(0, last, f"slot {i}")
        model.add(
            slot
            == sum(2 * c * var for (k, c), var in build.inside.items() if k == i)
            + sum((2 * c + 1) * var for (k, c), var in build.across.items() if k == i)
        )
        slots.append(slot)
    if rule.order:
        for a, b in pairwise(slots):
            model.add(a <= b)
    if rule.kind != "by_section":
        return
    spans = {}
    for section in dict.fromkeys(block.section for block in build.blocks):
        first = model.new_int_var(-1, last, f"first {section}")
        end = model.new_int_var(-1, last, f"last {section}")
        for i, block in enumerate(build.blocks):
            if block.section == section:
                model.add(slots[i] >= first)
                model.add(slots[i] <= end)
        for piece in build.problem.pieces:
            if piece.x_mm is not None and piece.section == section:
                pin = _pin_slot(build, piece)
                model.add(first <= pin)
                model.add(end >= pin)
        spans[section] = (first, end)
    if rule.sections:
        known = [spans[s] for s in rule.sections if s in spans]
        for (_, end), (first, _) in pairwise(known):
            model.add(end <= first)
        return
    names = list(spans)
    for n, one in enumerate(names):
        for other in names[n + 1 :]:
            earlier = model.new_bool_var(f"{one} before {other}")
            model.add(spans[one][1] <= spans[other][0]).only_enforce_if(earlier)
            model.add(spans[other][1] <= spans[one][0]).only_enforce_if(earlier.negated())


def _loads(build: Model) -> None:
    walls = {run.wall.id: run.wall for run in build.runs}
    for wall in walls.values():
        for fixing in wall.fixings:
            if fixing.max_kg_per_m is None:
                continue
            touched = {
                c
                for c, cell in enumerate(build.cells)
                if build.runs[cell.run].wall.id == wall.id
                and cell.from_mm < fixing.to_mm
                and cell.to_mm > fixing.from_mm
            }
            load = [
                v * build.blocks[i].mass_g for (i, c), v in build.inside.items() if c in touched
            ]
            load += [
                v * build.blocks[i].mass_g
                for (i, c), v in build.across.items()
                if c in touched or c + 1 in touched
            ]
            limit = int(fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm))
            if load and limit < NO_LIMIT:
                build.model.add(sum(load) <= limit)
