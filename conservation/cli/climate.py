"""Hold a logger's readings against climate rules: loans, control types, season, ageing, damp.

READINGS is an export of a logger (CSV or text; - for standard input), or a JSON list of objects
like {"time": "2026-01-30 22:00", "temp_c": 20.1, "rh_percent": 48}. What the reader assumed is
told; what can be read in several ways is asked, to be answered by an option. Rules: record (the
figures of the record), bizot (loans), ashrae (types of control), en_15757 (seasonal band, from
READINGS or from --historic), ageing, damp, band (from --band or --material), or all (default).
Exit code 1: a rule that was asked for is not kept. Nothing here certifies: the conservator decides.

Example:
  $ printf 'Date;Temp (°C);RH (%%)\\n2026-01-30 22:00;20,1;48\\n2026-01-30 23:00;20,0;52\\n' |\\
    python -m conservation climate - --rule bizot --rule record --table
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from conservation.cli.common import Answer, Commands, Grid, InputError, new_command, tables_of
from conservation.cli.files import listed, read_text
from conservation.ranges import ConservationError
from conservation.tables import Tables

if TYPE_CHECKING:
    from conservation.climate.logger import LoggerRecord
    from conservation.climate.readings import Readings
    from conservation.climate.summary import OutsideSummary

OPTIONS = (
    ("encoding", "encoding of the text, such as cp1252"),
    ("delimiter", "character between cells"),
    ("decimal", "decimal sign: . or ,"),
    ("date_order", "dmy, mdy or ymd"),
    ("zone", "time zone of the clock, such as Europe/Paris, or UTC"),
    ("clock", "local (follows summer time) or standard (winter time all year)"),
    ("temp_unit", "C, F or K"),
    ("rh_unit", "percent or fraction"),
    ("temp_column", "heading or number of the column of temperature, or none"),
    ("rh_column", "heading or number of the column of relative humidity, or none"),
)


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "climate", __doc__)
    parser.add_argument("readings", metavar="READINGS")
    parser.add_argument(
        "--rule", action="append", choices=("all", *RULES), help="may be given several times"
    )
    parser.add_argument("--edition", help="edition of the rule of loans or of control types")
    parser.add_argument("--reading", help="how ± a day is read: change, spread or wide_spread")
    parser.add_argument("--type", help="the type of control that must be kept, such as B")
    parser.add_argument("--set-point", type=float, help="%% RH instead of the yearly mean")
    parser.add_argument("--historic", metavar="FILE", help="the record that sets the season")
    parser.add_argument("--ageing-of", default="paper", help="paper, film or varnish")
    parser.add_argument("--band", metavar="LEAST:MOST", help="a band in %% RH, such as 45:55")
    parser.add_argument("--material", action="append", help="a material shown; several: together")
    for name, words in OPTIONS:
        parser.add_argument(f"--{name.replace('_', '-')}", help=words)


@dataclass(frozen=True)
class _Part:
    """One rule's share of the answer."""

    data: object
    grid: Grid
    notes: tuple[str, ...] = ()
    kept: bool = True


@dataclass(frozen=True)
class _Task:
    readings: Readings
    given: argparse.Namespace
    tables: Tables


def run(given: argparse.Namespace) -> Answer:
    """Read the record and answer for each rule asked."""
    record = _record(given.readings, given)
    task = _Task(record.readings, given, tables_of(given))
    asked = [rule for rule in given.rule or ["all"] if rule != "all"]
    survey = not asked or len(asked) < len(given.rule or [])
    banded = given.band is not None or given.material
    names = [name for name in RULES if name != "band" or banded] if survey else asked
    parts, notes = {}, [assumption.words for assumption in record.assumed]
    for name in names:
        try:
            parts[name] = RULES[name](task)
        except ConservationError as error:
            if name in asked or not _only_short(error):
                raise
            notes.append(f"{name}: {error}")
    demanded = [*asked, *(["band"] if banded else [])]
    kept = all(parts[name].kept for name in demanded if name in parts)
    data: dict[str, Any] = {"assumed": [asdict(item) for item in record.assumed]}
    data |= {name: part.data for name, part in parts.items()}
    data["not_tested"] = notes[len(record.assumed) :]
    for name, part in parts.items():
        notes += [f"{name}: {note}" for note in part.notes]
    grids = tuple(part.grid for part in parts.values())
    return Answer(data, grids, tuple(dict.fromkeys(notes)), 0 if kept else 1)


def _only_short(error: ConservationError) -> bool:
    from conservation.climate.arrays import NotEnoughReadingsError

    return isinstance(error, NotEnoughReadingsError)


def _record(path: str, given: argparse.Namespace) -> LoggerRecord:
    from conservation.climate.logger import LoggerOptions, QuestionError, read_logger
    from conservation.climate.logger.decoding import LARGEST_BYTES

    options = LoggerOptions(**{name: getattr(given, name) for name, _ in OPTIONS})
    source = sys.stdin.buffer.read(LARGEST_BYTES + 1) if path == "-" else path
    if path.endswith(".json") or (isinstance(source, bytes) and source.lstrip()[:1] == b"["):
        source = _as_lines(path, source)
    try:
        return read_logger(source, options, tables=tables_of(given))
    except QuestionError as error:
        words = (
            f"{question.words} Answer with --{question.option.replace('_', '-')}: "
            f"{', '.join(question.choices)}."
            for question in error.questions
        )
        raise InputError("\n".join(f"{path}: {line}" for line in words)) from error
    except ConservationError as error:
        raise InputError(f"{path}: {error}") from error


def _as_lines(path: str, source: bytes | str) -> bytes:
    """Write a JSON list of readings as lines, so that both are read by the same rules."""
    text = source.decode("utf-8", "replace") if isinstance(source, bytes) else read_text(path)
    names, rows = listed(path, text)
    lines = [names, *([row.text(name) for name in names] for row in rows)]
    return "\n".join("\t".join(line) for line in lines).encode()


def _figures(task: _Task) -> _Part:
    from conservation.climate.summary import record_summary

    found = record_summary(task.readings)
    rows = [(c.quantity, c.unit, c.least, c.mean, c.most) for c in found.courses]
    title = (
        f"{found.readings:,} readings from {found.first} to {found.last}, every {found.step_h:.4g} "
        f"h, {100 * found.missing_share:.1f} % of the time missing"
    )
    return _Part(found, Grid(title, ("quantity", "unit", "least", "mean", "most"), rows))


def _bizot(task: _Task) -> _Part:
    from conservation.climate.loans import loan_rule, loan_rule_readings

    edition, reading = task.given.edition, task.given.reading
    options: dict[str, Any] = {"edition": edition, "tables": task.tables}
    if reading is None:
        found = loan_rule_readings(task.readings, **options)
    else:
        found = (loan_rule(task.readings, reading=reading, **options),)
    first = found[0]
    data = {
        "source": first.source,
        "passes": first.passes,
        "rh_outside": _outside(first.rh, "relative humidity of the rule"),
        "temp_outside": _outside(first.temp, "temperature of the rule"),
        "readings_of_the_rule": [
            {
                "reading": result.reading,
                "passes": result.passes,
                "change_kept": not result.share_changed,
                "largest_change_percent": _number(result.largest_change_percent),
                "allowed_change_percent": result.allowed_change_percent,
                "share_changed": float(result.share_changed),
            }
            for result in found
        ],
        "notes": first.notes,
    }
    rows = [
        (
            result.reading,
            result.passes,
            not result.share_changed,
            _number(result.largest_change_percent),
            result.allowed_change_percent,
            float(result.rh.hours.sum()),
            float(result.temp.hours.sum()),
        )
        for result in found
    ]
    heads = (
        "± read as",
        "kept",
        "± kept",
        "largest, %",
        "allowed, %",
        "h outside RH",
        "h outside °C",
    )
    return _Part(data, Grid(f"Loan: {first.source.cite()}", heads, rows), first.notes, first.passes)


def _ashrae(task: _Task) -> _Part:
    from conservation.climate.control import control_types
    from conservation.climate.readings import utc_words

    asked = {} if task.given.edition is None else {"edition": task.given.edition}
    found = control_types(
        task.readings, set_point_percent=task.given.set_point, tables=task.tables, **asked
    )
    wanted = task.given.type
    if wanted is not None and wanted not in [result.type for result in found]:
        known = ", ".join(result.type for result in found)
        raise InputError(f"There is no type of control {wanted!r}; known: {known}.")
    rows = []
    for result in found:
        for broken in result.broken:
            where = f"{broken.test} {broken.unit}"
            since = utc_words(broken.first_s)
            rows.append(
                (result.type, False, where, 100 * broken.share, float(broken.worst_by), since)
            )
        if result.passes:
            rows.append((result.type, True, "", 0.0, 0.0, ""))
    heads = ("type", "kept", "broken", "% of readings", "worst by", "first")
    passing = [result.type for result in found if result.passes]
    kept = wanted in passing if wanted is not None else bool(passing)
    data = {
        "source": found[0].source,
        "closest_kept": passing[0] if passing else None,
        "types": [
            {"type": r.type, "passes": r.passes, "broken": r.broken, "source": r.source}
            for r in found
        ],
        "notes": found[0].notes,
    }
    grid = Grid(f"Types of control: {found[0].source.cite()}", heads, rows)
    return _Part(data, grid, found[0].notes, kept)


def _seasonal(task: _Task) -> _Part:
    from conservation.climate.seasonal import seasonal_band
    from conservation.climate.summary import seasonal_summary

    historic, notes = task.readings, []
    if task.given.historic is not None:
        record = _record(task.given.historic, task.given)
        historic, notes = record.readings, [assumed.words for assumed in record.assumed]
    found = seasonal_summary(seasonal_band(historic, tables=task.tables), task.readings)
    row = (
        found.annual_mean_percent,
        found.least_average_percent,
        found.most_average_percent,
        found.lower_percent,
        found.upper_percent,
        found.outside.stays,
        found.outside.hours,
    )
    heads = ("mean, %", "least", "most", "lower", "upper", "stays outside", "h outside")
    grid = Grid(f"Seasonal band: {found.source.cite()}", heads, [row])
    kept = task.given.historic is None or not found.outside.stays
    return _Part(found, grid, (*found.notes, *notes), kept)


def _ageing(task: _Task) -> _Part:
    from conservation.climate.summary import ageing_summary

    found = ageing_summary(task.readings, task.given.ageing_of, tables=task.tables)
    row = (found.material, found.mean_multiplier, found.least_multiplier, found.most_multiplier)
    title = f"Life as a multiple of that at 20 °C and 50 %: {found.source.cite()}"
    return _Part(found, Grid(title, ("material", "mean", "least", "most"), [row]))


def _damp(task: _Task) -> _Part:
    from conservation.climate.arrays import NotEnoughReadingsError
    from conservation.climate.mould import damp_alarm
    from conservation.climate.summary import mould_summary

    found = damp_alarm(task.readings, tables=task.tables)
    try:
        mould = mould_summary(task.readings, tables=task.tables)
    except NotEnoughReadingsError:
        mould = None
    long = f"above {found.alarm_percent:g} % for over {found.alarm_h:g} h"
    warnings = _outside(found.warnings, f"above {found.warning_percent:g} %")
    alarms = _outside(found.alarms, long)
    rows: list[tuple[object, ...]] = [
        (f"above {found.warning_percent:g} %", warnings.stays, warnings.hours),
        (long, alarms.stays, alarms.hours),
    ]
    if mould is not None:
        rows.append((f"mould can grow ({mould.source.cite()})", None, mould.hours_above_critical))
    data = {"source": found.source, "warnings": warnings, "alarms": alarms, "mould": mould}
    grid = Grid(f"Damp: {found.source.cite()}", ("level", "stays", "h"), rows)
    wet = alarms.stays or (mould is not None and mould.hours_above_critical)
    return _Part(data, grid, (found.source.note,) if wet else (), not alarms.stays)


def _band(task: _Task) -> _Part:
    from conservation.climate.bands import Band
    from conservation.climate.guidance import rh_guidance_together
    from conservation.climate.summary import band_summary

    text, materials = task.given.band, task.given.material
    data: dict[str, Any] = {}
    notes: tuple[str, ...] = ()
    if text is not None:
        ends = text.split(":")
        try:
            band = Band(float(ends[0]), float(ends[1]), "%") if len(ends) == 2 else None
        except ValueError:
            band = None
        if band is None or not 0 <= band.least <= band.most <= 100:
            raise InputError(f"The band is {text!r}: give least and most % RH, such as 45:55.")
        title = "Band"
    elif materials:
        together = rh_guidance_together(materials, tables=task.tables)
        if together.band is None:
            pairs = "; ".join(" and ".join(pair) for pair in together.clashes)
            raise InputError(f"No air suits these together: {pairs}.")
        band, title = together.band, f"Guidance: {together.guidance[0].source.cite()}"
        data = {
            "guidance": [(g.material, g.band.words(), g.care, g.source) for g in together.guidance]
        }
        notes = tuple(f"{g.material}: {g.source.note}" for g in together.guidance if g.source.note)
    else:
        raise InputError("The rule band needs --band or --material.")
    found = band_summary(task.readings, band)
    rows = [(s.start, s.end, s.hours, s.side, s.depth, s.integral_h) for s in found.worst]
    title += f", {found.band}: {found.stays:,} stays outside, {found.hours:,.4g} h"
    heads = ("from", "to", "h", "side", "depth, %", "% × h")
    return _Part({"outside": found, **data}, Grid(title, heads, rows), notes, not found.stays)


def _outside(found: Any, words: str) -> OutsideSummary:
    from conservation.climate.summary import outside_summary

    return outside_summary(found, words)


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None


RULES: dict[str, Callable[[_Task], _Part]] = {
    "record": _figures,
    "bizot": _bizot,
    "ashrae": _ashrae,
    "en_15757": _seasonal,
    "ageing": _ageing,
    "damp": _damp,
    "band": _band,
}
