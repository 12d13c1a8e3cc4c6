"""Read JSON objects field by field, and collect every fault as a sentence naming field and value.

What cannot be read is replaced by something harmless, so that one run names all that is wrong.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

LONGEST_NAME = 200
LONGEST_WORDS = 60
LARGEST = 1_000_000_000


class JsonReader:
    """Collects `faults` while reading; nothing is raised.

    >>> reader = JsonReader()
    >>> reader.whole({"days": 1.5}, "days", "case", 1, 10)
    1
    >>> reader.faults
    ['case.days is 1.5: give a whole number from 1 to 10.']
    """

    def __init__(self) -> None:
        self.faults: list[str] = []

    def known(self, row: dict[str, Any], names: Collection[str], where: str) -> None:
        """Note every field of a row that is none of these names."""
        for key in row:
            if key not in names:
                known = ", ".join(names)
                self.faults.append(f"{where} has an unknown field {short(key)}; known: {known}.")

    def rows(self, data: dict[str, Any], key: str, most: int, where: str = "") -> list[Any]:
        """Return a list of JSON objects, empty where there is none."""
        value = data.get(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            self.faults.append(f"{where}{key} must be a list of JSON objects.")
            return []
        if len(value) > most:
            self.faults.append(f"{where}{key} has {len(value)} rows: at most {most} are taken.")
            return []
        return value

    def name(self, row: dict[str, Any], key: str, where: str, *, optional: bool = False) -> str:
        """Return text of 1 to 200 characters."""
        value = row.get(key)
        if value is None and optional:
            return ""
        if not isinstance(value, str) or not value.strip() or len(value) > LONGEST_NAME:
            self.faults.append(
                f"{where}.{key} is {short(value)}: give text of 1 to {LONGEST_NAME} characters."
            )
            return ""
        return value

    def names(self, row: dict[str, Any], key: str, where: str) -> tuple[str, ...]:
        """Return a list of texts, empty where there is none."""
        value = row.get(key) or []
        if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
            self.faults.append(f"{where}.{key} must be a list of names.")
            return ()
        return tuple(value)

    def whole(
        self,
        row: dict[str, Any],
        key: str,
        where: str,
        least: int = 0,
        most: int = LARGEST,
        default: int | None = None,
    ) -> int:
        """Return a whole number within these limits."""
        value = row.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            self.faults.append(
                f"{where}.{key} is {short(value)}: give a whole number from {least} to {most}."
            )
            return least
        return value

    def flag(self, row: dict[str, Any], key: str, where: str, default: bool) -> bool:
        """Return true or false."""
        value = row.get(key, default)
        if not isinstance(value, bool):
            self.faults.append(f"{where}.{key} is {short(value)}: give true or false.")
            return default
        return value

    def day(self, row: dict[str, Any], key: str, where: str) -> date | None:
        """Return a date, None where there is none."""
        value = row.get(key)
        if value is None:
            return None
        try:
            return date.fromisoformat(value)
        except (TypeError, ValueError):
            self.faults.append(f"{where}.{key} is {short(value)}: give a date like 2027-03-01.")
            return None

    def once(self, what: str, names: Iterable[str]) -> None:
        """Note every name that stands more than once."""
        seen = [name for name in names if name]
        for name in sorted({name for name in seen if seen.count(name) > 1}):
            self.faults.append(f"{what} {name!r} stands twice: give each {what} its own name.")


def short(value: Any) -> str:
    """Return a value as it is quoted in a sentence, cut to 60 characters; nothing is raised.

    >>> short(1.5)
    '1.5'
    """
    words = repr(value)
    return words if len(words) <= LONGEST_WORDS else words[: LONGEST_WORDS - 3] + "..."
