"""The command `floor PROBLEM.json`: measure a room and print the report as JSON."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

OK, BROKEN, BAD_INPUT = 0, 1, 2


def add(subparsers: Any) -> None:
    """Add the command to a parser's subcommands; `run` is set as its `run`."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "floor", help="measure a room, its route and its narrow places, and print them as JSON"
    )
    parser.add_argument("problem", type=Path)
    parser.add_argument("--check", type=Path, metavar="REPORT", help="verify a report instead")
    parser.add_argument("--svg", type=Path, metavar="FILE", help="also write the plan as SVG")
    parser.add_argument("--words", action="store_true", help="print sentences instead of JSON")
    parser.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Return 0 if every rule is kept, 1 if not, 2 for bad input."""
    from layouts.floor import Floor, solve_floor

    try:
        floor = Floor.from_dict(_read(given.problem))
        if given.check:
            return _check(floor, _read(given.check))
        report = solve_floor(floor)
        if given.svg:
            from layouts.floor.drawing import draw_floor

            given.svg.write_text(draw_floor(floor, report), encoding="utf-8")
    except (OSError, ValueError) as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    print(_words(report) if given.words else json.dumps(report.to_dict(), indent=1))
    return OK if report.status == "passes" else BROKEN


def _check(floor: Any, data: Any) -> int:
    from layouts.floor import FloorReport, check

    try:
        faults = check(floor, FloorReport.from_dict(data))
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"The report cannot be read: {error!r}.") from error
    for fault in faults:
        print(fault.sentence)
    if not faults:
        print("The report holds.")
    return BROKEN if faults else OK


def _words(report: Any) -> str:
    rows = [f"{row.sentence} {row.cure} [{row.source}]".strip() for row in report.findings]
    rows += [] if rows else [f"Every rule that was checked is kept: {report.rules}."]
    if report.route:
        from layouts.floor.narrow import widest_words

        rows.append(widest_words(report.route))
    return "\n".join([*rows, "", *report.cautions])


def _read(path: Path) -> Any:
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"{path} cannot be opened: {error.strerror}.") from error
    except ValueError as error:
        raise ValueError(f"{path} is not JSON: {error}.") from error
