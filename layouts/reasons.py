"""Say in words which demands cannot hold together, and what would make it work.

Each demand is dropped in turn; where the rest can be kept, that demand clashes with the rest, and
the hang found without it shows how far it would have to give way. Every relaxation named was thus
solved and verified against all other demands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from layouts.checks import Fault, check
from layouts.clashes import smallest_clash
from layouts.geometry import room_mm, rule_on
from layouts.problem import Problem
from layouts.search.options import Demands
from layouts.solution import Conflict, Solution
from layouts.stacking import stack_mm

Attempt = Callable[..., Solution | None]


def explain(
    problem: Problem,
    *,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[Conflict]:
    """Return one conflict for every single demand whose going would make the hang possible."""
    problem = replace(problem, previous=None, moves_at_most=None)
    attempt = partial(_try, seconds=seconds, seed=seed, cancelled=cancelled)
    found = list(_one_by_one(problem, attempt))
    if found:
        return found
    return [_several(problem, seconds=seconds, seed=seed, cancelled=cancelled)]


def _several(
    problem: Problem, *, seconds: float, seed: int, cancelled: Callable[[], bool]
) -> Conflict:
    """Name a smallest set of demands that clash, where no single one is enough to give up."""
    clash = smallest_clash(problem, seconds=seconds, seed=seed, cancelled=cancelled)
    if not clash:
        return Conflict(
            "several",
            tuple(piece.id for piece in problem.pieces),
            tuple(wall.id for wall in problem.walls),
            "No hang keeps every demand, and giving up any single kind of demand is not enough: "
            "at least two kinds clash with the walls.",
            "Take objects off this hang, or add wall.",
        )
    words = "; ".join(demand.words for demand in clash)
    return Conflict(
        "several",
        tuple(dict.fromkeys(name for demand in clash for name in demand.pieces)),
        tuple(dict.fromkeys(name for demand in clash for name in demand.walls)),
        f"These {len(clash)} demands cannot hold together on these walls: {words}.",
        "Give up any one of them, and they no longer clash; another such set may then show itself.",
        len(clash),
    )


def _one_by_one(problem: Problem, attempt: Attempt) -> Iterator[Conflict]:
    yield from _gap(problem, attempt)
    for rule, demands in (
        ("light", Demands(light=False)),
        ("dose", Demands(dose=False)),
        ("load", Demands(load=False)),
        ("load_per_metre", Demands(load_per_metre=False)),
        ("fixed", Demands(fixed_wall=False)),
        ("order", Demands(order=False)),
        ("height", Demands(height=False)),
    ):
        answer = attempt(problem, demands)
        if answer is not None and (faults := check(problem, answer)):
            yield (
                _heights(problem, answer)
                if rule == "height" and problem.arrangement.kind == "rows"
                else _from_faults(rule, problem, faults)
            )
    for number, group in enumerate(problem.together):
        fewer = tuple(g for n, g in enumerate(problem.together) if n != number)
        if attempt(replace(problem, together=fewer)) is not None:
            names = ", ".join(group)
            yield Conflict(
                "together",
                group,
                (),
                f"{names} cannot hang together and keep every other limit.",
                f"Let {names} hang apart from each other.",
            )
    for number, rule_apart in enumerate(problem.apart):
        rest = tuple(r for n, r in enumerate(problem.apart) if n != number)
        if attempt(replace(problem, apart=rest)) is not None:
            names = " and ".join(rule_apart.pieces)
            yield Conflict(
                "apart",
                rule_apart.pieces,
                (),
                f"{names} cannot be {rule_apart.at_least_mm} mm apart and keep every other limit.",
                f"Let {names} hang nearer to each other.",
                rule_apart.at_least_mm,
            )


def _heights(problem: Problem, answer: Solution) -> Conflict:
    """Say how high the rows came to be where their height was no limit."""
    rule = problem.arrangement
    pieces = {piece.id: piece for piece in problem.pieces}
    over, wall, stack = 0, problem.walls[0], 0
    for one in problem.walls:
        rows = [
            [pieces[p.id] for p in answer.placements if (p.wall, p.row) == (one.id, row)]
            for row in range(rule.rows)
        ]
        high = stack_mm(rule, [[p for p in row if p.x_mm is None] for row in rows])
        if high - room_mm(one, rule) > over:
            over, wall, stack = high - room_mm(one, rule), one, high
    return Conflict(
        "height",
        tuple(p.id for p in answer.placements if p.wall == wall.id),
        (wall.id,),
        f"{rule.rows} rows with {rule.row_gap_mm} mm between them came to {stack:,} mm; about a "
        f"datum of {rule_on(wall, rule).datum_mm} mm wall {wall.id} has room for "
        f"{stack - over:,} mm.",
        f"Ask for fewer rows, less between them, or a datum that leaves {over:,} mm more.",
        over,
    )


def _gap(problem: Problem, attempt: Attempt) -> Iterator[Conflict]:
    """Find the largest smallest gap that works, by solving with none asked."""
    wanted = problem.arrangement.min_gap_mm
    if not wanted:
        return
    looser = replace(problem, arrangement=replace(problem.arrangement, min_gap_mm=0))
    answer = attempt(looser)
    if answer is None:
        return
    best = min(
        (run.gap_mm for run in answer.runs if run.gap_mm is not None),
        default=answer.measures.smallest_gap_mm,
    )
    best = min(best, answer.measures.smallest_gap_mm)
    yield Conflict(
        "gap",
        tuple(piece.id for piece in problem.pieces),
        tuple(wall.id for wall in problem.walls),
        f"Gaps of {wanted} mm do not fit with every other limit; {best} mm do.",
        f"Let gaps be {best} mm.",
        wanted - best,
    )


def _try(
    problem: Problem,
    demands: Demands | None = None,
    *,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> Solution | None:
    from layouts.solve import arrange

    if cancelled():
        return None
    try:
        return arrange(problem, seconds=seconds, seed=seed, demands=demands, cancelled=cancelled)
    except TimeoutError:
        return None


def _from_faults(rule: str, problem: Problem, faults: list[Fault]) -> Conflict:
    names = tuple(dict.fromkeys(name for fault in faults for name in fault.pieces))
    count = len(names)
    many = f"{count} objects" if count > 3 else " and ".join(names)
    sentences = {
        "light": f"The light limits of {many} do not leave a place for everything.",
        "dose": f"The doses of light that {many} bear do not leave a place for everything.",
        "load": f"The walls' load limits leave no place for {many}.",
        "load_per_metre": "The load per running metre leaves no place for everything.",
        "fixed": f"{many} cannot stay on the wall chosen.",
        "height": f"The heights allowed leave no place for {many}.",
        "order": "The order asked for cannot be kept with every other limit.",
    }
    relaxations = {
        "light": "It works if these may hang brighter: ",
        "dose": "It works with fewer hours, or less light, here: ",
        "load": "It works if the wall carries more here: ",
        "load_per_metre": "It works with more load a metre: ",
        "fixed": "It works if these may change wall: ",
        "height": "It works if these may reach further: ",
        "order": "It works out of order: ",
    }
    return Conflict(
        rule,
        names,
        tuple(wall.id for wall in problem.walls),
        sentences[rule],
        relaxations[rule] + " ".join(fault.sentence for fault in faults[:6]),
        count,
    )
