r"""Plan which objects are shown where and when, and when they rest; or verify such a plan.

The file gives the days, hours of light a day, changeovers (days, or every_days), places (set, lux,
effort, glass) and objects (set, max_lux, budgets in lux_hours over the display, from_day to to_day
or any_days, longest_days, rest_days, away, effort, mass_g, hazards). The plan has the least effort
of changes, then the evenest use; without a plan, the answer says why and what would help. Objects
and places may stand in CSV files of their own: "objects": "objects.csv", with heads like id, set,
longest_days, budgets.0.lux_hours; several hazards are divided by |.

Example:
  $ echo '{"days": 90, "every_days": 30, "hours_a_day": 8, "places": \
    [{"id": "case 1", "set": "prints", "lux": 50}], "objects": \
    [{"id": "view", "set": "prints", "budgets": [{"lux_hours": 15000}]}, \
    {"id": "map", "set": "prints", "longest_days": 60}]}' \
    | python -m conservation rotate - --table
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from conservation.cli.common import (
    Answer,
    Commands,
    Grid,
    InputError,
    new_command,
    tables_of,
)
from conservation.cli.files import read_json, read_with_lists
from conservation.ranges import in_range
from conservation.rotation import Plan, Problem, check, solve

LISTS = {"objects": ("hazards",), "places": ()}


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "rotate", __doc__)
    parser.add_argument("file", help="JSON; - for standard input")
    parser.add_argument("--check", metavar="PLAN", help="verify this plan instead of making one")
    parser.add_argument("--seed", type=int, default=0, help="another seed may find another plan")
    parser.add_argument("--seconds", type=float, default=60, help="safety net of time a step")
    parser.add_argument(
        "--thorough", type=float, default=1, help="times the usual work; 4 is slower and better"
    )


def run(given: argparse.Namespace) -> Answer:
    """Plan a rotation, or verify one."""
    problem = Problem.from_dict(read_with_lists(given.file, LISTS))
    if given.check is not None:
        return _checked(problem, given.check)
    seconds = in_range("--seconds", given.seconds, 0.1, 86_400, unit="s")
    seed = int(in_range("--seed", given.seed, 0, 2**31 - 1))
    thorough = in_range("--thorough", given.thorough, 0.1, 1_000)
    plan = solve(problem, seconds=seconds, seed=seed, thorough=thorough, tables=tables_of(given))
    planned = plan.status in ("optimal", "feasible")
    grids = tuple(_plan_grids(problem, plan) if planned else _reason_grids(plan))
    return Answer(plan.to_dict(), grids, tuple(_notes(plan)), 0 if planned else 1)


def _checked(problem: Problem, path: str) -> Answer:
    try:
        faults = check(problem, Plan.from_dict(read_json(path)))
    except InputError:
        raise
    except ValueError as error:
        raise InputError(f"{path}: {error}") from error
    rows = [(fault.rule, fault.sentence) for fault in faults]
    notes = () if faults else ("Every demand is kept.",)
    return Answer(
        {"faults": faults}, (Grid("Faults", ("rule", "fault"), rows),), notes, int(bool(faults))
    )


def _plan_grids(problem: Problem, plan: Plan) -> Iterator[Grid]:
    order = {place.id: n for n, place in enumerate(problem.places)}
    stays = sorted(plan.stays, key=lambda stay: (order[stay.place], stay.from_day))
    yield Grid(
        "Who is shown where",
        ("place", "object", "from day", "to day", "first date", "last date"),
        [(s.place, s.object, s.from_day, s.to_day, s.first_date, s.last_date) for s in stays],
    )
    yield Grid(
        "Use of each object",
        ("object", "days", "lx·h", "‰ of its budget"),
        [(use.object, use.days, use.lux_hours, use.permille) for use in plan.uses],
    )


def _reason_grids(plan: Plan) -> Iterator[Grid]:
    yield Grid("No plan", ("set", "reason"), [(c.set, c.sentence) for c in plan.conflicts])
    if plan.relaxations:
        yield Grid(
            "What would help, each by itself",
            ("change", "least"),
            [(r.sentence, r.smallest) for r in plan.relaxations],
        )


def _notes(plan: Plan) -> Iterator[str]:
    if plan.status in ("optimal", "feasible"):
        yield (
            f"{plan.status}: {plan.measures.changes} changes, effort {plan.measures.effort}; no "
            f"plan has less than {plan.bound.effort} (gap {plan.gap_percent:g} %)."
        )
    if plan.stopped_by_clock:
        yield "The clock ended the search: a second run may answer otherwise."
    yield from plan.cautions
