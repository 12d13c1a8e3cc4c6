r"""Judge a showcase: air exchange, humidity buffer, pollutants, materials, climates, tests.

The file gives volume_m3, exchanges_a_day (a number or [low, high]), closes_on, days, and what is
known of years (for ceilings, 10 when left out), room_rh_percent, target_rh_percent, drift_percent,
buffer (kind or g_per_kg_percent, mass_kg), sources (pollutant, emission_ug_m2_h, area_m2,
room_ug_m3), objects (id, materials, rh_percent, touches), materials (name, batch, applied_on,
test with ratings, tested_on, batch), glass. Ranges in give ranges out. Objects, materials and
sources may stand in CSV files of their own: "objects": "objects.csv", with heads like id,
materials (divided by |), rh_percent.0, rh_percent.1. Nothing is certified.

Example:
  $ echo '{"volume_m3": 0.5, "exchanges_a_day": [0.3, 1], "closes_on": "2027-03-01", \
    "days": 180, "room_rh_percent": [35, 60], "target_rh_percent": 50, "drift_percent": 5, \
    "buffer": {"kind": "silica gel", "mass_kg": 6}, "materials": [{"name": "MDF"}], \
    "objects": [{"id": "seal", "materials": ["lead"]}]}' | python -m conservation case - --table
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from conservation.case_reading import Case
from conservation.case_report import CaseReport, report
from conservation.cli.common import Answer, Commands, Grid, new_command, tables_of
from conservation.cli.files import read_with_lists

LISTS = {"objects": ("materials", "touches"), "materials": (), "sources": ()}


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "case", __doc__)
    parser.add_argument("file", help="JSON; - for standard input")


def run(given: argparse.Namespace) -> Answer:
    """Judge one showcase."""
    found = report(Case.from_dict(read_with_lists(given.file, LISTS)), tables=tables_of(given))
    verdict = "Nothing was found against it." if found.kept else "Something stands against it."
    notes = (*found.notes, f"{verdict} This is no certificate.", *found.cautions)
    return Answer(found, tuple(_grids(found)), notes, 0 if found.kept else 1)


def _grids(found: CaseReport) -> Iterator[Grid]:
    figures = (
        ("half time of the air", found.half_time_days, "d"),
        ("hygrometric half time", found.hygrometric_half_time_days, "d"),
        ("buffer needed", found.buffer_needed_kg, "kg"),
        ("buffer lasts", found.buffer_lasts_days, "d"),
        ("humidity that all objects share", found.common_rh_percent, "% RH"),
    )
    rows = [
        (what, _short(span.low), _short(span.high), unit) for what, span, unit in figures if span
    ]
    if found.tightness:
        rows.append(("tightness", found.tightness[0], found.tightness[-1], ""))
    yield Grid(found.name or "Showcase", ("what", "from", "to", "unit"), rows)
    if found.exposures:
        yield Grid(
            "Pollutants",
            ("verdict", "judgement"),
            [(e.verdict, e.sentence) for e in found.exposures],
        )
    if found.findings:
        yield Grid("Findings", ("kind", "finding"), [(f.kind, f.sentence) for f in found.findings])


def _short(number: float) -> str:
    return f"{number:.4g}"
