"""Exports of invented loggers: text, columns and units."""

import codecs

import numpy as np
import pytest

from conservation.climate.logger import (
    FileRefusedError,
    read_logger,
)
from tests.conservation.climate.exports import (
    PLAIN,
    SECONDS,
    asked,
    check_plain,
    read,
    told,
)


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
