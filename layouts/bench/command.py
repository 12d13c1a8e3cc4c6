"""Measure what the layouts find, and how long it takes, against plain ways: `bench`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from layouts.bench.hanging import hangs
from layouts.bench.instances import exhibition
from layouts.bench.memory import memory
from layouts.bench.packing import groups, rows
from layouts.bench.relating import related
from layouts.bench.repeating import same
from layouts.bench.resolving import resolve
from layouts.bench.symmetry import mirrored
from layouts.solve import solve

SIZES = {"120": (120, 8), "300": (300, 16), "1000": (1000, 40)}
MEASURED: dict[str, Callable[[argparse.Namespace], int]] = {
    "hangs": lambda given: hangs(*SIZES[given.size], given.count, given.plain_seconds),
    "resolve": lambda given: resolve(*SIZES[given.size], given.count),
    "mirrored": lambda given: mirrored(),
    "rows": lambda given: rows(),
    "cluster": lambda given: groups(given.packings),
    "related": lambda given: related(given.near),
    "memory": lambda given: memory(*SIZES[given.size]),
    "same": lambda given: same(*SIZES[given.size], given.count),
}


def add(subparsers: Any) -> None:
    """Add the command to a parser's subcommands."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "bench", help="measure hangs and compare them with plain ways to do it"
    )
    parser.add_argument("--what", choices=[*MEASURED, "all"], default="hangs")
    parser.add_argument("--size", choices=[*SIZES], default="120", help="pieces of exhibitions")
    parser.add_argument("--count", type=int, default=5, help="exhibitions of each sort")
    parser.add_argument("--plain-seconds", type=float, default=10.0, help="for the plain model")
    parser.add_argument("--packings", type=Path, help="folder of published strips as JSON")
    parser.add_argument("--near", type=Path, help="folder of published rows of related pieces")


def run(given: argparse.Namespace) -> int:
    """Print what was measured; returns 1 if an answer is wrong, breaks a demand or differs."""
    solve(exhibition(4, 2, 0, planted=True))
    wrong = 0
    for what in MEASURED if given.what == "all" else [given.what]:
        try:
            wrong += MEASURED[what](given)
        except ImportError as error:
            print(f"{what}: {error}\n", file=sys.stderr)
            wrong += given.what != "all"
    return 1 if wrong else 0
