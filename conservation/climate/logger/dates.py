"""Dates as loggers write them: the order of day and month is found, or asked for, never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from itertools import pairwise

from conservation.climate.logger.asking import Assumption, FileRefusedError, Question
from conservation.climate.logger.cells import plain
from conservation.tables import OURS, Tables

ORDERS = ("dmy", "mdy", "ymd")
_NAMES = {"dmy": "day, month, year", "mdy": "month, day, year", "ymd": "year, month, day"}
_PARTS = re.compile(r"\d+|[^\W\d_]+")
_DAY_ZERO = date(1970, 1, 1).toordinal()
NO_DAY = -(10**9)
_LONG_DAYS, _SHORT_DAYS = 5 * 365, 2 * 365
_FIRST_YEAR, _LAST_YEAR = 1970, 2099

Parts = tuple[str, str, str]


def month_names(tables: Tables = OURS) -> dict[str, int]:
    """Return the beginnings of names of months and their numbers. Source: logger_words.

    >>> month_names()["okt"]
    10
    """
    return {
        plain(word): int(row.number("number"))
        for row in tables["logger_words"].where(kind="month")
        for word in row.texts("words")
    }


def days_of(
    texts: Iterable[str], order: str | None, tables: Tables = OURS
) -> tuple[dict[str, int], list[Assumption], Question | None]:
    """Return for each text of a date its day since 1970, what was assumed, and what must be asked.

    Texts come in the order of the file. A date that no order can read gets NO_DAY. Source: ISO 8601
    for the order year first; else the dates themselves.

    >>> days_of(["13/01/1970"], None)[0]
    {'13/01/1970': 12}
    >>> days_of(["01/02/2025"], None)[2].option
    'date_order'
    """
    months = month_names(tables)
    parts = {text: _parts(text, months) for text in texts}
    read = {
        name: {text: _day(part, name) for text, part in parts.items() if part} for name in ORDERS
    }
    readable = {t for days in read.values() for t, day in days.items() if day is not None}
    if not readable:
        bad = next(iter(parts), "")
        raise FileRefusedError(f"No date can be read; the first is {bad!r}.")
    possible = [
        name for name, days in read.items() if all(days.get(text) is not None for text in readable)
    ]
    assumed = _two_digit_years(parts)
    if order is not None:
        if order not in possible:
            wrong = next(text for text in parts if text in readable and read[order][text] is None)
            raise FileRefusedError(f"The date {wrong!r} cannot be {_NAMES[order]}.")
        return _known(parts, read[order]), assumed, None
    if not possible:
        raise FileRefusedError("Dates change their order within the file.")
    different = _different(_plausible(possible, read), read)
    if len(different) > 1:
        return _known(parts, read[different[0]]), assumed, _question(different, parts, read)
    if not all(_unmistakable(part) for part in parts.values() if part):
        others = [name for name in possible if name != different[0]]
        same = any(read[name] == read[different[0]] for name in others)
        why = "another order gives the same" if same else "only so are all of them dates"
        words = f"Dates are {_NAMES[different[0]]}: {why}."
        assumed.append(Assumption("date_order", words))
    return _known(parts, read[different[0]]), assumed, None


def _parts(text: str, months: Mapping[str, int]) -> Parts | None:
    found = _PARTS.findall(text)
    if len(found) != 3:
        return None
    named = [n for n, part in enumerate(found) if not part.isdecimal()]
    if not named:
        return found[0], found[1], found[2]
    if len(named) > 1:
        return None
    word = plain(found[named[0]])
    month = next((number for name, number in months.items() if word.startswith(name)), None)
    if month is None:
        return None
    rest = [part for n, part in enumerate(found) if n != named[0]]
    # A name settles the month; the year is the long number, or comes last.
    year, day = (rest[0], rest[1]) if len(rest[0]) > 2 else (rest[1], rest[0])
    return year.zfill(4) if len(year) > 2 else f"20{year:0>2}", str(month), day


def _day(parts: Parts, order: str) -> int | None:
    year, month, day = (parts[order.index(letter)] for letter in "ymd")
    if len(year) not in (2, 4) or len(month) > 2 or len(day) > 2:
        return None
    whole = int(year) + (2000 if len(year) == 2 else 0)
    if not _FIRST_YEAR <= whole <= _LAST_YEAR:
        return None
    try:
        return date(whole, int(month), int(day)).toordinal() - _DAY_ZERO
    except ValueError:
        return None


def _known(parts: Mapping[str, Parts | None], days: Mapping[str, int | None]) -> dict[str, int]:
    found = {}
    for text in parts:
        day = days.get(text)
        found[text] = NO_DAY if day is None else day
    return found


def _unmistakable(parts: Parts) -> bool:
    return len(parts[0]) == 4


def _two_digit_years(parts: Mapping[str, Parts | None]) -> list[Assumption]:
    if any(part and all(len(number) < 3 for number in part) for part in parts.values()):
        return [Assumption("date_order", "Years of two digits are 2000 to 2099.")]
    return []


def _plausible(possible: list[str], read: Mapping[str, Mapping[str, int | None]]) -> list[str]:
    # 30.01.25, 31.01.25, 01.02.25 read year first would be three Januaries and Februaries in
    # thirty years; no record jumps so.
    spans = {}
    for name in possible:
        days = [day for day in read[name].values() if day is not None]
        spans[name] = max(days) - min(days)
    if spans.get("ymd", 0) > _LONG_DAYS and min(spans.values()) < _SHORT_DAYS:
        return [name for name in possible if name != "ymd"]
    return possible


def _different(possible: list[str], read: Mapping[str, Mapping[str, int | None]]) -> list[str]:
    kept: list[str] = []
    for name in possible:
        if not any(read[name] == read[other] for other in kept):
            kept.append(name)
    return kept


def _question(
    possible: list[str],
    parts: Mapping[str, Parts | None],
    read: Mapping[str, Mapping[str, int | None]],
) -> Question:
    neighbours = {
        name: sum(
            abs(after - before) == 1
            for before, after in pairwise(read[name].values())
            if before is not None and after is not None
        )
        for name in possible
    }
    best = max(possible, key=lambda name: neighbours[name])
    likely = best if [*neighbours.values()].count(neighbours[best]) == 1 else ""
    example = next(text for text, part in parts.items() if part)
    ways = ", or ".join(f"{_NAMES[name]} ({name})" for name in possible)
    words = f"Is the date {example!r} {ways}?"
    if likely:
        words += f" Read {likely}, the dates follow day upon day."
    return Question("date_order", words, tuple(possible), likely)
