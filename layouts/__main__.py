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
from layouts.explaining import explained
from layouts.floor import command as floor

OK, NO_HANG, BAD_INPUT = 0, 1, 2


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
