"""Broken files end in one sentence that names file, line and cure; nothing hangs."""

import os
import random
import re

import pytest

from conservation.photometry import PhotometricFileError, parse_eulumdat, read_photometry
from conservation.photometry.files import LARGEST_BYTES
from conservation.photometry.lm63 import parse_lm63
from tests.conservation.photometry.lamps import FILES

SPOT = (FILES / "spot.ies").read_text().replace("\r", "")
HEAD = "IESNA91\n[TEST] x\n[MANUFAC] y\n"
LDT = (FILES / "quadrant.ldt").read_text().splitlines()


def spoiled(old: str, new: str) -> str:
    assert SPOT.count(old) == 1
    return SPOT.replace(old, new)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (spoiled("2000 1900", "nan 1900"), 11, "'nan' stands where a number is needed"),
        (spoiled("2000 1900", "inf 1900"), 11, "'inf' stands"),
        (spoiled("2000 1900", "2_000 1900"), 11, "'2_000' stands"),
        (spoiled("2000 1900", "٢000 1900"), 11, "stands where a number"),
        (spoiled("2000 1900", "2000 -1900"), 11, "an intensity is -1900"),
        (spoiled("2000 1900", "2e11 1900"), 11, "an intensity is 2e"),
        (spoiled("1600 1520 1280", "1600"), 12, "ends after 18 of 20 intensities"),
        (spoiled("160 32 8 0", "160"), 12, "17 of 20"),
        (SPOT + "5 6 7\n", 13, "3 numbers are left over"),
        (SPOT + "the end\n", 13, "'the' stands"),
        (spoiled("10 2 1 2 0.1", "11 2 1 2 0.1"), 10, "vertical angle 11 is 0 after 90"),
        (spoiled("10 2 1 2 0.1", "10.5 2 1 2 0.1"), 7, "number of vertical angles is 10.5"),
        (spoiled("10 2 1 2 0.1", "-3 2 1 2 0.1"), 7, "number of vertical angles is -3"),
        (spoiled("10 2 1 2 0.1", "10 2 4 2 0.1"), 7, "photometric type is 4"),
        (spoiled("10 2 1 2 0.1", "10 2 1 3 0.1"), 7, "the unit is 3"),
        (spoiled("10 2 1 2 0.1", "9999999 9999999 1 2 0.1"), 7, "vertical angles is 1e+07"),
        (spoiled("10 2 1 2 0.1", "3000 3000 1 2 0.1"), 7, "announces 9,000,000 intensities"),
        (spoiled("1 -1 1 10", "0 -1 1 10"), 7, "number of lamps is 0"),
        (spoiled("1 -1 1 10", "1 -2 1 10"), 7, "lumens of a lamp are -2"),
        (spoiled("1 -1 1 10", "1 -1 0 10"), 7, "the multiplier is 0"),
        (spoiled("1 1 10\n", "0 1 10\n"), 8, "the ballast factor is 0"),
        (spoiled("0 5 10 15", "0 5 5 15"), 9, "vertical angle 3 is 5 after 5"),
        (spoiled("\n0 90\n", "\n0 70\n"), 10, "horizontal angles run from 0 to 70"),
        (spoiled("60 90\n", "60 190\n"), 9, "vertical angles run from 0 to 190"),
        (spoiled("TILT=NONE", "TILT=lamp.tlt"), 6, "TILT=lamp.tlt names another file"),
        (spoiled("TILT=NONE", "TILT=INCLUDE\n4 1 0 1"), 7, "lamp geometry of TILT is 4"),
        (spoiled("TILT=NONE", "TILT=INCLUDE\n1\n2\n9 5\n1 1"), 9, "tilt angle 2 is 5"),
        (spoiled("TILT=NONE", "TILT=INCLUDE\n1\n2\n0 5\n1 -1"), 10, "tilt factor 2 is -1"),
        (HEAD + "TILT=INCLUDE\n1\n7\n0 15", 7, "ends after 2 of 7 tilt angles"),
        (HEAD + "TILT=NONE\n1 1 1", 5, "ends after 0 of 1 the number of vertical angles"),
        (HEAD, None, "no line begins with TILT="),
    ],
)
def test_a_broken_lm63_file(text, line, words):
    with pytest.raises(PhotometricFileError) as caught:
        parse_lm63(text, "a.ies")
    sentence = str(caught.value)
    assert words in sentence
    assert caught.value.line == line
    assert sentence.startswith("a.ies" + (f", line {line}: " if line else ": "))
    assert re.search(r"; .+\.$", sentence)
    assert "\n" not in sentence


def changed(index: int, new: str) -> str:
    return "\n".join([*LDT[:index], new, *LDT[index + 1 :]])


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (changed(2, "5"), 3, "symmetry indicator is 5"),
        (changed(2, "2"), 104, "ends after 40 of 70 intensities"),
        (changed(2, "1"), 75, "30 numbers are left over"),
        (changed(3, "x"), 4, "'x' stands"),
        (changed(3, "3000"), 104, "ends after 62 of 3000 C planes"),
        (changed(5, "1.5"), 6, "angles in a plane is 1.5"),
        (changed(23, "0"), 24, "conversion factor is 0"),
        (changed(25, "0"), 26, "number of lamp sets is 0"),
        (changed(28, "0"), 29, "flux of the lamps is 0"),
        (changed(43, "700"), 44, "angle 2 is 700"),
        (changed(70, "-1"), 71, "an intensity is -1"),
        (changed(70, "nan"), 71, "'nan' stands"),
        ("\n".join(LDT[:20]), 20, "the file ends here"),
        ("\n".join(LDT[:-1]), 103, "ends after 39 of 40 intensities"),
        ("\n".join([*LDT, "1", "2"]), 105, "2 numbers are left over"),
    ],
)
def test_a_broken_eulumdat_file(text, line, words):
    with pytest.raises(PhotometricFileError) as caught:
        parse_eulumdat(text, "a.ldt")
    assert words in str(caught.value)
    assert caught.value.line == line


def test_lamp_sets_are_asked_for_by_number(tmp_path):
    with pytest.raises(PhotometricFileError, match="sets 1 to 1"):
        parse_eulumdat("\n".join(LDT), lamp_set=2)
    two = [*LDT[:25], "2", *LDT[26:32], "2", "other", "5000", "4000", "80", "20", *LDT[32:]]
    first, second = (parse_eulumdat("\n".join(two), lamp_set=n) for n in (1, 2))
    assert second.peak_cd == pytest.approx(2 * first.peak_cd)
    assert (first.watts, second.watts) == (10, 20)


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "the file is empty"),
        (b" \r\n \x1a", "the file is empty"),
        (b"PK\x03\x04\x00\x00" * 50, "bytes of no text"),
        ("IESNA91\nTILT=NONE\n".encode("utf-16"), "bytes of no text"),
        (bytes(range(1, 256)) * 20, "bytes of no text"),
        (b"\x89PNG\r\n\x1a\n\x00\x0dIHDR", "bytes of no text"),
        (b"<html>not here</html>", "no line begins with TILT="),
        (b"1 " * (LARGEST_BYTES // 2 + 10), f"larger than {LARGEST_BYTES:,}"),
    ],
)
def test_what_is_no_photometric_text(tmp_path, raw, words):
    path = tmp_path / "a.ies"
    path.write_bytes(raw)
    with pytest.raises(PhotometricFileError, match=words):
        read_photometry(path)


def test_ten_million_values_are_refused_by_size(tmp_path):
    path = tmp_path / "a.ies"
    with path.open("wb") as stream:
        stream.write(b"TILT=NONE\n1 -1 1 3600 2800 1 2 0 0 0\n1 1 1\n")
        for _ in range(100):
            stream.write(b"1 " * 100_000 + b"\n")
    with pytest.raises(PhotometricFileError, match="larger than"):
        read_photometry(path)


def test_pipes_devices_and_folders_are_not_waited_for(tmp_path):
    pipe = tmp_path / "pipe.ies"
    os.mkfifo(pipe)
    for path in (pipe, tmp_path, "/dev/zero"):
        with pytest.raises(PhotometricFileError, match="no ordinary file"):
            read_photometry(path)
    for path in (tmp_path / "none.ies", "a\0b.ies"):
        with pytest.raises(PhotometricFileError, match=r"no such file|cannot be opened"):
            read_photometry(path)


@pytest.mark.parametrize("name", sorted(path.name for path in FILES.glob("*.[il][ed][st]")))
def test_no_cut_or_change_brings_another_error(name):
    """Every file of ours, cut anywhere or with words exchanged: read, or one sentence."""
    text = (FILES / name).read_text()
    parse = parse_eulumdat if name.endswith(".ldt") else parse_lm63
    chance = random.Random(name)  # noqa: S311
    for _ in range(60):
        at = chance.randrange(len(text))
        other = chance.choice(("", " ", "-", "nan", "1e999", "\n", "9" * 400, "0", "]", "TILT="))
        for spoilt in (text[:at], text[:at] + other + text[at + chance.randrange(4) :]):
            sentence = refusal(parse, spoilt)
            assert sentence is None or re.fullmatch(r"a(, line \d+)?: [^\n]{10,300}\.", sentence)


def refusal(parse, text: str) -> str | None:
    try:
        parse(text, "a")
    except PhotometricFileError as error:
        return str(error)
    return None
