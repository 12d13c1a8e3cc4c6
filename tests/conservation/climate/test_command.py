"""The command `climate`: answers in JSON and tables, questions with the option that answers."""

import io
import json
import sys

import numpy as np
import pytest

from conservation.__main__ import BAD_INPUT, NOT_KEPT, OK, main
from conservation.cli.climate import RULES

HEAD = "Date,Temp °C,RH %\n"


@pytest.fixture
def export(tmp_path):
    def write(rh, temp=20.0, start="2025-01-15T00:00", name="room.csv"):
        times = np.datetime64(start, "m") + 60 * np.arange(len(rh))
        lines = [f"{when},{temp},{value:.2f}\n" for when, value in zip(times, rh, strict=True)]
        path = tmp_path / name
        path.write_text(HEAD + "".join(lines), encoding="utf-8")
        return path

    return write


def run(capsys, *words):
    code = main(["climate", *(str(word) for word in words)])
    out, err = capsys.readouterr()
    return code, out, err


def test_all_rules_answer_for_a_year(capsys, export):
    hours = np.arange(395 * 24)
    path = export(50 + 6 * np.sin(hours * 2 * np.pi / 24))
    code, out, err = run(capsys, path)
    data = json.loads(out)
    assert (code, err) == (OK, "")
    assert data["record"]["readings"] == 9480
    assert data["bizot"]["source"]["edition"] == "Bizot Green Protocol 2023"
    verdicts = [(r["reading"], r["passes"]) for r in data["bizot"]["readings_of_the_rule"]]
    assert verdicts == [("change", True), ("spread", False), ("wide_spread", True)]
    assert data["ashrae"]["closest_kept"] == "A2"
    assert data["en_15757"]["upper_percent"] == 10
    assert data["en_15757"]["source"]["status"] == "from memory"
    assert data["ageing"]["source"]["year"] == 2002
    assert data["damp"]["alarms"]["stays"] == 0
    assert data["not_tested"] == []


def test_a_table_names_sources_and_assumptions(capsys, export):
    code, out, _ = run(capsys, export([50] * 30), "--table")
    assert code == OK
    assert "Bizot Green Protocol 2023" in out
    assert "from memory: check your edition" in out
    assert "Cells are divided by commas." in out
    assert "en_15757: No reading has a complete window around it" in out


@pytest.mark.parametrize(
    ("rh", "words", "code"),
    [
        ([50] * 30, ["--rule", "bizot"], OK),
        ([50] * 30 + [61], ["--rule", "bizot"], NOT_KEPT),
        ([45] * 24 + [56], ["--rule", "bizot"], NOT_KEPT),
        ([45] * 24 + [56], ["--rule", "bizot", "--reading", "wide_spread"], OK),
        ([45] * 24 + [56], ["--rule", "all"], OK),
        ([50] * 30, ["--rule", "ashrae", "--type", "AA"], OK),
        ([50] * 30 + [58], ["--rule", "ashrae", "--type", "AA"], NOT_KEPT),
        ([50] * 30 + [58], ["--rule", "ashrae", "--type", "B", "--edition", "2011"], OK),
        ([50] * 30, ["--rule", "ashrae", "--type", "AA", "--set-point", "60"], NOT_KEPT),
        ([80] * 48, ["--rule", "damp"], OK),
        ([80] * 49, ["--rule", "damp"], NOT_KEPT),
        ([50] * 5, ["--band", "45:55"], OK),
        ([50] * 5 + [56], ["--band", "45:55"], NOT_KEPT),
        ([50] * 5, ["--material", "ivory", "--material", "paper"], OK),
        ([50] * 5, ["--rule", "band", "--material", "archaeological iron"], NOT_KEPT),
        ([50] * 5, ["--rule", "ageing", "--ageing-of", "varnish"], OK),
    ],
)
def test_exit_code_says_whether_what_was_asked_is_kept(capsys, export, rh, words, code):
    got, out, err = run(capsys, export(rh), *words)
    assert (got, err) == (code, "")
    assert json.loads(out)["assumed"]


def test_cautions_are_shown(capsys, export):
    _, out, _ = run(capsys, export([80] * 60), "--rule", "damp", "--table")
    assert "damp: Mould can harm people" in out
    _, out, _ = run(capsys, export([35] * 5), "--material", "nitrate film", "--table")
    assert "nitrate burns fiercely" in out


def test_a_historic_record_sets_the_season(capsys, export):
    old = export(np.full(395 * 24, 50.0), start="2023-12-15T00:00", name="old.csv")
    new = export([50] * 20 + [63] * 4, start="2026-02-01T00:00")
    words = ("--rule", "en_15757", "--historic", old)
    code, out, _ = run(capsys, new, *words)
    outside = json.loads(out)["en_15757"]["outside"]
    assert code == NOT_KEPT
    assert (outside["stays"], outside["hours"]) == (1, 4)
    assert outside["worst"][0]["start"] == "2026-02-01T20:00:00Z"


def test_questions_name_the_option_that_answers(capsys, tmp_path):
    path = tmp_path / "export.csv"
    path.write_text(HEAD + "03/04/2025 10:00,20,45\n03/04/2025 11:00,20,46\n", encoding="utf-8")
    code, out, err = run(capsys, path, "--rule", "record")
    assert (code, out) == (BAD_INPUT, "")
    assert "Is the date '03/04/2025' day, month, year (dmy), or" in err
    assert err.endswith("Answer with --date-order: dmy, mdy.\n")
    code, out, _ = run(capsys, path, "--rule", "record", "--date-order", "mdy")
    assert json.loads(out)["record"]["first"] == "2025-03-04T10:00:00Z"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--band", "55:45"], "give least and most % RH"),
        (["--band", "nan:45"], "give least and most % RH"),
        (["--band", "fifty"], "give least and most % RH"),
        (["--rule", "band"], "needs --band or --material"),
        (["--material", "unobtainium"], "has no row with names unobtainium"),
        (["--material", "archaeological iron", "--material", "wood"], "No air suits these"),
        (["--rule", "ashrae", "--type", "Z"], "no type of control 'Z'"),
        (["--rule", "ashrae", "--edition", "1900"], "known edition"),
        (["--rule", "bizot", "--reading", "loose"], "no reading 'loose'"),
        (["--rule", "ageing", "--ageing-of", "granite"], "has no row"),
        (["--rule", "en_15757"], "complete window"),
        (["--zone", "Nowhere/Town"], "no time zone"),
        (["--date-order", "xyz"], "it can be: dmy, mdy, ymd"),
    ],
)
def test_wrong_options_end_in_one_sentence(capsys, export, words, told):
    code, out, err = run(capsys, export([50] * 30), *words)
    assert (code, out) == (BAD_INPUT, "")
    assert told in err
    assert err.count("\n") == 1


def test_files_that_are_no_exports_end_in_one_sentence(capsys, tmp_path):
    for raw in (b"", b"\x00\x01\x02" * 99, b"a,b\n1,2\n", b"PK\x03\x04zip"):
        path = tmp_path / "x.csv"
        path.write_bytes(raw)
        code, out, err = run(capsys, path)
        assert (code, out) == (BAD_INPUT, "")
        assert err.startswith(f"{path}: ")
        assert err.count("\n") == 1
    assert run(capsys, tmp_path / "none.csv")[0] == BAD_INPUT


def test_standard_input_and_one_quantity(capsys, monkeypatch):
    raw = b"Date,Temp C\n2025-02-03 10:00,20\n2025-02-03 11:00,21\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(raw)))
    code, out, _ = run(capsys, "-")
    data = json.loads(out)
    assert code == OK
    assert data["record"]["courses"][0]["mean"] == 20.5
    assert any(note.startswith("ageing: ") for note in data["not_tested"])


def test_every_rule_is_listed_in_the_help(capsys):
    with pytest.raises(SystemExit):
        main(["climate", "--help"])
    out = capsys.readouterr().out
    assert "Example:\n  $ " in out
    for rule in RULES:
        assert rule in out
