"""Read one cell as the value of one field, or refuse it saying what is expected."""

import datetime
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Any

from exhibit_core.exchange.neutral import restored
from exhibit_core.exchange.reading.cells import text_of
from exhibit_core.register import money
from exhibit_core.register.numbers import normal_number
from exhibit_core.register.text import fold as fold_slowly

fold = lru_cache(maxsize=8192)(fold_slowly)
_TIMES = (datetime.date, datetime.time, datetime.timedelta)
_NO_NUMBER = (bool, *_TIMES)
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_SHORTENED = re.compile(r"\d(?:[.,]\d+)?[eE]\+?\d+")
_SIGNS = {"€": "EUR", "£": "GBP"}
_DOLLAR_OR_YEN = re.compile(r"(?<![A-Za-z])[$¥]")
_LIST = re.compile(r"\s*[;,\n|]\s*")


class CellRefusedError(Exception):
    """A cell that cannot be taken; the message says what is expected there."""


@dataclass
class Reading:
    """How a column is read: its unit, and the sentences said of the cell that is being read."""

    unit: str = ""
    said: list[str] = field(default_factory=list)

    def say(self, sentence: str) -> None:
        self.said.append(sentence)


Reader = Callable[[Any, Reading], Any]


def plain_text(cell: Any, *, lines: bool = False) -> str:
    """Return a cell's tidy text without the mark against formulas."""
    return tidy(restored(cell) if isinstance(cell, str) else text_of(cell), lines=lines)


def tidy(text: str, *, lines: bool = False) -> str:
    """Return text without control characters, in one line with single spaces unless `lines`."""
    if text.isprintable() and "  " not in text and text[:1] != " " and text[-1:] != " ":
        return text
    if not text.isprintable():
        text = _UNSEEN.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return text.strip() if lines else " ".join(text.split())


def text(longest: int = 0, *, lines: bool = False) -> Reader:
    """Read text; one line unless `lines`, and at most `longest` characters."""

    def read(cell: Any, reading: Reading) -> str:
        if not isinstance(cell, str) and isinstance(cell, _TIMES):
            reading.say("The cell is stored as a date: it is read as written here.")
        found = plain_text(cell, lines=lines)
        if longest and len(found) > longest:
            raise CellRefusedError(f"at most {longest} characters; these are {len(found)}")
        return found

    return read


def object_number(longest: int) -> Reader:
    def read(cell: Any, reading: Reading) -> str:
        if isinstance(cell, _NO_NUMBER):
            raise CellRefusedError(
                "an object number; the spreadsheet took it for a date: format the column as text "
                "and write the number again"
            )
        if isinstance(cell, float):
            reading.say("It is stored as a number: zeros at its end, as in 2001.450, are lost.")
        found = normal_number(plain_text(cell))
        if _SHORTENED.fullmatch(found) and "+" in found:
            raise CellRefusedError(
                "an object number; the spreadsheet shortened it: format the column as text and "
                "write the number again"
            )
        if len(found) > longest:
            raise CellRefusedError(f"an object number of at most {longest} characters")
        return found

    return read


def whole_number(least: int, most: int, what: str) -> Reader:
    def read(cell: Any, reading: Reading) -> int:
        found = cell if type(cell) is int else _decimal(cell)
        if found is None or found != int(found) or not least <= found <= most:
            raise CellRefusedError(f"{what}, a whole number from {least} to {most:,}")
        return int(found)

    return read


def amount(cell: Any, reading: Reading) -> tuple[Decimal, str]:
    """Return an amount and the currency that stands with it, or else the column's."""
    if isinstance(cell, _NO_NUMBER):
        raise CellRefusedError("an amount of money, as in 12500.00")
    if not isinstance(cell, str):
        found = Decimal(text_of(cell))
        if found < 0:
            raise CellRefusedError("an amount of 0 or more")
        return found, reading.unit
    written = plain_text(cell)
    code = currency_in(written) or reading.unit
    if not code and (sign := _DOLLAR_OR_YEN.search(written)):
        code = {"$": "USD", "¥": "JPY"}[sign.group()]
        reading.say(f"“{sign.group()}” is read as {code}.")
    try:
        return money.read_amount(written, currency=code), code
    except money.MoneyError as error:
        raise CellRefusedError(f"an amount of money. {error}") from error


def currency_in(written: str) -> str:
    """Return the ISO 4217 code that a text names, by itself or by its sign."""
    for code in re.findall(r"(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])", written):
        if code in money.MINOR_UNITS:
            return code
    return next((code for sign, code in _SIGNS.items() if sign in written), "")


def currency(cell: Any, reading: Reading) -> str:
    written = plain_text(cell)
    found = currency_in(written.upper())
    if not found:
        raise CellRefusedError("a currency by its ISO 4217 code, as in EUR")
    return found


def one_of(choices: Mapping[str, str], what: str) -> Reader:
    """Read one of several words; `choices` maps each folded word to its value."""

    def read(cell: Any, reading: Reading) -> str:
        found = choices.get(fold(plain_text(cell)).replace("_", " "))
        if found is None:
            raise CellRefusedError(f"{what}: one of {', '.join(_shown(choices))}")
        return found

    return read


def several_of(choices: Mapping[str, str], what: str) -> Reader:
    """Read a list of words, apart by commas or semicolons; “none” is the empty list."""
    read_one = one_of(choices, what)

    def read(cell: Any, reading: Reading) -> list[str]:
        written = plain_text(cell, lines=True)
        if fold(written) in {"none", "no", "-", "nothing"}:
            return []
        return list(dict.fromkeys(read_one(word, reading) for word in _LIST.split(written) if word))

    return read


def row_named(rows: Mapping[str, Any], what: str, advice: str) -> Reader:
    """Read the name of a row that is known; `rows` maps each folded name to the row."""

    def read(cell: Any, reading: Reading) -> Any:
        found = rows.get(fold(plain_text(cell)))
        if found is None:
            raise CellRefusedError(f"{what}. {advice}")
        return found

    return read


def choices_by_word(choices: Sequence[tuple[str, Any]], **more: str) -> dict[str, str]:
    """Return each value by its folded label and by its code; `more` adds other words for one."""
    found = {fold(str(label)): str(code) for code, label in choices if code}
    found |= {code.replace("_", " "): code for code, _ in choices if code}
    for code, words in more.items():
        found |= dict.fromkeys(words.split("|"), code)
    return found


def _decimal(cell: Any) -> Decimal | None:
    if isinstance(cell, _NO_NUMBER):
        return None
    try:
        found = Decimal(plain_text(cell))
    except InvalidOperation:
        return None
    return found if found.is_finite() else None


def _shown(choices: Mapping[str, str]) -> list[str]:
    """Return one word for each value: the first that names it."""
    first: dict[str, str] = {}
    for word, value in choices.items():
        first.setdefault(value, word)
    return list(first.values())
