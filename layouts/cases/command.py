"""Arrange showcases from the command line: `cases PROBLEM.json`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

OK, NO_ARRANGEMENT, BAD_INPUT = 0, 1, 2


def add(subparsers: Any) -> None:
    """Add the command to a parser's subparsers."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "cases", help="arrange showcases and print the answer as JSON"
    )
    parser.add_argument("problem", type=Path)
    parser.add_argument("--check", type=Path, help="verify this answer instead of computing one")
    parser.add_argument("--seconds", type=float, default=30.0, help="safety net of time")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--svg", type=Path, help="draw each case into this folder")


def run(args: argparse.Namespace) -> int:
    """Run the command; returns 0 for a good answer, 1 for none or faults, 2 for bad input."""
    from layouts.cases import CasesAnswer, CasesProblem, InvalidCases, check_cases, solve_cases

    try:
        problem = CasesProblem.from_dict(_read(args.problem))
    except (InvalidCases, ValueError) as error:
        faults = error.faults if isinstance(error, InvalidCases) else [str(error)]
        print("\n".join(faults), file=sys.stderr)
        return BAD_INPUT
    if args.check:
        try:
            given = CasesAnswer.from_dict(_read(args.check))
        except (KeyError, TypeError, AttributeError, ValueError) as error:
            print(f"The answer cannot be read: {error}", file=sys.stderr)
            return BAD_INPUT
        found = check_cases(problem, given)
        print("\n".join(fault.sentence for fault in found) or "Every demand is kept.")
        return NO_ARRANGEMENT if found else OK
    answer = solve_cases(problem, seconds=args.seconds, seed=args.seed)
    print(json.dumps(answer.to_dict(), indent=1))
    if args.svg and answer.places:
        from layouts.cases.drawing import write_all

        write_all(problem, answer, args.svg)
    return OK if answer.status in ("optimal", "feasible") else NO_ARRANGEMENT


def _read(path: Path) -> Any:
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"{path} cannot be opened: {error.strerror}.") from error
    except ValueError as error:
        raise ValueError(f"{path} is not JSON: {error}.") from error
