"""What a reader of loggers' exports may be told, what it assumed, and what it has to ask."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from conservation.climate.readings import Readings
from conservation.ranges import ConservationError

DateOrder = Literal["dmy", "mdy", "ymd"]


@dataclass(frozen=True)
class LoggerOptions:
    """What is known about a file; what is None is found out, or asked for.

    `delimiter` is one character; `decimal` is `.` or `,`; `zone` is an IANA name such as
    `Europe/Paris`, or `UTC`; `clock` is `local` (follows summer time) or `standard` (winter time
    all year); `temp_unit` is `C`, `F` or `K`; `rh_unit` is `percent` or `fraction`; columns are
    named by heading or by number from 1, and `none` says that there is no such column.
    """

    encoding: str | None = None
    delimiter: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    zone: str | None = None
    clock: str | None = None
    temp_unit: str | None = None
    rh_unit: str | None = None
    temp_column: str | None = None
    rh_column: str | None = None

    def __post_init__(self) -> None:
        for name, known in _CHOICES.items():
            value = getattr(self, name)
            if value is not None and value not in known:
                raise ConservationError(
                    f"The option {name} is {value!r}; it can be: {', '.join(known)}."
                )
        if self.delimiter is not None and len(self.delimiter) != 1:
            raise ConservationError("The delimiter is one character.")


_CHOICES = {
    "decimal": (".", ","),
    "date_order": ("dmy", "mdy", "ymd"),
    "clock": ("local", "standard"),
    "temp_unit": ("C", "F", "K"),
    "rh_unit": ("percent", "fraction"),
}


@dataclass(frozen=True)
class Assumption:
    """One thing the reader took to be so; `about` is the option that would settle it."""

    about: str
    words: str


@dataclass(frozen=True)
class Question:
    """One thing only a person can know: the option to give, its choices, and which seems likely."""

    option: str
    words: str
    choices: tuple[str, ...]
    likely: str = ""


@dataclass(frozen=True)
class LoggerRecord:
    """A file read: its readings in UTC, what was assumed, and how many lines held no reading."""

    readings: Readings
    assumed: tuple[Assumption, ...]
    skipped_lines: int


class FileRefusedError(ConservationError):
    """A file cannot be read as an export of a logger; the text says why in one sentence."""


class QuestionError(ConservationError):
    """A file can be read in several ways; `questions` says what to ask and what to answer with."""

    def __init__(self, questions: Sequence[Question]) -> None:
        self.questions = tuple(questions)
        super().__init__(" ".join(question.words for question in questions))
