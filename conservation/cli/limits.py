"""Combine the limits of one object from several voices: the strictest of each kind.

The file is a JSON object: `object`; `class`, or `materials` that decide it, and `rule_set`
(optional: the class brings its limits of light as a house rule); and `voices`, each with `role`,
`name` and, by kind, a number or `least` and `most`. Kinds: lux, lux_h_per_year, lux_h_total,
uv_uw_per_lm, rh_percent, rh_change_24h_percent, temperature_c, temperature_change_24h_k,
days_on_show, rest_days.
The exit code is 1 where demands contradict each other.

Example:
  $ printf '{"object": "K 12", "class": "R3", "voices": [\
    {"role": "lender", "name": "Loan 7", "lux": 40, "rh_percent": {"least": 45, "most": 55}},\
    {"role": "case", "name": "C3", "rh_percent": {"least": 40, "most": 50}}]}' |\
    python -m conservation limits - --table
"""

from __future__ import annotations

import argparse
from typing import Any

from conservation.cli.common import (
    Answer,
    Commands,
    Grid,
    InputError,
    new_command,
    tables_of,
)
from conservation.cli.files import read_json
from conservation.light.limits import DEFAULT_RULE_SET
from conservation.limits import ObjectLimits, Origin, class_voice, combine_limits, read_voice
from conservation.materials import Classing, classify
from conservation.tables import Tables

FIELDS = {"object", "class", "materials", "rule_set", "uv", "voices"}


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "limits", __doc__)
    parser.add_argument("file", help="a JSON file, or - for standard input")


def run(given: argparse.Namespace) -> Answer:
    """Combine the voices of the file."""
    data = read_json(given.file)
    tables = tables_of(given)
    result, classing = limits_of(data, given.file, tables)
    name = str(data.get("object", ""))[:200]
    notes = classing.notes if classing else ()
    return Answer(
        {
            "object": name,
            "class": classing,
            "limits": result.limits,
            "contradictions": result.contradictions,
        },
        (Grid(f"Limits of {name or 'one object'}", HEADS, [_line(x) for x in result.limits]),),
        (*notes, *(item.sentence for item in result.contradictions)),
        1 if result.contradictions else 0,
    )


HEADS = ("limit", "unit", "at least", "asked by", "at most", "asked by", "source")


def limits_of(data: Any, file: str, tables: Tables) -> tuple[ObjectLimits, Classing | None]:
    """Return the combined limits from the file's object, and how materials decided its class."""
    if not isinstance(data, dict):
        raise InputError(f"{file} must hold one object with voices.")
    for key in data.keys() - FIELDS:
        known = ", ".join(sorted(FIELDS))
        raise InputError(f"{file} has the field {key!r:.40}; known: {known}.")
    given = data.get("voices", [])
    if not isinstance(given, list):
        raise InputError(f"{file}: voices must be a list.")
    voices = [read_voice(item, tables=tables) for item in given]
    classing = None
    if "class" in data and "materials" in data:
        raise InputError(f"{file} has class and materials: leave out one of them.")
    words = {k: _word(data, k, file) for k in ("class", "rule_set", "uv") if k in data}
    if "materials" in data:
        classing = classify(data["materials"], tables=tables)
        words["class"] = classing.responsivity
    if "class" in words:
        rules, uv = words.get("rule_set", DEFAULT_RULE_SET), words.get("uv", "usual")
        voices.insert(0, class_voice(words["class"], rules, uv=uv, tables=tables))
    if not voices:
        raise InputError(f"{file} has neither a class nor voices: nobody speaks for the object.")
    return combine_limits(voices, tables=tables), classing


def _word(data: dict[str, Any], key: str, file: str) -> str:
    value = data[key]
    if not isinstance(value, str):
        raise InputError(f"{file}: {key} is {value!r:.40}; give a name in quotes.")
    return value


def _line(limit: Any) -> tuple[object, ...]:
    sources = dict.fromkeys(
        origin.source.cite()
        for origin in limit.least_from + limit.most_from
        if origin.source is not None
    )
    return (
        limit.name,
        limit.unit,
        limit.least,
        _who(limit.least_from),
        limit.most,
        _who(limit.most_from),
        "; ".join(sources) or None,
    )


def _who(origins: tuple[Origin, ...]) -> str | None:
    return ", ".join(f"{origin.role} {origin.name}" for origin in origins) or None
