"""Exports of invented loggers: read, told, asked about, refused."""

import codecs
import os
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation import climate
from conservation.climate.logger import (
    FileRefusedError,
    LoggerOptions,
    QuestionError,
    decoding,
    local_to_utc,
    read_logger,
)
from conservation.ranges import ConservationError

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


@pytest.mark.parametrize(
    ("encoding", "mark"),
    [
        ("utf-8", b""),
        ("utf-8", codecs.BOM_UTF8),
        ("cp1252", b""),
        ("utf-16-le", codecs.BOM_UTF16_LE),
        ("utf-16-be", codecs.BOM_UTF16_BE),
        ("utf-16-le", b""),
        ("utf-16-be", b""),
        ("utf-32-le", codecs.BOM_UTF32_LE),
    ],
)
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_encodings_marks_and_line_ends(encoding, mark, line_end):
    raw = mark + PLAIN.replace("\n", line_end).encode(encoding)
    record = read_logger(raw)
    check_plain(record)
    assert "The text is taken to be " in told(record)


@pytest.mark.parametrize("delimiter", [";", "\t", "|"])
def test_delimiters_with_decimal_commas(delimiter):
    record = read(PLAIN.replace(";", delimiter))
    check_plain(record)
    assert "Commas in numbers are decimal commas." in told(record)


def test_commas_blanks_and_quotes():
    points = PLAIN.replace(",", ".")
    check_plain(read(points.replace(";", ",")))
    check_plain(read(points.replace("Date;", "Day Clock ").replace(" (", "(").replace(";", " ")))
    quoted = "\n".join(
        ",".join(f'"{cell}"' for cell in line.split(";")) for line in PLAIN.splitlines()
    )
    check_plain(read(quoted))


def test_a_path_is_read_like_bytes(tmp_path):
    path = tmp_path / "gallery.csv"
    path.write_text(PLAIN, encoding="utf-8")
    check_plain(read_logger(path))


def test_noise_before_and_after_and_empty_ends_of_lines():
    noise = "Logger;North wall\nSerial;0042\nExported;today\n\n"
    text = noise + PLAIN.replace("\n", ";\n") + "End of data\n"
    record = read(text)
    assert record.readings.temp_c.tolist() == [20.5, 20.7, 20.9]
    assert record.skipped_lines == 1
    assert "Passed over as no reading: 1 line." in told(record)
    assert "The first 5 lines are heading" in told(record)


def test_headings_over_two_lines_and_columns_that_are_not_needed():
    text = (
        "No,Date Time,Temperature,Dew point,Humidity,Battery\n"
        ",,°C,°C,%RH,V\n"
        "1,2025-01-31 22:00:00,20.5,8.1,45.1,3.6\n"
        "2,2025-01-31 23:00:00,20.7,8.2,46.2,3.6\n"
        "3,2025-02-01 00:00:00,20.9,8.3,47.3,3.6\n"
    )
    check_plain(read(text))


@pytest.mark.parametrize(
    "heading",
    [
        "Datum;Temperatur °C;Rel. Feuchte %",
        "Date;Température (°C);Humidité relative (%)",
        "Fecha;Temperatura [°C];Humedad relativa [%]",
        "Datum;Temp. ºC;Relatieve vochtigheid %RV",
        "Time;Ch1 (℃);Ch2 (%RH)",
        "Time;temp_c;rh",
    ],
)
def test_headings_in_several_languages(heading):
    check_plain(read(PLAIN.replace("Date;Temp (°C);RH (%)", heading)))


def test_fahrenheit_and_kelvin_by_heading_cells_and_option():
    for heading, rows in (
        ("Date,Temp (°F),RH %", ("68.0", "71.6")),
        ("Date,Temp deg F,RH %", ("68.0", "71.6")),
        ("Date,Temp,RH %", ("68.0 °F", "71.6 °F")),
        ("Date,Temp [K],RH %", ("293.15", "295.15")),
    ):
        lines = [f"2025-01-31 2{n}:00,{cell},45" for n, cell in enumerate(rows)]
        got = read("\n".join([heading, *lines]))
        assert got.readings.temp_c == pytest.approx([20, 22])
    got = read("Date,Temp,RH %\n2025-01-31 20:00,68,45\n2025-01-31 21:00,71.6,45", temp_unit="F")
    assert got.readings.temp_c == pytest.approx([20, 22])


def test_a_missing_unit_is_assumed_for_rooms_and_asked_else():
    room = read("Date,Temp,RH %\n2025-01-31 20:00,20,45\n2025-01-31 21:00,21,45")
    assert "Temperatures are in °C: no unit is given and the middle one is 20.5." in told(room)
    question = asked("Date,Temp,RH %\n2025-01-31 20:00,68,45\n2025-01-31 21:00,70,45")["temp_unit"]
    assert question.choices == ("C", "F", "K")
    assert question.likely == "F"


def test_fractions_of_humidity_are_asked_about():
    text = "Date,Temp °C,RH\n2025-01-31 20:00,20,0.45\n2025-01-31 21:00,21,0.47"
    assert asked(text)["rh_unit"].likely == "fraction"
    assert read(text, rh_unit="fraction").readings.rh_percent == pytest.approx([45, 47])


def test_an_export_with_a_row_number_quoted_headings_and_events():
    """Shapes that headings of exports take, all in one: invented."""
    text = (
        'sep=,\n"Plot Title: Room 4"\n'
        '"#","Date Time, GMT+01:00","Temp, °F (S/N 0042)","RH, % (S/N 0042)","Heat index (°F)",'
        '"Stopped"\n'
        "1,01/31/25 11:00:00 PM,68.9,45.1%,70,\n"
        "2,02/01/25 12:00:00 AM,69.26,46.2%,70,\n"
        "3,02/01/25 12:30:00 AM,,,,Logged\n"
        "4,02/01/25 01:00:00\u202fAM,69.62,47.3%,70,\n"
    )
    got = read(text).readings
    assert got.time_s.tolist()[:2] == SECONDS[:2]
    assert got.temp_c == pytest.approx([20.5, 20.7, np.nan, 20.9], nan_ok=True)
    assert got.rh_percent == pytest.approx([45.1, 46.2, np.nan, 47.3], nan_ok=True)


# The order of dates.


def rows(*moments: str) -> str:
    return "Date,Temp °C,RH %\n" + "".join(f"{moment},20,45\n" for moment in moments)


def first_times(record) -> list[str]:
    return [climate.utc_words(time_s) for time_s in record.readings.time_s]


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


# Summer time.


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


# Columns.


def test_several_columns_of_a_kind_are_asked_about():
    text = "Date,Temp 1 °C,Temp 2 °C,RH %\n2025-02-03 10:00,20,15,45\n2025-02-03 11:00,21,15,46\n"
    question = asked(text)["temp_column"]
    assert question.choices == ("Temp 1 °C", "Temp 2 °C", "none")
    assert read(text, temp_column="temp 2 °c").readings.temp_c.tolist() == [15, 15]
    assert read(text, temp_column="2").readings.temp_c.tolist() == [20, 21]
    assert np.isnan(read(text, temp_column="none").readings.temp_c).all()
    with pytest.raises(FileRefusedError, match="There is no column 'Temp 9'"):
        read(text, temp_column="Temp 9")


def test_columns_without_a_heading_are_asked_about_all_at_once():
    text = "03/04/2025 10:00,20.5,45\n03/04/2025 11:00,20.6,46\n"
    questions = asked(text)
    assert set(questions) == {"rh_column", "temp_column", "date_order"}
    assert questions["rh_column"].choices == ("2", "3", "none")
    record = read(text, rh_column="3", temp_column="2", date_order="dmy")
    assert record.readings.rh_percent.tolist() == [45, 46]


def test_a_file_of_which_no_column_is_wanted_holds_no_readings():
    with pytest.raises(FileRefusedError, match="No line holds a temperature"):
        read(PLAIN, rh_column="none", temp_column="none")
    text = "03/04/2025 10:00,20.5,45\n13/04/2025 11:00,20.6,46\n"
    assert set(asked(text, temp_column="none")) == {"rh_column"}


def test_one_quantity_alone_is_enough():
    record = read("Date,Temp °C\n2025-02-03 10:00,20\n2025-02-03 11:00,21\n")
    assert np.isnan(record.readings.rh_percent).all()
    assert "No heading names a column of relative humidity." in told(record)


# Broken readings.


def test_missing_and_impossible_readings_are_missing_and_counted():
    cells = ["20;45", "---;46", "NaN;47", "20;-5", "20;0", "20;103", "850;50", "20;n/a", "inf;50"]
    text = "Date;Temp °C;RH %\n" + "".join(
        f"2025-02-03 1{n}:00;{cell}\n" for n, cell in enumerate(cells)
    )
    record = read(text)
    expected = [45, 46, 47, np.nan, np.nan, 100, 50, np.nan, 50]
    np.testing.assert_array_equal(record.readings.rh_percent, expected)
    assert np.flatnonzero(np.isnan(record.readings.temp_c)).tolist() == [1, 2, 6, 8]
    words = told(record)
    assert "1 reading of 100 to 105 % RH count as 100 %." in words
    assert "2 readings of relative humidity outside 0 to 100 % taken as missing." in words
    assert "1 reading of temperature outside -60 to 80 °C taken as missing." in words


def test_doubled_lines_are_averaged_and_told():
    record = read(PLAIN + "01.02.2025 00:00;21,1;47,3\n")
    assert record.readings.temp_c[-1] == pytest.approx(21.0)
    assert "1 reading with a time already seen; these were averaged." in told(record)


def test_lines_cut_short_are_passed_over():
    record = read(PLAIN + "01.02.2025 01:00;20")
    check_plain_readings = record.readings.temp_c.tolist()
    assert check_plain_readings == [20.5, 20.7, 20.9]
    assert record.skipped_lines == 1
    whole = PLAIN.encode("utf-16")
    assert len(read_logger(whole[:-1]).readings) == 3
    cut = (PLAIN + "°").encode()[:-1]
    assert len(read_logger(cut).readings) == 3


LONG = "Date;Temp °C;RH %\n" + "2025-02-03 10:00;20;50\n" * 3


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "The file is empty"),
        (b" \n\r\n", "The file is empty"),
        (b"hello world\n", "No line holds a date and a number"),
        (b"\x00\x01\x02" * 500, "no text has"),
        (b"PK\x03\x04" + b"\x00" * 50, "spreadsheet"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\x1f\x8b" + b"\x08" * 50, "compressed"),
        (bytes(n * n * 7 % 251 for n in range(5000)), "no text has"),
        (b"\x81\x8d" * 50 + b"2025-02-03 10:00;20;50", "cannot be read as UTF-8 or Windows"),
        (b"\xff\xfe" + b"\x00\xd8" * 9, "cannot be read as UTF-16"),
        (b"x" * 50_000, "Line 1 has 50,000 characters"),
        (LONG.encode() + b"a;b\n" * 9, "9 lines of 12 have another number of cells"),
        (b"Date;Temp;RH %\n2025-02-03 10:00;x;-50\n2025-02-03 11:00;x;-51", "lie outside 0 to 100"),
        (b"Date;Temp C;RH %\n2025-02-03 10:00;20.5;50,1\n", "points in some cells and commas"),
        (
            b"Date,Temp,RH\n2025-02-03 10:00,20,50\n2025-02-03 11:00,20,5,50\n"
            b"2025-02-03 12:00,20,50\n",
            "1 line with more cells than the others: decimal commas",
        ),
        (b"Date,Temp,RH\n2025-02-03 10:00,20,5,50,1\n", "decimal commas stand between"),
    ],
)
def test_hostile_files_end_in_one_sentence(raw, words):
    with pytest.raises(FileRefusedError, match=words) as caught:
        read_logger(raw)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 250


def test_sizes_are_limited(tmp_path, monkeypatch):
    big = b"Date;Temp;RH\n" + b"\n" * 10_000_000
    with pytest.raises(FileRefusedError, match="10,000,002 lines; at most 2,000,000"):
        read_logger(big)
    monkeypatch.setattr(decoding, "LARGEST_BYTES", 1000)
    path = tmp_path / "large.csv"
    path.write_bytes(b"x" * 1001)
    for source in (path, b"x" * 1001):
        with pytest.raises(FileRefusedError, match="larger than 1,000 bytes"):
            read_logger(source)


def test_what_is_no_file_is_refused(tmp_path):
    for path in (tmp_path, tmp_path / "none.csv", "bad\0name"):
        with pytest.raises(FileRefusedError):
            read_logger(path)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileRefusedError, match="not an ordinary file"):
        read_logger(pipe)


def test_cells_that_would_make_patterns_slow_are_passed_over():
    slow = "1" + " " * 200_000 + "x"
    many = "".join(f"02.02.2025 {n // 60:02}:{n % 60:02};20,0;50,0\n" for n in range(600))
    record = read(PLAIN + many + f"03.02.2025 01:00;{slow};{slow}\n{slow};20;50\n")
    assert len(record.readings) == 604
    assert np.isnan(record.readings.temp_c[-1])


def test_options_are_checked():
    for bad in ({"date_order": "ydm"}, {"temp_unit": "R"}, {"clock": "sun"}, {"decimal": ":"}):
        with pytest.raises(ConservationError, match="can be"):
            LoggerOptions(**bad)
    with pytest.raises(ConservationError, match="one character"):
        LoggerOptions(delimiter="::")
    for name in ("latin-99", "hex", "zlib", "a\0b", "punycode"):
        with pytest.raises(FileRefusedError):
            read(PLAIN, encoding=name)


@settings(max_examples=100)
@given(st.binary(max_size=400), st.integers(0, 60), st.integers(0, 200))
def test_damaged_files_give_readings_or_one_sentence(junk, length, at):
    raw = PLAIN.encode()
    for damaged in (junk, raw[:at] + junk[:length] + raw[at + length :], raw[:at]):
        try:
            record = read_logger(damaged)
        except ConservationError as refusal:
            words = str(refusal)
        else:
            words = f"{len(record.readings)} readings"
        assert words
        assert words != "0 readings"
        assert "\n" not in words


@settings(max_examples=30)
@given(
    st.lists(st.tuples(st.integers(-200, 600), st.integers(1, 1000)), min_size=1, max_size=20),
    st.sampled_from(["dmy", "mdy", "ymd"]),
    st.sampled_from([";", "\t"]),
    st.sampled_from([",", "."]),
)
def test_what_is_written_is_read_back(values, order, delimiter, decimal):
    form = {"dmy": "%d/%m/%Y", "mdy": "%m/%d/%Y", "ymd": "%Y-%m-%d"}[order] + " %H:%M"
    start = datetime(2025, 1, 30, 22, tzinfo=UTC)
    lines = [delimiter.join(("Date", "Temp °C", "RH %"))]
    for n, (temp, rh) in enumerate(values):
        moment = (start + timedelta(minutes=15 * n)).strftime(form)
        numbers = (f"{temp / 10:.1f}", f"{rh / 10:.1f}")
        lines.append(delimiter.join((moment, *(n.replace(".", decimal) for n in numbers))))
    got = read("\n".join(lines), date_order=order).readings
    assert got.time_s.tolist() == [int(start.timestamp()) + 900 * n for n in range(len(values))]
    assert got.temp_c == pytest.approx([temp / 10 for temp, _ in values])
    assert got.rh_percent == pytest.approx([rh / 10 for _, rh in values])
