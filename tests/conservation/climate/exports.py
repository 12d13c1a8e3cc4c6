"""What the tests of exports share: a plain export, and how it is read."""

import pytest

from conservation import climate
from conservation.climate.logger import (
    LoggerOptions,
    QuestionError,
    read_logger,
)

PLAIN = (
    "Date;Temp (°C);RH (%)\n"
    "31.01.2025 22:00;20,5;45,1\n"
    "31.01.2025 23:00;20,7;46,2\n"
    "01.02.2025 00:00;20,9;47,3\n"
)
SECONDS = [1738360800, 1738364400, 1738368000]


def read(text: str, **options: str):
    return read_logger(text.encode(), LoggerOptions(**options))


def told(record) -> str:
    return " ".join(assumption.words for assumption in record.assumed)


def asked(text: str, **options: str):
    with pytest.raises(QuestionError) as caught:
        read(text, **options)
    return {question.option: question for question in caught.value.questions}


def check_plain(record) -> None:
    assert record.readings.time_s.tolist() == SECONDS
    assert record.readings.temp_c.tolist() == [20.5, 20.7, 20.9]
    assert record.readings.rh_percent.tolist() == [45.1, 46.2, 47.3]
    assert record.skipped_lines == 0


def rows(*moments: str) -> str:
    return "Date,Temp °C,RH %\n" + "".join(f"{moment},20,45\n" for moment in moments)


def first_times(record) -> list[str]:
    return [climate.utc_words(time_s) for time_s in record.readings.time_s]
