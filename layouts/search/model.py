"""The model that asks: can all gaps lie in this band?

With the band given, every demand is linear in yes-or-no variables: a run's free length against its
count of gaps. Only where light or load changes within a run must the gap itself be known, and there
a few cases divide the band.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from layouts.blocks import Block
from layouts.geometry import NO_LIMIT, Cell, Stretch
from layouts.problem import Fixing, Piece, Problem
from layouts.search.limits import needed_from_mm
from layouts.search.options import EVERY_DEMAND, Demands, Option, options_of
from layouts.search.order import rising

CASES = 6
MM = 16
"""Positions within a run are counted in sixteenths of a millimetre, gaps in eighths."""


@dataclass(frozen=True)
class Forbidden:
    """(Run, block) pairs that must not all come true: no order is known that would allow them."""

    places: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Task:
    """What all models of one search have in common."""

    problem: Problem
    blocks: Sequence[Block]
    runs: Sequence[Stretch]
    cells: Sequence[Cell]
    demands: Demands = EVERY_DEMAND
    forbidden: tuple[Forbidden, ...] = ()
    lenient: bool = False
    windows: tuple[tuple[int, int], ...] | None = None
    needed_mm: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        needed = needed_from_mm(self.problem, self.blocks, self.runs)
        object.__setattr__(self, "needed_mm", needed)

    @property
    def bordered(self) -> bool:
        return len(self.cells) > len(self.runs)


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
        pins = {_pin_slot(self.task, p) for p in self.task.problem.pieces if p.x_mm is not None}
        ends = {slot for _, o in self.options for slot in (o.first, o.last)}
        self.slots = sorted(ends | {pin for pin in pins if pin >= 0})
        for r in range(len(self.task.runs)):
            _run(self, r)
        _whole_length(self)
        if self.task.demands.order:
            _keep_order(self)
        if self.task.demands.load_per_metre:
            _loads(self)
        for cut in self.task.forbidden:
            hanging = [
                sum(v for v, o in self.by_run[run] if o.block == block) for run, block in cut.places
            ]
            self.model.add(sum(hanging) <= len(cut.places) - 1)
        return True

    def before(self, slot: int) -> int | None:
        """Return the slot in use before this one."""
        at = bisect_left(self.slots, slot)
        return self.slots[at - 1] if at else None

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


@dataclass(frozen=True)
class _Sums:
    """Width, count and section changes of some options of a run, as expressions."""

    width_mm: Any
    count: Any
    changes: Any


def _sums(build: Model, chosen: Sequence[tuple[Any, Option]]) -> _Sums:
    blocks = build.task.blocks
    return _Sums(
        sum(var * blocks[o.block].width_mm for var, o in chosen),
        sum(var * blocks[o.block].count for var, o in chosen),
        _section_changes(build, chosen),
    )


def _section_changes(build: Model, chosen: Sequence[tuple[Any, Option]]) -> Any:
    """Count how often one section follows another among the chosen; 0 where nothing asks."""
    if build.task.problem.arrangement.section_gap_mm is None or not chosen:
        return 0
    here: dict[str | None, list[Any]] = {}
    for var, o in chosen:
        here.setdefault(build.task.blocks[o.block].section, []).append(var)
    return sum(build.flag(members) for members in here.values()) - build.flag(
        [var for var, _ in chosen]
    )


def _run(build: Model, r: int) -> None:
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
        return
    all_here = _sums(build, chosen)
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
    if sum(cell.run == r for cell in build.task.cells) > 1:
        _borders(build, r, all_here, twice_free, units)


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


@dataclass(frozen=True)
class _Case:
    """While `when` holds, gaps lie from `low` to `high` eighths of a mm; `centred` rows are free
    of their margins."""

    when: Any
    low: int
    high: int
    centred: bool


def _cases(build: Model, r: int, twice_free: Any, units: Any) -> list[_Case]:
    rule, model = build.task.problem.arrangement, build.model
    least, most = build.band
    cap = rule.max_gap_mm
    if rule.ends == "free":
        gap = least if cap is None else min(least, cap)
        return [_Case(build.used[r], 8 * gap, 8 * gap, True)]
    cases = []
    if cap is not None and most >= cap:
        centred = model.new_bool_var("")
        model.add(twice_free >= cap * units).only_enforce_if(centred)
        cases.append(_Case(centred, 8 * cap, 8 * cap, True))
        most = cap - 1
    for low, high in _parts_of_band(least, most):
        when = model.new_bool_var("")
        model.add(8 * twice_free >= low * units).only_enforce_if(when)
        model.add(8 * twice_free <= high * units).only_enforce_if(when)
        cases.append(_Case(when, low, high, False))
    model.add_exactly_one([*(case.when for case in cases), build.used[r].negated()])
    return cases


def _parts_of_band(least: int, most: int) -> Iterator[tuple[int, int]]:
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


def _borders(build: Model, r: int, whole: _Sums, twice_free: Any, units: Any) -> None:
    """Let each border between cells fall into a gap, or into a block that bears both sides."""
    task, model = build.task, build.model
    cases = _cases(build, r, twice_free, units)
    borders = [c for c, (a, b) in enumerate(pairwise(task.cells)) if a.run == r and b.run == r]
    for c in borders:
        slot = 2 * c + 1
        before = [(v, o) for v, o in build.by_run[r] if o.last < slot]
        after = build.flag([v for v, o in build.by_run[r] if o.first > slot])
        over = [
            (v, crossing)
            for v, o in build.by_run[r]
            for crossing in o.crossings
            if crossing.border == c
        ]
        clear = model.new_bool_var("")
        model.add(sum(v for v, _ in over) + clear == 1)
        for v, o in build.by_run[r]:
            if o.first < slot < o.last:
                for w, other in build.by_run[r]:
                    if o.first < other.first and other.last < o.last:
                        model.add_implication(v, w.negated())
        sums = _sums(build, before)
        for case in cases:
            _border(build, r, c, case, whole, sums, over, clear, after)


def _border(
    build: Model,
    r: int,
    c: int,
    case: _Case,
    whole: _Sums,
    before: _Sums,
    over: Sequence[tuple[Any, Any]],
    clear: Any,
    after: Any,
) -> None:
    task, model = build.task, build.model
    rule, run, border = task.problem.arrangement, task.runs[r], MM * task.cells[c].to_mm
    section = rule.section_gap_mm
    low, high, safe = (case.high, case.low, -MM) if task.lenient else (case.low, case.high, MM)

    def behind(gap: int, other: int) -> Any:
        """Return where what follows would begin if gaps were `gap`."""
        at = MM * run.from_mm + MM * before.width_mm + 2 * gap * before.count
        if section is not None:
            at += before.changes * (MM * section - 2 * other)
        if not case.centred:
            return at + run.left * gap
        free = run.length_mm - whole.width_mm - (section or 0) * whole.changes
        return at + MM // 2 * free - gap * (whole.count - 1 - whole.changes)

    wider = 0 if section is None else MM * section - 2 * min(case.low, 8 * section)
    begins_low, begins_high = behind(low, high), behind(high, low)
    if task.lenient:
        begins_low, low_more, high_more = begins_low, wider, 0
    else:
        low_more, high_more = 0, wider
    model.add(begins_high - 2 * high + safe <= border).only_enforce_if([case.when, clear])
    model.add(begins_low + low_more - safe >= border).only_enforce_if([case.when, clear, after])
    from_left = sum(v * (MM * x.low_mm + 2 * high * x.low_gaps) for v, x in over)
    from_right = sum(v * (MM * x.high_mm + 2 * low * x.high_gaps) for v, x in over)
    crossed = [case.when, clear.negated()]
    model.add(begins_high + high_more + from_left + safe <= border).only_enforce_if(crossed)
    model.add(begins_low + low_more + from_right - safe >= border).only_enforce_if(crossed)


def _pin_slot(task: Task, piece: Piece) -> int:
    """Return the slot behind the last cell that lies before a piece fixed in place."""
    walls = [wall.id for wall in task.problem.walls]
    here = walls.index(piece.wall or walls[0])
    before = [
        c
        for c, cell in enumerate(task.cells)
        if (walls.index(task.runs[cell.run].wall.id), cell.from_mm) < (here, piece.x_mm or 0)
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
    names = list(dict.fromkeys(block.section for block in task.blocks))
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
    for piece in task.problem.pieces:
        if piece.x_mm is not None and piece.section in begun:
            _keep_pin(build, _pin_slot(task, piece), begun[piece.section], ended[piece.section])
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
    if pin in begun:
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
