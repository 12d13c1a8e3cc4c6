"""Right hangs of each kind, and how to hang a piece otherwise or ask something else of it."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

from layouts import Problem, Solution, check, solve
from tests.layouts.every_stretch import lead, width
from tests.layouts.problems import DOOR, piece, problem, wall

KINDS = ("even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster")
ROWED = tuple(kind for kind in KINDS if kind != "cluster")
SINGLE = tuple(kind for kind in ROWED if kind != "rows")
Hung = tuple[Problem, Solution]
LABEL = {"width_mm": 150, "height_mm": 100, "side": "right", "gap_mm": 40}


@cache
def right(kind: str) -> Hung:
    """Return a hang without fault: even heights, so that every line is a whole millimetre."""
    sizes = [(400, 500), (300, 420), (520, 620), (350, 380), (280, 300), (440, 560), (310, 340)]
    sizes *= 2 if kind == "rows" else 1
    pieces = [
        piece(f"P{n}", w, h, section="A" if n < 4 else "B", mass_g=2000 + 100 * n, hang_point_mm=60)
        for n, (w, h) in enumerate(sizes)
    ]
    pieces[1]["label"] = LABEL
    pieces.append(piece("F", 200, 300, section="B", wall="E", x_mm=2500, y_mm=1350, mass_g=500))
    data = problem(
        [wall("N", 5000, blocked=[DOOR]), wall("E", 4600)],
        pieces,
        kind=kind,
        datum_mm=1500,
        min_gap_mm=60 if kind == "cluster" else 20,
        rows=2 if kind == "rows" else 1,
        sections=["A", "B"] if kind == "by_section" else None,
    )
    task = Problem.from_dict(
        data | ({"near": [{"pieces": ["P0", "P3"]}]} if kind == "related" else {})
    )
    answer = solve(task)
    assert answer.placements, answer.conflicts
    assert check(task, answer) == []
    return task, answer


def rules(hung: Hung) -> set[str]:
    return {fault.rule for fault in check(*hung)}


def place(hung: Hung, name: str):
    return next(p for p in hung[1].placements if p.id == name)


def hang(hung: Hung, name: str, **values) -> Hung:
    """Return the hang with one piece hung otherwise; its hook goes with it unless told."""
    task, answer = hung
    old = place(hung, name)
    if "y_mm" in values:
        values.setdefault("hook_mm", old.hook_mm + values["y_mm"] - old.y_mm)
    rows = [replace(p, **values) if p.id == name else p for p in answer.placements]
    return task, replace(answer, placements=tuple(rows))


def ask(hung: Hung, name: str, **values) -> Hung:
    """Return the hang under a problem that says something else of one piece."""
    task, answer = hung
    rows = [replace(p, **values) if p.id == name else p for p in task.pieces]
    return replace(task, pieces=tuple(rows)), answer


def build(hung: Hung, name: str, **values) -> Hung:
    """Return the hang under a problem that says something else of one wall."""
    task, answer = hung
    rows = [replace(w, **values) if w.id == name else w for w in task.walls]
    return replace(task, walls=tuple(rows)), answer


def rule(hung: Hung, **values) -> Hung:
    task, answer = hung
    return replace(task, arrangement=replace(task.arrangement, **values)), answer


def demand(hung: Hung, **values) -> Hung:
    return replace(hung[0], **values), hung[1]


def row_of(hung: Hung, *, most: int = 99) -> list[str]:
    """Return the pieces of the run that holds most, from left to right."""
    task, answer = hung
    loose = {p.id for p in task.pieces if p.x_mm is None}
    rows = [
        sorted(
            (p for p in answer.placements if p.id in loose and inside(p, run)),
            key=lambda p: (p.x_mm, p.y_mm),
        )
        for run in answer.runs
    ]
    return [p.id for p in max(rows, key=len)][:most]


def inside(place, run) -> bool:
    same = (place.wall, place.row) == (run.wall, run.row)
    return same and run.from_mm <= place.x_mm < run.to_mm


def edges(hung: Hung, name: str) -> tuple[int, int, int, int]:
    """Return the left, bottom, right and top edge of a piece."""
    at, one = place(hung, name), hung[0].piece(name)
    return at.x_mm, at.y_mm, at.x_mm + one.width_mm, at.y_mm + one.height_mm


def plain(hung: Hung) -> tuple[str, str]:
    """Return a piece without a label that has another to its right in its run, and that."""
    row = row_of(hung)
    return next((a, b) for a, b in pairwise(row) if not hung[0].piece(a).label)


def gaps(hung) -> list[int]:
    """Return all gaps between neighbours in a run, labels counted in the pieces' widths."""
    task, answer = hung
    found = []
    for run in answer.runs:
        row = [task.piece(p.id) for p in answer.placements if p.id != "F" and inside(p, run)]
        row.sort(key=lambda one: edges(hung, one.id)[0])
        starts = [edges(hung, one.id)[0] - lead(one) for one in row]
        ends = [start + width(one) for start, one in zip(starts, row, strict=True)]
        found += [start - end for end, start in zip(ends, starts[1:], strict=False)]
    return found
