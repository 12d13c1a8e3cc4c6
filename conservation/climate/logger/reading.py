"""Read an export of a logger: every step that is not certain is told, or asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import numpy as np

from conservation.climate.arrays import FloatArray, IntArray, NotEnoughReadingsError
from conservation.climate.logger import cells
from conservation.climate.logger.asking import (
    Assumption,
    FileRefusedError,
    LoggerOptions,
    LoggerRecord,
    Question,
    QuestionError,
)
from conservation.climate.logger.clock import fixed_offset_s, to_utc
from conservation.climate.logger.dates import NO_DAY, days_of
from conservation.climate.logger.decoding import decode, load
from conservation.climate.logger.layout import Layout, find_layout, lines_of
from conservation.climate.logger.values import celsius, percent
from conservation.climate.readings import DAY_S, Readings
from conservation.tables import OURS, Tables

T = TypeVar("T")

_CHUNK = 20_000
_NO_OFFSET = 10**6
_MOST_SKIPPED = 0.5
_LONGEST_CELL = 80


def read_logger(
    source: bytes | str | Path, options: LoggerOptions | None = None, *, tables: Tables = OURS
) -> LoggerRecord:
    """Return the readings of an export, in °C, % RH and UTC, and what was assumed about it.

    `source` is a path or the bytes of a file. What can be read in several ways is not guessed:
    QuestionError says what to ask. A file that is no export raises FileRefusedError. Range:
    100 000 000 bytes, 2 000 000 lines, years 1970 to 2099, -60 to 80 °C, above 0 to 100 % RH;
    readings outside are taken as missing and counted. Source: logger_words, common practice.

    >>> text = "Date;Temp (°C);RH (%)\\n31.01.2025 10:00;20,5;45\\n31.01.2025 11:00;20,7;46\\n"
    >>> record = read_logger(text.encode())
    >>> record.readings.temp_c, record.readings.rh_percent
    (array([20.5, 20.7]), array([45., 46.]))
    >>> record.assumed[2].words
    'Commas in numbers are decimal commas.'
    """
    given = options or LoggerOptions()
    text, assumed = decode(load(source), given.encoding)
    layout = find_layout(text, given, tables)
    book = _Book([*assumed, *layout.assumed], list(layout.questions))
    lines = _Lines(layout)
    lines.read(text)
    _refuse_if_mostly_noise(lines)
    if lines.all_without_clock():
        book.assumed.append(Assumption("", "No line gives a time of day: midnight is taken."))
    days = book.take(days_of(lines.dates, given.date_order, tables))
    time_s, kept = _local_s(lines, days)
    if not book.asked:
        time_s = book.take(_utc(time_s, lines, kept, layout, given))
    temps, rhs = lines.values()
    temp = book.take(celsius(temps[kept], layout.temp_unit, given.temp_unit))
    rh = book.take(percent(rhs[kept], given.rh_unit, _heading(layout, layout.rh)))
    if book.asked:
        raise QuestionError(book.asked)
    readings = _readings(time_s, temp, rh)
    skipped = lines.skipped + int(np.count_nonzero(~kept))
    if skipped:
        words = f"Passed over as no reading: {_lines(skipped)}."
        book.assumed.append(Assumption("", words))
    book.assumed += [Assumption("", note) for note in readings.notes]
    return LoggerRecord(readings, tuple(book.assumed), skipped)


@dataclass
class _Book:
    """What was assumed and what must be asked, gathered step by step."""

    assumed: list[Assumption]
    asked: list[Question]

    def take(self, told: tuple[T, list[Assumption], Question | None]) -> T:
        result, assumed, question = told
        self.assumed += assumed
        self.asked += [question] if question else []
        return result


def _lines(number: int) -> str:
    return f"{number:,} line" + ("" if number == 1 else "s")


def _heading(layout: Layout, column: int | None) -> str:
    return layout.heading[column] if layout.heading and column is not None else ""


def _readings(time_s: IntArray, temp: FloatArray, rh: FloatArray) -> Readings:
    if np.isnan(temp).all() and np.isnan(rh).all():
        raise FileRefusedError("No line holds a temperature or a relative humidity.")
    try:
        return Readings.of(time_s, temp_c=temp, rh_percent=rh)
    except NotEnoughReadingsError as error:
        raise FileRefusedError("The file holds no readings.") from error


class _Lines:
    """The cells that matter, gathered line by line with dates and clocks as numbers."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.dates: dict[str, int] = {}
        self.skipped = 0
        self.wide = 0
        self.count = 0
        self._clocks: dict[str, tuple[int, int]] = {}
        self._parts: list[tuple[IntArray, IntArray, IntArray]] = []
        self._temps: list[FloatArray] = []
        self._rhs: list[FloatArray] = []

    def read(self, text: str) -> None:
        """Read all lines from the first reading on, in chunks that bound the memory."""
        rows: list[tuple[int, int, int, str, str]] = []
        for row in self._rows(text):
            rows.append(row)
            if len(rows) == _CHUNK:
                self._store(rows)
                rows = []
        self._store(rows)

    def moments(self) -> tuple[IntArray, IntArray, IntArray]:
        """Return index of date, seconds of the day and offset (or _NO_OFFSET) of every line."""
        days, clocks, offsets = (np.concatenate(part) for part in zip(*self._parts, strict=True))
        return days, clocks, offsets

    def all_without_clock(self) -> bool:
        """Return whether no line gives a time of day."""
        return set(self._clocks) == {""}

    def values(self) -> tuple[FloatArray, FloatArray]:
        """Return temperatures and humidities as written."""
        return np.concatenate(self._temps), np.concatenate(self._rhs)

    def _rows(self, text: str) -> Iterator[tuple[int, int, int, str, str]]:
        layout = self.layout
        width, temp, rh = layout.width, layout.temp, layout.rh
        for n, line in enumerate(lines_of(text)):
            if n < layout.first_line or not line.strip():
                continue
            row = cells.split(line, layout.delimiter)
            fits = len(row) == width or (len(row) > width and not any(row[width:]))
            when = self._moment(row) if fits else None
            if when is None:
                self.skipped += 1
                self.wide += len(row) > width and self._moment(row) is not None
                continue
            self.count += 1
            yield (
                *when,
                "" if temp is None else row[temp],
                "" if rh is None else row[rh],
            )

    def _moment(self, row: list[str]) -> tuple[int, int, int] | None:
        cell, column = row[self.layout.moment], self.layout.clock
        if column is None:
            # Most lines repeat a date and a clock already met: no need to match them again.
            day_text, _, clock_text = cell.partition(" ")
        else:
            day_text, clock_text = cell, row[column]
        day, clock = self.dates.get(day_text), self._clocks.get(clock_text)
        if day is not None and clock is not None:
            return day, *clock
        match = cells.MOMENT.fullmatch(cell) if len(cell) < _LONGEST_CELL else None
        if match is None:
            return None
        clock = self._clock(match["clock"] or "" if column is None else clock_text)
        if clock is None:
            return None
        return self.dates.setdefault(match["date"], len(self.dates)), *clock

    def _clock(self, text: str) -> tuple[int, int] | None:
        if text not in self._clocks:
            found = _seconds(text)
            if found is None:
                return None
            self._clocks[text] = found
        return self._clocks[text]

    def _store(self, rows: list[tuple[int, int, int, str, str]]) -> None:
        if not rows:
            return
        days, clocks, offsets, temps, rhs = zip(*rows, strict=True)
        self._parts.append(tuple(np.array(part, np.int64) for part in (days, clocks, offsets)))  # type: ignore[arg-type]
        for store, column in ((self._temps, temps), (self._rhs, rhs)):
            store.append(_numbers(column, self.layout.decimal))


def _numbers(column: tuple[str, ...], decimal: str) -> FloatArray:
    if not any(column):
        return np.full(len(column), np.nan)
    joined = "\n".join(column)
    if "_" not in joined:
        plain = joined.replace(",", ".") if decimal == "," else joined
        try:
            values = np.fromiter(map(float, plain.split("\n")), np.float64, len(column))
        except ValueError:
            pass
        else:
            return np.where(np.isfinite(values), values, np.nan)
    return np.fromiter((cells.number(cell, decimal) for cell in column), np.float64, len(column))


def _seconds(text: str) -> tuple[int, int] | None:
    if not text:
        return 0, _NO_OFFSET
    match = cells.MOMENT_CLOCK.fullmatch(text)
    if match is None:
        return None
    hour, minute, second = int(match["hour"]), int(match["minute"]), int(match["second"] or 0)
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"] in "Pp" else 0)
    if minute > 59 or second > 60 or hour * 3600 + minute * 60 + second > DAY_S:
        return None
    offset = fixed_offset_s(match["offset"]) if match["offset"] else _NO_OFFSET
    return hour * 3600 + minute * 60 + second, _NO_OFFSET if offset is None else offset


def _refuse_if_mostly_noise(lines: _Lines) -> None:
    if lines.count == 0:
        raise FileRefusedError("The file holds no readings.")
    if lines.wide and lines.layout.delimiter == ",":
        raise FileRefusedError(
            f"{_lines(lines.wide)} with more cells than the others: decimal commas seem to stand "
            "between comma delimiters; export with semicolons."
        )
    if lines.skipped > _MOST_SKIPPED * (lines.count + lines.skipped):
        raise FileRefusedError(
            f"{_lines(lines.skipped)} of {lines.count + lines.skipped:,} have another number of "
            "cells or no date: this is no export of readings."
        )


def _local_s(
    lines: _Lines, days: dict[str, int]
) -> tuple[IntArray, np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    index, clock, _ = lines.moments()
    by_index = np.array([days[text] for text in lines.dates], np.int64)
    day = by_index[index]
    kept = day != NO_DAY
    return day[kept] * DAY_S + clock[kept], kept


def _utc(
    local_s: IntArray,
    lines: _Lines,
    kept: np.ndarray[tuple[int], np.dtype[np.bool_]],
    layout: Layout,
    options: LoggerOptions,
) -> tuple[IntArray, list[Assumption], Question | None]:
    offsets = lines.moments()[2][kept]
    known = offsets != _NO_OFFSET
    if known.all():
        return local_s - offsets, [Assumption("zone", "Times carry their offset from UTC.")], None
    if known.any():
        raise FileRefusedError("Some times carry an offset from UTC and some do not.")
    named = cells.OFFSET.search(_heading(layout, layout.moment).upper())
    if options.zone is None and named:
        offset = fixed_offset_s(named[0])
        if offset is not None:
            words = f"The heading puts all times at {named[0].strip()}."
            return local_s - offset, [Assumption("zone", words)], None
    return to_utc(local_s, options.zone, options.clock)
