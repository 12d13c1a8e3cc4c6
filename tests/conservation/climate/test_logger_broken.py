"""Broken and hostile exports: what can be read is, what cannot ends in one sentence."""

import os
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.climate.logger import (
    FileRefusedError,
    LoggerOptions,
    decoding,
    read_logger,
)
from conservation.ranges import ConservationError
from tests.conservation.climate.exports import PLAIN, read, told


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
