"""The model that asks: can all gaps lie in this band?

With the band given, every demand is linear in yes-or-no variables: a run's free length against its
count of gaps. Only where light or load changes within a run must the gap itself be known, and there
a few cases divide the band.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from layouts.blocks import Block
from layouts.geometry import NO_LIMIT, Cell, Stretch
from layouts.problem import Fixing, Piece, Problem
from layouts.search.apart import constrain_apart
from layouts.search.borders import keep_all_borders
from layouts.search.cases import Free
from layouts.search.heights import constrain_rows
from layouts.search.limits import needed_from_mm
from layouts.search.options import EVERY_DEMAND, Demands, Option, options_of
from layouts.search.order import rising
from layouts.search.parted import Parting, constrain_parting

if TYPE_CHECKING:
    from layouts.search.chain import Chain


@dataclass(frozen=True)
class Forbidden:
    """(Run, block) pairs that must not all come true: no order is known that would allow them.

    With `only`, they may if anything else hangs on these runs.
    """

    places: tuple[tuple[int, int], ...]
    only: bool = False

    def broken_by(self, places: set[tuple[int, int]]) -> bool:
        """Tell whether a hang has these pairs."""
        if not places.issuperset(self.places):
            return False
        runs = {run for run, _ in self.places}
        return not self.only or len(self.places) == sum(run in runs for run, _ in places)


@dataclass(frozen=True)
class Task:
    """What all models of one search have in common."""

    problem: Problem
    blocks: Sequence[Block]
    runs: Sequence[Stretch]
    cells: Sequence[Cell]
    demands: Demands = EVERY_DEMAND
    forbidden: tuple[Forbidden, ...] = ()
    parted: tuple[Parting, ...] = ()
    lenient: bool = False
    fine: bool = False
    windows: tuple[tuple[int, int], ...] | None = None
    homes: tuple[int | None, ...] | None = None
    moves_at_most: int | None = None
    chain: Chain | None = None
    needed_mm: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        needed = needed_from_mm(self.problem, self.blocks, self.runs)
        object.__setattr__(self, "needed_mm", needed)

    @property
    def bordered(self) -> bool:
        return len(self.cells) > len(self.runs)


@dataclass(frozen=True)
class Sums:
    """Width, count and section changes of some options of a run, as expressions."""

    width_mm: Any
    count: Any
    changes: Any


@dataclass
class Model:
    """One question to the solver and its variables.

    Where a border falls is known to the rounding of gaps and the width of a case. A strict model
    keeps borders at both ends of that margin, so every answer is right; a lenient one at either
    end, so no hang is missed and what it excludes is impossible.
    """

    model: Any
    task: Task
    band: tuple[int, int]
    options: list[tuple[Any, Option]] = field(default_factory=list)
    by_run: list[list[tuple[Any, Option]]] = field(default_factory=list)
    used: list[Any] = field(default_factory=list)
    slots: list[int] = field(default_factory=list)

    def constrain(self) -> bool:
        """Write all demands down; returns False when a block fits nowhere."""
        if not _place(self):
            return False
        pins = {pin_slot(self.task, p) for p in self.task.problem.pieces if p.x_mm is not None}
        ends = {slot for _, o in self.options for slot in (o.first, o.last)}
        self.slots = sorted(ends | pins)
        frees = [_run(self, r) for r in range(len(self.task.runs))]
        keep_all_borders(self, frees)
        constrain_apart(self, frees)
        for parting in self.task.parted:
            constrain_parting(self, parting)
        _whole_length(self)
        if self.task.demands.order:
            _keep_order(self)
        if self.task.demands.load_per_metre:
            _loads(self)
        if self.task.problem.arrangement.kind == "rows":
            constrain_rows(self)
        if self.task.moves_at_most is not None:
            self.model.add(self.moves() <= self.task.moves_at_most)
        for cut in self.task.forbidden:
            hanging = [
                sum(v for v, o in self.by_run[run] if o.block == block) for run, block in cut.places
            ]
            others = [
                v
                for run in {run for run, _ in cut.places if cut.only}
                for v, o in self.by_run[run]
                if (run, o.block) not in cut.places
            ]
            self.model.add(sum(hanging) - sum(others) <= len(cut.places) - 1)
        return True

    def moves(self) -> Any:
        """Return how many pieces leave the run where they hung."""
        homes = self.task.homes or ()
        return sum(
            var * self.task.blocks[o.block].count
            for var, o in self.options
            if homes and homes[o.block] not in (None, o.run)
        )

    def before(self, slot: int) -> int | None:
        """Return the slot in use before this one."""
        at = bisect_left(self.slots, slot)
        return self.slots[at - 1] if at else None

    def sums(self, chosen: Sequence[tuple[Any, Option]]) -> Sums:
        """Return what these options of a run add up to."""
        blocks = self.task.blocks
        return Sums(
            sum(var * blocks[o.block].width_mm for var, o in chosen),
            sum(var * blocks[o.block].count for var, o in chosen),
            self._section_changes(chosen),
        )

    def _section_changes(self, chosen: Sequence[tuple[Any, Option]]) -> Any:
        """Count how often one section follows another among the chosen; 0 where nothing asks."""
        if self.task.problem.arrangement.section_gap_mm is None or not chosen:
            return 0
        here: dict[str | None, list[Any]] = {}
        for var, o in chosen:
            here.setdefault(self.task.blocks[o.block].section, []).append(var)
        some = self.flag([var for var, _ in chosen])
        return sum(self.flag(members) for members in here.values()) - some

    def flag(self, members: Sequence[Any]) -> Any:
        """Return the variable that is true when any of these is."""
        flag = self.model.new_bool_var("")
        if members:
            self.model.add_max_equality(flag, members)
        else:
            self.model.add(flag == 0)
        return flag


def _place(build: Model) -> bool:
    task = build.task
    build.by_run = [[] for _ in task.runs]
    choices: list[list[Any]] = [[] for _ in task.blocks]
    for option in options_of(
        task.problem,
        task.blocks,
        task.runs,
        task.cells,
        task.demands,
        most_gap_mm=build.band[1],
        lenient=task.lenient,
    ):
        if task.windows and not (
            task.windows[option.block][0] <= option.run <= task.windows[option.block][1]
        ):
            continue
        var = build.model.new_bool_var("")
        build.options.append((var, option))
        build.by_run[option.run].append((var, option))
        choices[option.block].append(var)
    for options in choices:
        if not options:
            return False
        build.model.add_exactly_one(options)
    return True


def _run(build: Model, r: int) -> Free | None:
    """Let twice the free length of a run lie between units x least gap and units x largest."""
    rule, run, model = build.task.problem.arrangement, build.task.runs[r], build.model
    chosen = build.by_run[r]
    if build.band[0] >= build.task.needed_mm[r]:
        used = model.new_constant(1)
        model.add_bool_or([var for var, _ in chosen])
    else:
        used = build.flag([var for var, _ in chosen])
    build.used.append(used)
    if not chosen:
        return None
    all_here = build.sums(chosen)
    least, most = build.band
    twice_free = 2 * (run.length_mm - all_here.width_mm)
    twice_free -= 2 * (rule.section_gap_mm or 0) * all_here.changes
    inner = 2 * (all_here.count - all_here.changes) - 2
    if rule.ends == "free":
        units = inner + (4 if least > rule.min_gap_mm else run.left + run.right)
    else:
        units = inner + run.left + run.right
        capped = rule.max_gap_mm is not None and most >= rule.max_gap_mm
        if not capped:
            model.add(twice_free <= (most + 1) * units - 1).only_enforce_if(used)
    model.add(twice_free >= least * units).only_enforce_if(used)
    return Free(all_here, twice_free, inner + 4 if rule.ends == "free" else units)


def _whole_length(build: Model) -> None:
    """Set the free length of all runs in use against all gaps: redundant, and quick to prove by."""
    task, model = build.task, build.model
    rule = task.problem.arrangement
    if rule.ends == "free" or rule.section_gap_mm is not None:
        return
    least, most = build.band
    count = sum(block.count for block in task.blocks)
    width = sum(block.width_mm for block in task.blocks)
    pairs = list(zip(build.used, task.runs, strict=True))
    twice_free = sum(2 * run.length_mm * used for used, run in pairs) - 2 * width
    units = 2 * count + sum((run.left + run.right - 2) * used for used, run in pairs)
    model.add(twice_free >= least * units)
    if rule.max_gap_mm is None or most < rule.max_gap_mm:
        model.add(twice_free <= (most + 1) * units - sum(build.used))


def pin_slot(task: Task, piece: Piece) -> int:
    """Return the slot behind the last cell that lies before a piece fixed in place."""
    walls = [wall.id for wall in task.problem.walls]
    here = walls.index(piece.wall or walls[0])
    before = [
        c
        for c, cell in enumerate(task.cells)
        if (walls.index(task.runs[cell.run].wall.id), task.runs[cell.run].row, cell.from_mm)
        < (here, 0, piece.x_mm or 0)
    ]
    return 2 * max(before, default=-1) + 1


def _keep_order(build: Model) -> None:
    rule = build.task.problem.arrangement
    if rule.order:
        _keep_given_order(build)
    if rule.kind == "by_section":
        _keep_sections(build)
    if rule.kind == "rise":
        _keep_rise(build)


def _steps(build: Model) -> dict[int, Any]:
    """Return a variable for each slot in use that, once true along the slots, stays true."""
    steps = {slot: build.model.new_bool_var("") for slot in build.slots}
    for a, b in pairwise(steps.values()):
        build.model.add_implication(a, b)
    return steps


def _keep_given_order(build: Model) -> None:
    done = [_steps(build) for _ in build.task.blocks]
    for var, o in build.options:
        build.model.add_implication(var, done[o.block][o.last])
        if (earlier := build.before(o.last)) is not None:
            build.model.add_implication(var, done[o.block][earlier].negated())
        if o.block:
            build.model.add_implication(var, done[o.block - 1][o.first])
    order = build.task.problem.arrangement.order or ()
    for piece in build.task.problem.pieces:
        if piece.x_mm is not None and piece.id in order:
            pin, place = pin_slot(build.task, piece), order.index(piece.id)
            for var, o in build.options:
                first = order.index(build.task.blocks[o.block].pieces[0].id)
                if (o.first > pin) if first < place else (o.last < pin):
                    build.model.add(var == 0)


def _keep_rise(build: Model) -> None:
    """Let no piece of a later slot of a run be smaller than one of an earlier slot."""
    task = build.task
    rank = {i: n for n, i in enumerate(rising(range(len(task.blocks)), task.blocks))}
    for r, chosen in enumerate(build.by_run):
        slots = [c for c, cell in enumerate(task.cells) if cell.run == r]
        for t in range(2 * slots[0], 2 * slots[-1]):
            below = [build.model.new_bool_var("") for _ in task.blocks]
            for one, other in pairwise(below):
                build.model.add_implication(other, one)
            for var, o in chosen:
                if o.last <= t:
                    build.model.add_implication(var, below[rank[o.block]])
                elif o.first > t:
                    build.model.add_implication(var, below[rank[o.block]].negated())


def _keep_sections(build: Model) -> None:
    """A section begins once and ends once along the slots; another begins where it has ended."""
    task, model = build.task, build.model
    pinned = [piece for piece in task.problem.pieces if piece.x_mm is not None]
    sections_here = [*(block.section for block in task.blocks), *(p.section for p in pinned)]
    names = list(dict.fromkeys(sections_here))
    begun = {name: _steps(build) for name in names}
    ended = {name: _steps(build) for name in names}
    for name in names:
        for slot in build.slots:
            model.add_implication(ended[name][slot], begun[name][slot])
    for var, o in build.options:
        section = task.blocks[o.block].section
        model.add_implication(var, begun[section][o.first])
        if (earlier := build.before(o.last)) is not None:
            model.add_implication(var, ended[section][earlier].negated())
    for piece in pinned:
        _keep_pin(build, pin_slot(task, piece), begun[piece.section], ended[piece.section])
    sections = task.problem.arrangement.sections
    if sections:
        for a, b in pairwise([name for name in sections if name in begun]):
            for slot in build.slots:
                model.add_implication(begun[b][slot], ended[a][slot])
        return
    for n, one in enumerate(names):
        for other in names[n + 1 :]:
            earlier_one = model.new_bool_var("")
            for t in build.slots:
                model.add_bool_or([earlier_one.negated(), begun[other][t].negated(), ended[one][t]])
                model.add_bool_or([earlier_one, begun[one][t].negated(), ended[other][t]])


def _keep_pin(build: Model, pin: int, begun: dict[int, Any], ended: dict[int, Any]) -> None:
    """Let a section have begun before, and not ended before, a piece of it fixed in place."""
    build.model.add(begun[pin] == 1)
    if (earlier := build.before(pin)) is not None:
        build.model.add(ended[earlier] == 0)


def _loads(build: Model) -> None:
    """Count a block that straddles stretches fully on each; a lenient model on none."""
    task = build.task
    for wall in task.problem.walls:
        for fixing in wall.fixings:
            if fixing.max_kg_per_m is None:
                continue
            load = [
                var * task.blocks[o.block].mass_g
                for var, o in build.options
                if task.runs[o.run].wall.id == wall.id and _bears(task, o, fixing)
            ]
            limit = int(fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm))
            pinned = sum(
                piece.mass_g
                for piece in task.problem.pieces
                if piece.x_mm is not None
                and piece.wall == wall.id
                and piece.x_mm < fixing.to_mm
                and piece.x_mm + piece.width_mm > fixing.from_mm
            )
            if load and limit < NO_LIMIT:
                build.model.add(sum(load) <= limit - (0 if task.lenient else pinned))


def _bears(task: Task, o: Option, fixing: Fixing) -> bool:
    """Tell whether a stretch must count an option's mass in full."""
    cells = task.cells[o.first // 2 : (o.last + 1) // 2 + 1]
    if task.lenient:
        return all(c.from_mm >= fixing.from_mm and c.to_mm <= fixing.to_mm for c in cells)
    return any(c.from_mm < fixing.to_mm and c.to_mm > fixing.from_mm for c in cells)
