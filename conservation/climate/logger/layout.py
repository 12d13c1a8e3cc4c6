"""Find out how an export is laid out: delimiter, decimal sign, heading, which column is which."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from conservation.climate.logger import cells
from conservation.climate.logger.asking import (
    Assumption,
    FileRefusedError,
    LoggerOptions,
    Question,
)
from conservation.tables import OURS, Tables

DELIMITERS = ("\t", ";", ",", "|", " ")
_NAMES = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars", " ": "blanks"}
_SAMPLE = 400
_LONGEST_LINE = 20_000
_UNITS = (
    ("F", re.compile(r"°\s?f\b|\bdeg\.?\s?f\b|fahrenheit|[(\[]f[)\]]|[,_ ]f$")),
    ("C", re.compile(r"°\s?c\b|\bdeg\.?\s?c\b|celsius|[(\[]c[)\]]|[,_ ]c$|℃")),
    ("K", re.compile(r"kelvin|[(\[]k[)\]]|[,_ ]k$")),
)
_UNIT_CELL = re.compile(
    r"[(\[]?(°\s?[cf]|[cfk]|deg\.? ?[cf]|%.{0,5}|m?v|hpa|mbar|lx|lux|ppm|dbm|g/.{1,4})?[)\]]?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Layout:
    """How the lines of one export are to be read; columns are counted from 0."""

    delimiter: str
    decimal: str
    width: int
    first_line: int
    heading: tuple[str, ...]
    moment: int
    clock: int | None
    temp: int | None
    rh: int | None
    temp_unit: str | None
    assumed: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = field(default=(), repr=False)


def lines_of(text: str) -> Iterator[str]:
    """Return the lines of a text one by one without copying the whole.

    Source: none, definition.

    >>> list(lines_of("a\\nb"))
    ['a', 'b']
    """
    start = 0
    while (end := text.find("\n", start)) >= 0:
        yield text[start:end]
        start = end + 1
    if start < len(text):
        yield text[start:]


def find_layout(text: str, options: LoggerOptions, tables: Tables = OURS) -> Layout:
    """Return how an export is laid out, or raise FileRefusedError where no line is a reading.

    What cannot be told stays as a question in the layout. Source: logger_words, common practice.

    >>> found = find_layout("Date;Temp;RH\\n31.01.2025 10:00;20,5;45\\n", LoggerOptions())
    >>> found.delimiter, found.decimal, found.temp, found.rh
    (';', ',', 1, 2)
    """
    sample = _sample(text)
    delimiter = options.delimiter or _delimiter(sample)
    rows = [(n, cells.split(line, delimiter)) for n, line in sample]
    data = [(n, row) for n, row in rows if _is_reading(row)]
    if not data:
        raise FileRefusedError("No line holds a date and a number: this is no export of readings.")
    width = Counter(len(row) for _, row in data).most_common(1)[0][0]
    data = [(n, row) for n, row in data if len(row) == width]
    first = data[0][0]
    body = [row for _, row in data]
    known = {kind: _words(kind, tables) for kind in ("ignored", "rh", "temp")}
    heading = _heading(rows, first, width, blank_end=not any(row[-1] for row in body))
    if delimiter == "," and not heading:
        _refuse_split_decimals(rows, first, width, known)
    moment, clock = _moment_columns(body, width)
    numeric = [
        n for n in range(width) if n not in (moment, clock) and _numeric(row[n] for row in body)
    ]
    assumed = [Assumption("delimiter", f"Cells are divided by {_NAMES.get(delimiter, delimiter)}.")]
    if heading and first > 1:
        assumed.append(Assumption("", f"The first {first} lines are heading, not readings."))
    decimal = options.decimal or _decimal(body, numeric, assumed)
    questions: list[Question] = []
    chosen = _Columns(heading, body, numeric, known, assumed, questions)
    rh, temp = chosen.rh_and_temp(options)
    unit = options.temp_unit or (None if temp is None else _unit(heading, body, temp, assumed))
    return Layout(
        delimiter,
        decimal,
        width,
        first,
        heading,
        moment,
        clock,
        temp,
        rh,
        unit,
        tuple(assumed),
        tuple(questions),
    )


def _sample(text: str) -> list[tuple[int, str]]:
    found = []
    for n, line in enumerate(lines_of(text)):
        if len(line) > _LONGEST_LINE:
            raise FileRefusedError(f"Line {n + 1} has {len(line):,} characters: no such export.")
        if line.strip():
            found.append((n, line))
        if len(found) >= _SAMPLE:
            break
    return found


def _is_reading(row: list[str]) -> bool:
    dated = any(cells.MOMENT.fullmatch(cell) for cell in row)
    return dated and any(cells.NUMBER.fullmatch(cell) for cell in row)


def _delimiter(sample: list[tuple[int, str]]) -> str:
    best, most = ",", 0
    for delimiter in DELIMITERS:
        found = sum(_is_reading(cells.split(line, delimiter)) for _, line in sample)
        if found > most:
            best, most = delimiter, found
    return best


def _heading(
    rows: list[tuple[int, list[str]]], first: int, width: int, *, blank_end: bool
) -> tuple[str, ...]:
    before = [_fitted(row, width, blank_end) for n, row in rows if n < first]
    fitting = [row for row in before if len(row) == width]
    if not fitting:
        return ()
    names = fitting[-1]
    units = any(names[1:]) and all(_UNIT_CELL.fullmatch(cell) for cell in names[1:])
    if units and len(fitting) > 1:
        names = [f"{name} {unit}".strip() for name, unit in zip(fitting[-2], names, strict=True)]
    return tuple(names)


def _fitted(row: list[str], width: int, blank_end: bool) -> list[str]:
    while len(row) > width and not row[-1]:
        row = row[:-1]
    return [*row, ""] if blank_end and len(row) == width - 1 else row


def _refuse_split_decimals(
    rows: list[tuple[int, list[str]]], first: int, width: int, known: dict[str, re.Pattern[str]]
) -> None:
    before = [row for n, row in rows if n < first and len(row) > 1]
    names = before[-1] if before else []
    named = any(known[kind].search(cells.plain(" ".join(names))) for kind in ("rh", "temp"))
    if named and len(names) < width:
        raise FileRefusedError(
            f"The lines have {width} cells and the heading {len(names)}: decimal commas stand "
            "between comma delimiters; export with semicolons."
        )


def _share(column: list[str], pattern: re.Pattern[str]) -> float:
    return sum(bool(pattern.fullmatch(cell)) for cell in column) / len(column)


def _moment_columns(body: list[list[str]], width: int) -> tuple[int, int | None]:
    columns = [[row[n] for row in body] for n in range(width)]
    dated = [n for n, column in enumerate(columns) if _share(column, cells.MOMENT) > 0.5]
    if not dated:
        raise FileRefusedError("No column holds a date in most of its lines.")
    moment = dated[0]
    timed = sum(
        bool((match := cells.MOMENT.fullmatch(cell)) and match["hour"]) for cell in columns[moment]
    )
    if timed:
        return moment, None
    clocks = [n for n, column in enumerate(columns) if _share(column, cells.CLOCK) > 0.5]
    return moment, clocks[0] if clocks else None


def _numeric(column: Iterator[str]) -> bool:
    return any(cells.NUMBER.fullmatch(cell) for cell in column)


def _decimal(body: list[list[str]], numeric: list[int], assumed: list[Assumption]) -> str:
    values = [row[n] for row in body for n in numeric if cells.NUMBER.fullmatch(row[n])]
    commas, points = sum("," in cell for cell in values), sum("." in cell for cell in values)
    if commas and points:
        raise FileRefusedError("Numbers have points in some cells and commas in others.")
    if commas:
        assumed.append(Assumption("decimal", "Commas in numbers are decimal commas."))
    return "," if commas else "."


def _unit(
    heading: tuple[str, ...], body: list[list[str]], column: int, assumed: list[Assumption]
) -> str | None:
    words = cells.plain(heading[column]) if heading else ""
    texts = [words, *(cells.plain(row[column]) for row in body[:20])]
    for text in texts:
        found = [unit for unit, pattern in _UNITS if pattern.search(text)]
        if len(found) == 1:
            where = f"heading {heading[column]!r}" if text == words else "cells"
            assumed.append(
                Assumption(
                    "temp_unit", f"Temperatures are in {_degrees(found[0])}, by the {where}."
                )
            )
            return found[0]
    return None


def _degrees(unit: str) -> str:
    return "K" if unit == "K" else f"°{unit}"


def _words(kind: str, tables: Tables) -> re.Pattern[str]:
    parts = [
        re.escape(cells.plain(word))
        for row in tables["logger_words"].where(kind=kind)
        for word in row.texts("words")
    ]
    # Short words must stand alone: "hr" is no part of "three".
    whole = [rf"(?<![^\W\d_]){part}(?![^\W\d_])" if len(part) < 4 else part for part in parts]
    return re.compile("|".join(whole))


_KINDS = {"rh": "relative humidity", "temp": "temperature"}


@dataclass
class _Columns:
    heading: tuple[str, ...]
    body: list[list[str]]
    numeric: list[int]
    words: dict[str, re.Pattern[str]]
    assumed: list[Assumption]
    questions: list[Question]

    def rh_and_temp(self, options: LoggerOptions) -> tuple[int | None, int | None]:
        """Return both columns; where no heading names either, ask for what is not answered."""
        asked = {"rh": options.rh_column, "temp": options.temp_column}
        rh, temp = (self.of(kind, asked[kind]) for kind in ("rh", "temp"))
        if rh is None and temp is None and not self.questions:
            if not self.numeric:
                raise FileRefusedError("No column holds numbers.")
            open_kinds = (kind for kind, answer in asked.items() if answer is None)
            self.questions += [self._question(kind, self.numeric) for kind in open_kinds]
        return rh, temp

    def of(self, kind: str, asked: str | None) -> int | None:
        """Return the column of a kind, None where there is none or it must be asked for."""
        if asked is not None:
            return self._named(kind, asked)
        found = [n for n in self.numeric if self.heading and self._kind(n) == kind]
        if len(found) > 1:
            self._ask(kind, found)
        elif found:
            words = f"Column {found[0] + 1}, {self.heading[found[0]]!r}, is {_KINDS[kind]}."
            self.assumed.append(Assumption(f"{kind}_column", words))
            return found[0]
        elif self.heading:
            words = f"No heading names a column of {_KINDS[kind]}."
            self.assumed.append(Assumption(f"{kind}_column", words))
        return None

    def _kind(self, column: int) -> str:
        words = cells.plain(self.heading[column])
        return next((kind for kind, known in self.words.items() if known.search(words)), "")

    def _named(self, kind: str, asked: str) -> int | None:
        if asked == "none":
            return None
        wanted = cells.plain(asked)
        for n, name in enumerate(self.heading):
            if cells.plain(name) == wanted:
                return n
        if wanted.isdecimal() and 1 <= int(wanted) <= len(self.body[0]):
            return int(wanted) - 1
        choices = ", ".join(self._labels(self.numeric))
        raise FileRefusedError(
            f"There is no column {asked!r} for {_KINDS[kind]}; known: {choices}."
        )

    def _labels(self, columns: list[int]) -> tuple[str, ...]:
        names = [self.heading[n] if self.heading else "" for n in columns]
        clear = len(set(names)) == len(names)
        return tuple(
            name if name and clear else str(n + 1) for n, name in zip(columns, names, strict=True)
        )

    def _question(self, kind: str, columns: list[int]) -> Question:
        samples = ", ".join(
            f"{label} (such as {self.body[0][n]})"
            for n, label in zip(columns, self._labels(columns), strict=True)
        )
        words = f"Which column is {_KINDS[kind]}: {samples}, or none?"
        return Question(f"{kind}_column", words, (*self._labels(columns), "none"))

    def _ask(self, kind: str, columns: list[int]) -> None:
        self.questions.append(self._question(kind, columns))
