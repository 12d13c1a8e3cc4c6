"""Dates, clocks and summer time in exports of invented loggers."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from conservation.climate.logger import (
    FileRefusedError,
    QuestionError,
    local_to_utc,
)
from conservation.climate.logger.dates import days_of
from conservation.ranges import ConservationError
from tests.conservation.climate.exports import PLAIN, asked, first_times, read, rows, told


def test_an_ambiguous_order_is_asked_and_the_answer_used():
    text = rows("01/02/2025 10:00", "02/02/2025 10:00", "03/02/2025 10:00")
    question = asked(text)["date_order"]
    assert question.choices == ("dmy", "mdy")
    assert question.likely == "dmy"
    assert question.words.startswith("Is the date '01/02/2025' day, month, year (dmy), or month")
    assert first_times(read(text, date_order="dmy"))[1] == "2025-02-02T10:00:00Z"
    assert first_times(read(text, date_order="mdy"))[2] == "2025-03-02T10:00:00Z"


@pytest.mark.parametrize("mark", ["/", ".", "-"])
def test_one_day_leaves_the_order_open_whatever_the_mark(mark):
    text = rows(f"03{mark}04{mark}2025 10:00", f"03{mark}04{mark}2025 11:00")
    question = asked(text)["date_order"]
    assert question.likely == ""


def test_two_digit_years_of_a_month_are_no_thirty_years():
    days = [f"{day:02}.01.25 10:00" for day in range(1, 32)]
    assert first_times(read(rows(*days)))[-1] == "2025-01-31T10:00:00Z"


def test_equal_day_and_month_need_no_question():
    assert first_times(read(rows("05/05/2025 10:00")))[0] == "2025-05-05T10:00:00Z"


@pytest.mark.parametrize(
    ("moment", "iso"),
    [
        ("13/02/2025 10:00", "2025-02-13T10:00:00Z"),
        ("02/13/2025 10:00:30", "2025-02-13T10:00:30Z"),
        ("2025-02-03T10:00", "2025-02-03T10:00:00Z"),
        ("2025/02/03 10:00", "2025-02-03T10:00:00Z"),
        ("2025-02-03T10:00:00Z", "2025-02-03T10:00:00Z"),
        ("2025-02-03T10:00:00+02:00", "2025-02-03T08:00:00Z"),
        ("3 Feb 2025 10:00", "2025-02-03T10:00:00Z"),
        ("03-févr.-2025 10:00", "2025-02-03T10:00:00Z"),
        ("3. März 2025 10:00", "2025-03-03T10:00:00Z"),
        ("Feb 3 2025 10:00", "2025-02-03T10:00:00Z"),
        ("2025-Feb-03 10:00", "2025-02-03T10:00:00Z"),
        ("03-Feb-25 10:00", "2025-02-03T10:00:00Z"),
        ("13/02/25 10:00", None),
        ("31/12/99 10:00", "2099-12-31T10:00:00Z"),
        ("02/13/2025 10:00 PM", "2025-02-13T22:00:00Z"),
        ("02/13/2025 12:05 am", "2025-02-13T00:05:00Z"),
        ("13.02.2025 24:00", "2025-02-14T00:00:00Z"),
        ("2025-02-03 10:00:00.250", "2025-02-03T10:00:00Z"),
    ],
)
def test_ways_to_write_a_moment(moment, iso):
    if iso is None:
        # 13 February 2025 or 25 February 2013.
        assert asked(rows(moment))["date_order"].choices == ("dmy", "ymd")
    else:
        assert first_times(read(rows(moment)))[0] == iso


def test_an_order_is_told_only_where_it_was_found_out():
    for moment, abouts in (("2025-02-03 10:00", []), ("13/02/2025 10:00", ["date_order"])):
        record = read(rows(moment))
        assert [a.about for a in record.assumed if a.about == "date_order"] == abouts


def test_date_and_clock_in_two_columns():
    text = "Date,Time,Temp °C,RH %\n13/02/2025,10:00:00,20,45\n13/02/2025,10:10:00,20,46\n"
    assert first_times(read(text)) == ["2025-02-13T10:00:00Z", "2025-02-13T10:10:00Z"]
    daily = read("Date,Temp °C,RH %\n13/02/2025,20,45\n14/02/2025,20,46\n")
    assert "No line gives a time of day" in told(daily)


def test_an_order_that_does_not_fit_and_dates_that_are_none():
    with pytest.raises(FileRefusedError, match="'13/02/2025' cannot be month, day, year"):
        read(rows("13/02/2025 10:00"), date_order="mdy")
    with pytest.raises(FileRefusedError, match="change their order"):
        read(rows("13/02/2025 10:00", "02/14/2025 10:00"))
    with pytest.raises(FileRefusedError, match="No date can be read; the first is '99/99/2025'"):
        read(rows("99/99/2025 10:00"))
    record = read(rows("13/02/2025 10:00", "31/02/2025 10:00"))
    assert (len(record.readings), record.skipped_lines) == (1, 1)


def test_offsets_in_headings_hold_for_all_lines():
    text = '"Date Time, GMT+01:00","Temp, °C","RH, %"\n02/13/25 10:00:00,20.5,45\n'
    record = read(text)
    assert first_times(record) == ["2025-02-13T09:00:00Z"]
    assert "The heading puts all times at GMT+01:00." in told(record)


def test_offsets_on_some_lines_only_are_refused():
    with pytest.raises(FileRefusedError, match="some do not"):
        read(rows("2025-02-03T10:00Z", "2025-02-03 10:00"))


def walked(zone: str, start: datetime, count: int, minutes: int) -> tuple[list[int], list[str]]:
    """A logger whose clock follows the zone: true times, and what it writes."""
    true = [start + timedelta(minutes=minutes * n) for n in range(count)]
    wall = [moment.astimezone(ZoneInfo(zone)).strftime("%Y-%m-%d %H:%M") for moment in true]
    return [int(moment.timestamp()) for moment in true], wall


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("zone", "start", "minutes"),
    [
        *(("Europe/Paris", datetime(2025, 3, 29, 20, tzinfo=UTC), m) for m in (10, 30, 60)),
        *(("Europe/Paris", datetime(2025, 10, 25, 20, tzinfo=UTC), m) for m in (10, 30, 60)),
        *(("America/New_York", datetime(2025, 11, 2, 0, tzinfo=UTC), m) for m in (10, 60)),
        # That clock moves by half an hour, which hourly readings would not show.
        *(("Australia/Lord_Howe", datetime(2025, 4, 5, 9, tzinfo=UTC), m) for m in (10, 30)),
    ],
)
def test_a_clock_that_follows_summer_time(zone, start, minutes, turned):
    true, wall = walked(zone, start, 12 * 60 // minutes, minutes)
    lines = wall[::-1] if turned else wall
    record = read(rows(*lines), zone=zone)
    assert record.readings.time_s.tolist() == true
    assert "The clock follows summer time" in told(record)


@pytest.mark.parametrize("month", [3, 10])
def test_a_clock_that_keeps_winter_time(month):
    start = datetime(2025, month, 30 if month == 3 else 26, 0, tzinfo=UTC)
    true = [start + timedelta(minutes=10 * n) for n in range(40)]
    wall = [(moment + timedelta(hours=1)).strftime("%Y-%m-%d %H:%M") for moment in true]
    record = read(rows(*wall), zone="Europe/Paris")
    assert record.readings.time_s.tolist() == [int(moment.timestamp()) for moment in true]
    assert "keeps winter time all year" in told(record)


def test_a_record_that_ends_or_begins_in_the_hour_that_comes_twice_shows_nothing():
    """The clock of Paris shows 02:00 to 02:59 from 0:00 to 0:59 UTC, and again an hour later."""
    start = datetime(2025, 10, 25, 20, tzinfo=UTC)
    true, wall = walked("Europe/Paris", start, 72, 10)
    ending, beginning = slice(0, 27), slice(33, 54)
    assert (wall[26], wall[33]) == ("2025-10-26 02:20", "2025-10-26 02:30")
    for part in (ending, beginning):
        record = read(rows(*wall[part]), zone="Europe/Paris")
        assert "The clock follows summer time." in told(record)
    assert read(rows(*wall[ending]), zone="Europe/Paris").readings.time_s.tolist() == true[ending]


def test_a_clock_that_is_set_once_only_is_asked_about():
    _, spring = walked("Europe/Paris", datetime(2025, 10, 25, 20, tzinfo=UTC), 72, 10)
    odd = ["2025-03-30 02:20", "2025-03-30 02:30", *spring]
    question = asked(rows(*odd), zone="Europe/Paris")["clock"]
    assert question.choices == ("local", "standard")
    record = read(rows(*odd), zone="Europe/Paris", clock="local")
    assert "2 times fall in an hour that summer time leaves out" in told(record)


@pytest.mark.parametrize(
    ("zone", "clock", "utc"),
    [
        ("Europe/Paris", "local", "2025-07-13T10:00:00Z"),
        ("Europe/Paris", "standard", "2025-07-13T11:00:00Z"),
        ("Pacific/Auckland", "standard", "2025-07-13T00:00:00Z"),
        ("America/New_York", "standard", "2025-07-13T17:00:00Z"),
        ("Asia/Kolkata", None, "2025-07-13T06:30:00Z"),
        ("UTC", None, "2025-07-13T12:00:00Z"),
    ],
)
def test_what_is_known_of_the_clock_is_used(zone, clock, utc):
    record = read(rows("2025-07-13 12:00"), zone=zone, clock=clock)
    assert first_times(record) == [utc]
    assert "clock" not in {assumption.about for assumption in record.assumed}


def test_a_jump_back_without_a_zone_is_asked_about():
    for minutes in (10, 60):
        true, wall = walked(
            "Europe/Paris", datetime(2025, 10, 25, 20, tzinfo=UTC), 720 // minutes, minutes
        )
        question = asked(rows(*wall))["zone"]
        assert "the clock goes back as at the end of summer time" in question.words
        assert read(rows(*wall), zone="Europe/Paris").readings.time_s.tolist() == true
        assert len(read(rows(*wall), zone="UTC").readings) == len(set(wall))


def test_arrays_of_local_times_are_turned_to_utc():
    start = datetime(2025, 10, 25, 20, tzinfo=UTC)
    true, wall = walked("Europe/Paris", start, 72, 10)
    found, assumed = local_to_utc(np.array(wall, "datetime64[m]"), zone="Europe/Paris")
    assert found.tolist() == true
    assert [assumption.about for assumption in assumed] == ["clock"]
    odd = np.array(["2025-03-30T02:20", *(moment.replace(" ", "T") for moment in wall)])
    with pytest.raises(QuestionError, match="does the clock follow summer time"):
        local_to_utc(odd.astype("datetime64[m]"), zone="Europe/Paris")
    for nothing in ([], [float("nan")]):
        with pytest.raises(ConservationError, match="Every reading needs a time"):
            local_to_utc(nothing, zone="Europe/Paris")


def test_no_zone_is_told_and_a_wrong_one_refused():
    assert "Times stay as written, because no time zone is given." in told(read(PLAIN))
    with pytest.raises(FileRefusedError, match="no time zone 'Mars/Base'"):
        read(PLAIN, zone="Mars/Base")
    with pytest.raises(FileRefusedError, match="no time zone"):
        read(PLAIN, zone="../../etc/passwd")


@pytest.mark.parametrize(
    ("dates", "why"),
    [
        (["01/01/2026", "02/02/2026"], "another order gives the same"),
        (["13/01/2026", "14/01/2026"], "only so are all of them dates"),
    ],
)
def test_the_order_of_dates_is_told_with_its_reason(dates, why):
    _, assumed, question = days_of(dates, None)
    assert question is None
    assert [why in item.words for item in assumed] == [True]
