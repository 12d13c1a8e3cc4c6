"""Raise flags of hazards and permits by words in a description, and say whom to ask.

No flag means nothing: what an object holds must be examined by someone qualified. Law changes, and
local codes and licensed practice decide.

Example:
  $ python -m conservation flags "stick barometer" "ivory scales" --table
"""

from __future__ import annotations

import argparse

from conservation.cli.common import Answer, Commands, Grid, new_command, tables_of
from conservation.materials import flags_of

NOTE = (
    "No flag means nothing: what an object holds must be examined. Local codes and licensed"
    " practice decide."
)


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "flags", __doc__)
    parser.add_argument("descriptions", nargs="+", help="materials or descriptions, each in quotes")


def run(given: argparse.Namespace) -> Answer:
    """Raise the flags."""
    flags = flags_of(given.descriptions, tables=tables_of(given))
    rows = [
        (flag.kind, flag.name, "; ".join(flag.says), flag.ask, flag.source.cite()) for flag in flags
    ]
    grid = Grid("Flags", ("kind", "about", "usual caution, or the rule", "ask", "source"), rows)
    return Answer({"flags": flags, "notes": [NOTE]}, (grid,), (NOTE,))
