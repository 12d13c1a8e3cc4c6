"""Show the tables of judgements with their sources, and check a museum's own.

Without a name, all tables are listed, or with --sources all sources. With one, its rows and sources
are shown, and under JSON the columns that a museum's own file may use. --own FILE lays a file over
ours and so checks it: what is wrong is told by file and line. How a file looks: see the text of
conservation/tables.py.

Example:
  $ python -m conservation tables --table
  $ python -m conservation tables uv_limits --table
  $ python -m conservation tables --sources --table
"""

from __future__ import annotations

import argparse
import math
from dataclasses import replace

from conservation.cli.common import Answer, Commands, Grid, new_command, tables_of
from conservation.tables import Column, Row, Source, Table, Tables, table_names


def add(commands: Commands) -> None:
    """Add the command to the parser."""
    parser = new_command(commands, "tables", __doc__)
    parser.add_argument("name", nargs="?", help="a table; all are listed without it")
    parser.add_argument("--sources", action="store_true", help="list sources instead of rows")


def run(given: argparse.Namespace) -> Answer:
    """List the tables or their sources, or show one."""
    tables = tables_of(given)
    if given.sources:
        return _sources(tables, given.name)
    return _all(tables) if given.name is None else _one(tables[given.name])


def _all(tables: Tables) -> Answer:
    found = [tables[name] for name in table_names()]
    rows = [(table.name, len(table.rows), _from_memory(table), table.title) for table in found]
    heads = ("table", "rows", "from memory", "title")
    data = [dict(zip(("table", "rows", "from_memory", "title"), row, strict=True)) for row in rows]
    return Answer(data, (Grid("Tables", heads, rows),))


def _sources(tables: Tables, name: str | None) -> Answer:
    used: dict[Source, dict[str, None]] = {}
    for table in (tables[found] for found in ([name] if name else table_names())):
        for row in table:
            bare = replace(row.source, key="", place="", read_at="", note="")
            used.setdefault(bare, {})[table.name] = None
    found = sorted(used.items(), key=lambda item: (item[0].body, item[0].edition, item[0].status))
    rows = [(x.body, x.title, x.year, x.edition, x.status, ", ".join(by)) for x, by in found]
    heads = ("body", "title", "year", "edition", "status", "tables")
    data = [dict(zip(heads, row, strict=True)) for row in rows]
    return Answer(data, (Grid("Sources", heads, rows),))


def _from_memory(table: Table) -> int:
    return sum(row.source.status == "from memory" for row in table)


def _one(table: Table) -> Answer:
    data = {
        "table": table.name,
        "title": table.title,
        "files": table.files,
        "columns": [_column(column) for column in table.columns],
        "rows": [_row(row) for row in table],
    }
    names = tuple(column.name for column in table.columns)
    rows = [
        (row.id, *(_cell(row, name) for name in names), row.source.cite(), row.note or None)
        for row in table
    ]
    return Answer(data, (Grid(table.title, ("id", *names, "source", "note"), rows),))


def _column(column: Column) -> dict[str, object]:
    facts = {
        "name": column.name,
        "means": column.means,
        "kind": column.kind,
        "unit": column.unit or None,
        "least": column.least if math.isfinite(column.least) else None,
        "most": column.most if math.isfinite(column.most) else None,
        "choices": column.choices or None,
        "optional": column.optional,
    }
    return {key: value for key, value in facts.items() if value is not None}


def _row(row: Row) -> dict[str, object]:
    where = {"source": row.source, "note": row.note, "file": row.file, "line": row.line}
    return {"id": row.id, **row.values, **where}


def _cell(row: Row, name: str) -> object:
    value = row.values.get(name)
    return "; ".join(value) if isinstance(value, tuple) else value
