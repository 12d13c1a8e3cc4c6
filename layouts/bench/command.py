"""Compare the search with plain ways on generated hangs: `bench`."""

from __future__ import annotations

import argparse
import time
from statistics import median
from typing import Any

from layouts.bench.baselines import greedy, in_list_order, plain_model
from layouts.bench.instances import exhibition
from layouts.checks import check
from layouts.problem import Problem
from layouts.solve import solve

SIZES = {"120": (120, 8), "300": (300, 16), "1000": (1000, 40)}


def add(subparsers: Any) -> None:
    """Add the command to a parser's subcommands."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "bench", help="hang generated exhibitions and compare with plain ways to do it"
    )
    parser.add_argument("--size", choices=[*SIZES], default="120", help="pieces")
    parser.add_argument("--count", type=int, default=5, help="exhibitions of each sort")
    parser.add_argument("--plain-seconds", type=float, default=10.0, help="for the plain model")


def run(given: argparse.Namespace) -> int:
    """Print one line an exhibition and a summary; returns 1 if an answer breaks a demand."""
    pieces, walls = SIZES[given.size]
    solve(exhibition(4, 2, 0, planted=True))
    print(f"{pieces} pieces on {walls} walls, in sections, with light, load, together and apart.")
    print("Gaps as least + spread; the bound is on the spread at that least gap.")
    print(
        "exhibition   seconds status    gaps          bound  plain model   greedy       list order"
    )
    seconds, faults = [], 0
    for planted in (True, False):
        for seed in range(given.count):
            problem = Problem.from_dict(exhibition(pieces, walls, seed, planted=planted))
            began = time.perf_counter()
            answer = solve(problem)
            seconds.append(time.perf_counter() - began)
            faults += len(check(problem, answer)) if answer.placements else 0
            plain = plain_model(problem, given.plain_seconds)
            measures = answer.measures
            gaps = f"{measures.smallest_gap_mm} + {measures.gap_spread_mm} mm"
            print(
                f"{'perfect' if planted else 'rough':8}{seed:3} {seconds[-1]:8.2f} "
                f"{answer.status:10}{gaps if answer.placements else 'nothing':13} "
                f"{answer.bound.get('gap_spread_mm', 0):2} mm  "
                f"{plain.words:13} {greedy(problem).words:12} {in_list_order(problem).words}",
                flush=True,
            )
    print(
        f"Search: median {median(seconds):.2f} s, slowest {max(seconds):.2f} s, "
        f"{faults} demands broken. The plain model had {given.plain_seconds:g} s each."
    )
    return 1 if faults else 0
