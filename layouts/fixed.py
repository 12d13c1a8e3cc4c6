"""What is wrong with pieces that are fixed in place, before anything is sought round them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from layouts.checks import check
from layouts.geometry import bottom_mm, rule_on
from layouts.problem import Problem
from layouts.solution import Conflict, Placement, Solution

FREE_OF_OTHERS = (
    "outside",
    "blocked",
    "overlap",
    "height",
    "light",
    "dose",
    "load",
    "load_per_metre",
    "fixed",
    "apart",
    "order",
    "sections",
)


def fixed_amiss(problem: Problem) -> Iterator[Conflict]:
    """Yield what fixed pieces break where they are, and what must hang with them and is loose."""
    fixed = {piece.id: piece for piece in problem.pieces if piece.x_mm is not None}
    for group in problem.together:
        held = [name for name in group if name in fixed]
        loose = [name for name in group if name not in fixed]
        if held and loose:
            yield Conflict(
                "fixed",
                group,
                (),
                f"{' and '.join(held)} cannot stay fixed in place while {' and '.join(loose)}, to "
                "hang beside, may move.",
                f"Fix all of {', '.join(group)}, or none of them.",
            )
    if not fixed:
        return
    rule = problem.arrangement
    places = tuple(
        Placement(
            piece.id,
            piece.wall or "",
            piece.x_mm or 0,
            (y := bottom_mm(piece, rule_on(problem.wall(piece.wall or ""), rule))),
            0,
            y + piece.height_mm - piece.hang_point_mm,
        )
        for piece in fixed.values()
    )
    alone = replace(
        problem,
        pieces=tuple(fixed.values()),
        together=(),
        apart=tuple(rule for rule in problem.apart if set(rule.pieces) <= fixed.keys()),
        near=(),
        arrangement=replace(
            rule,
            kind="by_section" if rule.kind == "by_section" else "even",
            order=tuple(name for name in rule.order or () if name in fixed) or None,
        ),
    )
    for fault in check(alone, Solution("", places)):
        if fault.rule in FREE_OF_OTHERS:
            yield Conflict(
                fault.rule,
                fault.pieces,
                (),
                f"Fixed in place: {fault.sentence}",
                f"Move {' or '.join(fault.pieces)}, or let it hang freely.",
            )
