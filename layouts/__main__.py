"""Where things go: compute hangs of walls, showcases and floors, and verify them."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from layouts import InvalidProblem, Problem, Solution, check, solve
from layouts.bench import command as bench
from layouts.cases import command as cases
from layouts.floor import command as floor

OK, NO_HANG, BAD_INPUT = 0, 1, 2

STATUS = {
    "optimal": "Proved: no hang is more even.",
    "feasible": "Every demand is kept; whether a more even hang exists is not proved.",
    "infeasible": "No hang.",
    "invalid": "The problem cannot be read.",
}
CAUTION = (
    "This certifies nothing: loads over people's heads, their fixings and the structure behind are "
    "decided by local codes and by people licensed to do so."
)


def main(words: list[str] | None = None) -> int:
    """Run one command; returns 0 for a good answer, 1 for none, 2 for bad input."""
    parser = argparse.ArgumentParser(prog="python -m layouts", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    hang = commands.add_parser("hang", help="compute a hang and print it as JSON")
    hang.add_argument("problem", type=Path)
    hang.add_argument("--seconds", type=float, default=30.0, help="safety net of time")
    hang.add_argument("--seed", type=int, default=0)
    hang.add_argument("--explain", action="store_true", help="print sentences instead of JSON")
    verify = commands.add_parser("check", help="verify a hang; prints each broken rule")
    verify.add_argument("problem", type=Path)
    verify.add_argument("solution", type=Path)
    cases.add(commands)
    floor.add(commands)
    bench.add(commands)
    given = parser.parse_args(words)
    if given.command == "cases":
        return cases.run(given)
    if given.command == "floor":
        return floor.run(given)
    if given.command == "bench":
        return bench.run(given)
    try:
        problem = _read(given.problem)
        if given.command == "hang":
            return _hang(problem, given.seconds, given.seed, explain=given.explain)
        return _check(problem, _read(given.solution))
    except ValueError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT


def _hang(problem: Any, seconds: float, seed: int, *, explain: bool) -> int:
    answer = solve(problem, seconds=seconds, seed=seed)
    print(explained(answer) if explain else json.dumps(answer.to_dict(), indent=1))
    if answer.status == "invalid":
        return BAD_INPUT
    return OK if answer.placements or not answer.conflicts else NO_HANG


def explained(answer: Solution) -> str:
    """Return an answer in sentences: what is proved, how even it is, who hangs where, why not."""
    lines = [f"{STATUS[answer.status]} ({answer.seconds:.2f} s)"]
    for conflict in answer.conflicts:
        lines += [f"- {conflict.sentence}"]
        lines += [f"  {conflict.relaxation}"] if conflict.relaxation else []
    if not answer.placements:
        return "\n".join(lines)
    measures = answer.measures
    lines.append(
        f"Gaps spread by {measures.gap_spread_mm} mm (no hang by less than "
        f"{answer.bound.get('gap_spread_mm', 0)} mm at this least gap), the least is "
        f"{measures.smallest_gap_mm} mm. Facing widths differ by {measures.mirror_error_mm} mm in "
        f"all; the weight stands off the middle by {measures.balance_offset_mm} mm at most."
    )
    if measures.moved:
        lines.append(f"{measures.moved} pieces moved.")
    for run in answer.runs:
        here = [
            place
            for place in answer.placements
            if place.wall == run.wall and run.from_mm <= place.x_mm < run.to_mm
        ]
        gap = "nothing hangs here" if run.gap_mm is None else f"gap {run.gap_mm} mm"
        lines += ["", f"{run.wall}, {run.from_mm} to {run.to_mm} mm: {gap}"]
        lines += [
            f"  {place.id:12} left edge {place.x_mm:6} mm  bottom {place.y_mm:5} mm  "
            f"hook {place.hook_mm:5} mm"
            for place in here
        ]
    return "\n".join([*lines, "", CAUTION])


def _check(problem: Any, solution: Any) -> int:
    try:
        faults = check(Problem.from_dict(problem), Solution.from_dict(solution))
    except InvalidProblem:
        raise
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"The solution cannot be read: {error!r}.") from error
    for fault in faults:
        print(fault.sentence)
    if not faults:
        print("Every demand is kept.")
    return NO_HANG if faults else OK


def _read(path: Path) -> Any:
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"{path} cannot be opened: {error.strerror}.") from error
    except ValueError as error:
        raise ValueError(f"{path} is not JSON: {error}.") from error


if __name__ == "__main__":
    sys.exit(main())
