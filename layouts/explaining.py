"""An answer in sentences: what is proved, how even it is, who hangs where, what moved, why not."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from layouts.solution import Conflict, Move, Relaxation, Solution

STATUS = {
    "optimal": "Proved: no hang is more even.",
    "feasible": "Every demand is kept; whether a more even hang exists is not proved.",
    "infeasible": "No hang.",
    "invalid": "The problem cannot be read.",
}
KEPT = {
    "optimal": "Proved: no hang disturbs the previous one less.",
    "feasible": "Every demand is kept; that no hang disturbs the previous one less is not proved.",
}
CAUTION = (
    "This certifies nothing: loads over people's heads, their fixings and the structure behind are "
    "decided by local codes and by people licensed to do so."
)
GRANTED = (
    "What would help is computed, not granted: light is for whoever cares for the objects to "
    "allow, loads are for licensed people to confirm."
)
TO_GRANT = ("light", "dose", "load", "load_per_metre")
WIDE = 100
MOST_SHIFTS = 12


def explained(answer: Solution) -> str:
    """Return an answer in sentences fit to show; lines are at most 100 characters wide."""
    status = STATUS[answer.status]
    if "relocated" in answer.bound:
        status = KEPT[answer.status]
    lines = [f"{status} ({answer.seconds:.2f} s)"]
    several = len(answer.conflicts) > 1
    for number, conflict in enumerate(answer.conflicts, 1):
        lines += ["", *_conflict(conflict, f"{number}. " if several else "")]
    ways = [way for conflict in answer.conflicts for way in conflict.relaxations]
    if any(other.demand in TO_GRANT for way in ways for other in (way, *way.also)):
        lines += ["", *textwrap.wrap(GRANTED, WIDE)]
    if not answer.placements:
        return "\n".join(lines)
    lines += ["", *_measures(answer), *_moves(answer), *_runs(answer)]
    return "\n".join([*lines, "", *textwrap.wrap(CAUTION, WIDE)])


def _conflict(conflict: Conflict, number: str) -> Iterator[str]:
    indent = " " * len(number)
    yield from textwrap.wrap(
        conflict.sentence, WIDE, initial_indent=number, subsequent_indent=indent
    )
    if conflict.demands and len(conflict.demands) != 1 and conflict.rule != "several":
        yield f"{indent}These demands clash, and without any one of them do not:"
        for words in conflict.demands:
            yield from _item(words, indent)
    if not conflict.relaxations:
        for line in textwrap.wrap(conflict.relaxation, WIDE - len(indent)):
            yield indent + line
        return
    one = len(conflict.relaxations) == 1
    yield f"{indent}{'This makes' if one else 'Any one of these makes'} it possible (verified):"
    for way in conflict.relaxations:
        yield from _item(_way(way), indent)


def _way(way: Relaxation) -> str:
    sure = way.exact and way.amount and way.demand != "leave"
    return f"{way.sentence[:-1]}: the least, proved." if sure else way.sentence


def _item(words: str, indent: str) -> Iterator[str]:
    yield from textwrap.wrap(
        words, WIDE, initial_indent=f"{indent}- ", subsequent_indent=f"{indent}  "
    )


def _measures(answer: Solution) -> list[str]:
    measures = answer.measures
    words = (
        f"Gaps spread by {measures.gap_spread_mm} mm (no hang by less than "
        f"{answer.bound.get('gap_spread_mm', 0)} mm at this least gap), the least is "
        f"{measures.smallest_gap_mm} mm. Facing widths differ by {measures.mirror_error_mm} mm in "
        f"all; the weight stands off the middle by {measures.balance_offset_mm} mm at most."
    )
    if "relocated" in answer.bound:
        words = words.replace(
            f" (no hang by less than {answer.bound.get('gap_spread_mm', 0)} mm at this least gap)",
            "",
        )
    return textwrap.wrap(words, WIDE)


def _moves(answer: Solution) -> Iterator[str]:
    if not answer.moves:
        return
    measures = answer.measures
    gone = [move for move in answer.moves if move.relocated]
    shifted = [move for move in answer.moves if not move.relocated]
    yield ""
    yield (
        f"Against the previous hang {_pieces(len(gone), 'changes', 'change')} run or order and "
        f"{_pieces(len(shifted), 'shifts', 'shift')}, {measures.moved_mm:,} mm in all:"
    )
    for move in gone:
        yield (
            f"  {move.id:12} from {move.from_wall} at {move.from_x_mm} mm to {move.to_wall} at "
            f"{move.to_x_mm} mm"
        )
    yield from _shifts(shifted)


def _shifts(shifted: Sequence[Move]) -> Iterator[str]:
    furthest = sorted(shifted, key=lambda move: -move.by_mm)
    for move in furthest[:MOST_SHIFTS]:
        yield (
            f"  {move.id:12} on {move.to_wall} from {move.from_x_mm} mm to {move.to_x_mm} mm, by "
            f"{move.by_mm} mm"
        )
    rest = furthest[MOST_SHIFTS:]
    if rest:
        yield f"  and {len(rest)} more, each by {rest[0].by_mm} mm at most"


def _pieces(count: int, one: str, many: str) -> str:
    return f"{count} piece {one}" if count == 1 else f"{count} pieces {many}"


def _runs(answer: Solution) -> Iterator[str]:
    for run in answer.runs:
        here = [
            place
            for place in answer.placements
            if (place.wall, place.row) == (run.wall, run.row)
            and run.from_mm <= place.x_mm < run.to_mm
        ]
        gap = "nothing hangs here" if run.gap_mm is None else f"gap {run.gap_mm} mm"
        row = f", row {run.row + 1}" if any(other.row for other in answer.runs) else ""
        yield ""
        yield f"{run.wall}, {run.from_mm} to {run.to_mm} mm{row}: {gap}"
        for place in here:
            yield (
                f"  {place.id:12} left edge {place.x_mm:6} mm  bottom {place.y_mm:5} mm  "
                f"hook {place.hook_mm:5} mm"
            )
