"""The command line: examples run, answers are JSON or a table, wrong input ends in one sentence."""

import csv
import importlib
import io
import json
import math
import os
import pkgutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import conservation.cli
from conservation.__main__ import BAD_INPUT, NOT_KEPT, OK, main
from conservation.cli import COMMANDS
from conservation.cli.common import (
    Answer,
    Grid,
    InputError,
    example_of,
    plain,
    show,
)
from conservation.cli.files import read_json, read_rows
from conservation.light import light_limit

ROOT = Path(__file__).resolve().parents[2]


def examples():
    for item in pkgutil.iter_modules(conservation.cli.__path__, "conservation.cli."):
        module = importlib.import_module(item.name)
        texts = [module.__doc__] if item.name.rpartition(".")[2] in COMMANDS else []
        texts += [value for name, value in vars(module).items() if name.isupper()]
        for text in texts:
            if isinstance(text, str):
                yield from example_of(text)


@pytest.mark.parametrize("command", sorted(set(examples())))
def test_example_of_help_runs(command):
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    env = {"PATH": path, "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "error"}
    done = subprocess.run(  # noqa: S602
        command, shell=True, capture_output=True, text=True, cwd=ROOT, env=env, check=False
    )
    assert done.returncode in (OK, NOT_KEPT), done.stderr
    assert done.stderr == ""
    assert len(done.stdout) > 20


def test_help_and_light_need_no_heavy_library():
    code = (
        "import sys, conservation.__main__ as m\n"
        "m.main(['light', 'limit', '--class', 'R3'])\n"
        "print([n for n in ('numpy', 'scipy', 'pandas', 'ortools') if n in sys.modules])"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


def run(capsys, *words):
    try:
        code = main([str(word) for word in words])
    except SystemExit as stop:
        code = stop.code
    out, err = capsys.readouterr()
    return code, out, err


def sentence(capsys, *words):
    code, out, err = run(capsys, *words)
    assert code == BAD_INPUT
    assert out == ""
    assert err.count("\n") == 1
    assert err.endswith(".\n")
    assert "Traceback" not in err
    return err.strip()


@pytest.mark.parametrize("command", COMMANDS)
def test_first_page_names_the_command(capsys, command):
    code, out, _ = run(capsys, "--help")
    assert code == OK
    assert COMMANDS[command] in " ".join(out.split())


@pytest.mark.parametrize(
    "words", [["light"], ["limits"], *(["light", x] for x in ("class", "dose", "calendar", "keep"))]
)
def test_help_teaches_with_an_example(capsys, words):
    code, out, _ = run(capsys, *words, "--help")
    assert code == OK
    assert "Example:\n  $ " in out


def test_json_carries_the_rule_set_and_its_edition(capsys):
    code, out, _ = run(capsys, "light", "limit", "--class", "R3")
    data = json.loads(out)
    assert code == OK
    assert (data["rule_set"], data["max_lux_h_per_year"]) == ("cie_157", 15_000)
    assert data["source"]["edition"] == light_limit("R3").source.edition


def test_own_table_is_laid_over(capsys, tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(
        'table = "light_limits"\n[[rows]]\nid = "cie_157_r3"\nsource = "cie_157"\n'
        'rule_set = "cie_157"\nclass = "R3"\nname = "high"\nmax_lux = 30\n'
    )
    _, out, _ = run(capsys, "light", "limit", "--class", "R3", "--own", path)
    assert json.loads(out)["max_lux"] == 30
    path.write_text(path.read_text().replace("30", "-30"))
    told = sentence(capsys, "light", "limit", "--class", "R3", "--own", path)
    assert (
        told
        == f"{path}, line 8: max_lux of row cie_157_r3 is -30: give a number from 0 to 200000 lx."
    )


# Arithmetic on CIE 157:2004 (from memory): 146 000 lx·h is 97.3 % of R2's year and too much for R3.
@pytest.mark.parametrize(("name", "share", "code"), [("R2", 97.3, OK), ("R3", 973.3, NOT_KEPT)])
def test_dose_against_a_class(capsys, tmp_path, name, share, code):
    path = tmp_path / "light.csv"
    path.write_text("what;lux;hours\nopen;50;2920\nnight;0;5840\n")
    found, out, _ = run(capsys, "light", "dose", path, "--class", name)
    assert found == code
    assert round(100 * json.loads(out)["use"]["share"], 1) == share
    found, out, _ = run(capsys, "light", "dose", path, "--class", name, "--table")
    assert f"{share} % of the budget" in out
    assert "from memory" in out


def test_dose_names_a_level_that_is_too_bright(capsys, tmp_path):
    path = tmp_path / "light.csv"
    path.write_text("what,lux,hours\nopen,40,100\nwedding,300,1\n")
    code, out, _ = run(capsys, "light", "dose", path, "--class", "R2", "--table")
    assert code == NOT_KEPT
    assert "wedding at 300 lx is above 50 lx, the limit of R2." in out
    assert run(capsys, "light", "dose", path)[0] == OK
    assert run(capsys, "light", "dose", path, "--budget", 4300)[0] == OK
    assert run(capsys, "light", "dose", path, "--budget", 4299)[0] == NOT_KEPT


def test_calendar_finds_the_day(capsys, tmp_path):
    path = tmp_path / "show.json"
    show_ = {
        "first": "2026-03-01",
        "last": "2026-05-29",
        "class": "R3",
        "years": 2,
        "habits": [{"what": "open", "lux": 50, "hours_a_day": 7}],
    }
    path.write_text(json.dumps(show_))
    code, out, _ = run(capsys, "light", "calendar", path)
    data = json.loads(out)
    # 85 days of 350 lx·h are 29 750 of 30 000; the 86th, 25 May, is too much.
    assert code == NOT_KEPT
    assert (data["spent"]["last_day"], data["spent"]["over_on"]) == ("2026-05-24", "2026-05-25")
    assert data["use"]["left_lux_h"] == -1500
    path.write_text(json.dumps({**show_, "years": 3}))
    code, out, _ = run(capsys, "light", "calendar", path)
    assert code == OK
    assert json.loads(out)["spent"]["over_on"] is None
    path.write_text(json.dumps({**show_, "years": 3, "already_lux_h": 13_501}))
    code, out, _ = run(capsys, "light", "calendar", path)
    assert code == NOT_KEPT
    assert json.loads(out)["use"]["left_lux_h"] == -1
    assert json.loads(out)["spent"]["over_on"] == "2026-05-29"
    path.write_text(json.dumps({**show_, "last": "2027-05-29", "years": 30}))
    code, out, _ = run(capsys, "light", "calendar", path)
    worst = {"first": "2026-03-01", "last": "2027-02-28", "dose_lux_h": 365 * 350}
    assert json.loads(out)["worst_year"] == worst
    assert "The 365 days with the most light begin on 2026-03-01: 127,750 lx·h." in out


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"first": "soon"}, "first is 'soon'; give a day"),
        ({"first": None}, "needs first and last"),
        ({"last": "2026-01-01"}, "lies before the first"),
        ({"class": "R9"}, "no row with class R9 and rule_set cie_157"),
        ({"class": ["R3"]}, "must be names in quotes"),
        ({"budget_lux_h": 3}, "needs either class or budget_lux_h"),
        ({"years": -1}, "number of years is -1"),
        ({"years": "two"}, "number of years is 'two'"),
        ({"already_lux_h": -1}, "already_lux_h is -1"),
        ({"habits": []}, "needs habits, a list of 1 to 200"),
        ({"habits": [3]}, "must be an object with"),
        ({"habits": [{"lux": 50}]}, "hours_a_day is missing"),
        ({"habits": [{"lux": 50, "hours_a_day": 25}]}, "hours_a_day is 25"),
        ({"habits": [{"lux": 50, "hours_a_day": 2, "weekdays": [9]}]}, "numbers from 1"),
        ({"habits": [{"lux": 50, "hours_a_day": 2, "weekdays": ["Mo"]}]}, "a list of numbers"),
        ({"habits": [{"lux": 10**300, "hours_a_day": 2}]}, "The level of light is 1"),
        ({"habits": [{"lux": 10**400, "hours_a_day": 2}]}, "is no finite number"),
        ({"cats": 3}, "has the field 'cats'"),
    ],
)
def test_calendar_that_cannot_be_is_told(capsys, tmp_path, change, words):
    path = tmp_path / "show.json"
    good = {
        "first": "2026-03-01",
        "last": "2026-05-29",
        "class": "R3",
        "habits": [{"what": "open", "lux": 50, "hours_a_day": 7}],
    }
    path.write_text(json.dumps({**good, **change}))
    assert words in sentence(capsys, "light", "calendar", path)


HOSTILE = [
    (b'{"voices": [', "this is not JSON"),
    (b"", "this is not JSON"),
    (b"\x00\xff\xfe\x80binary", "this is not text in UTF-8"),
    (b'{"voices": [{"role": "lender", "lux": NaN}]}', "holds NaN, which is no number of JSON"),
    (b'{"voices": [{"role": "lender", "lux": Infinity}]}', "holds Infinity"),
    (
        b'{"voices": [{"role": "lender", "lux": 1e999}]}',
        "illuminance (most) of lender lender is inf",
    ),
    (b'{"voices": [{"role": "lender", "lux": -5}]}', "is -5: give a number from 0 to 200000 lx"),
    (b'{"voices": [{"role": "lender", "lux": ' + b"9" * 5000 + b"}]}", "number too long"),
    (b"[" * 100_000, "nested too deeply"),
    (b"3", "must hold a JSON object or list"),
    (b"[]", "must hold one object with voices"),
    (b"{}", "nobody speaks for the object"),
    (b'{"voices": 3}', "voices must be a list"),
    (b'{"class": 3}', "class is 3; give a name in quotes"),
    (b'{"class": "R3", "rule_set": "moon"}', "no row with rule_set moon"),
    (b'{"colour": 3}', "has the field 'colour'"),
]


@pytest.mark.parametrize(("raw", "words"), HOSTILE)
def test_hostile_json_ends_in_one_sentence(capsys, tmp_path, raw, words):
    path = tmp_path / "in.json"
    path.write_bytes(raw)
    assert words in sentence(capsys, "limits", path)


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "lacks the column lux; its head has nothing"),
        (b"lux,hours\n", "has no rows below its head"),
        (b"lux\n50\n", "lacks the column hours"),
        (b"lux,hours,colour\n1,2,3\n", "has the column 'colour'; known: lux, hours, what"),
        (b"lux,hours,lux\n1,2,3\n", "has the column 'lux' twice"),
        (b"lux,hours\n50\n", "line 2: 1 cells where the head has 2"),
        (b"lux,hours\n50,nan\n", "line 2: hours is 'nan': give a number"),
        (b"lux,hours\n50,inf\n", "line 2: hours is 'inf': give a number"),
        (b"lux,hours\n50,1\n50,-1\n", "line 3: hours is '-1': give a number from 0"),
        (b"lux,hours\n50,ten\n", "line 2: hours is 'ten'"),
        (b"lux;hours\n50;7,5,1\n", "line 2: hours is '7,5,1': give a number, with a point"),
        (b"lux,hours\n1e9,1\n", "line 2: lux is '1e9': give a number from 0 to 200000"),
        (b"lux,hours\n\x00\x01,1\n", "holds bytes of no text"),
        (b"PK\x03\x04\xff\xfe\x00\x00", "is not text in UTF-8"),
        (b'lux,hours\n"' + b"a" * 200_000 + b'",1\n', "is not CSV"),
    ],
)
def test_hostile_csv_ends_in_one_sentence(capsys, tmp_path, raw, words):
    path = tmp_path / "in.csv"
    path.write_bytes(raw)
    assert words in sentence(capsys, "light", "dose", path)


def test_huge_or_missing_file_ends_in_one_sentence(capsys, tmp_path, monkeypatch):
    path = tmp_path / "in.csv"
    path.write_bytes(b"lux,hours\n" + b"1,1\n" * 1000)
    monkeypatch.setattr("conservation.cli.files.LARGEST_BYTES", 1000)
    assert "larger than 1,000 bytes" in sentence(capsys, "light", "dose", path)
    monkeypatch.undo()
    monkeypatch.setattr("conservation.cli.files.MOST_ROWS", 999)
    assert "has more than 999 rows; give it in parts" in sentence(capsys, "light", "dose", path)
    assert "cannot be opened: No such file" in sentence(capsys, "limits", tmp_path / "none")
    assert "cannot be opened: Is a directory" in sentence(capsys, "limits", tmp_path)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["light", "keep", "--class", "R3"], "either --hours or --lux"),
        (["light", "keep", "--hours", "3"], "Give --class or --budget"),
        (["light", "keep", "--class", "R0", "--hours", "3"], "sets no yearly exposure for R0"),
        (["light", "keep", "--class", "R3", "--hours", "0"], "The time is 0.0"),
        (["light", "keep", "--budget", "nan", "--hours", "3"], "The budget is nan"),
        (["light", "fade", "--dose", "3"], "Give either --step, or --class"),
        (["light", "fade", "--step", "3"], "Give --dose, or --per-year"),
        (["light", "fade", "--step", "9", "--dose", "3"], "Blue Wool step is 9"),
        (["light", "fade", "--class", "R0", "--dose", "3"], "no fading is expected"),
        (["light", "uv", "--lux", "-1", "--content", "3"], "The level is -1.0"),
        (["light", "uv", "--lux", "1", "--content", "3", "--limit", "x"], "known id: usual"),
        (["light", "limit", "--class", "R3", "--rules", "x"], "known rule_set: cie_157"),
        (["light", "class", ""], "'' is no material"),
    ],
)
def test_option_that_cannot_be_is_told(capsys, words, told):
    assert told in sentence(capsys, *words)


def test_spectrum_from_a_file(capsys, tmp_path):
    path = tmp_path / "lamp.csv"
    path.write_text("nm\tw_per_m2_nm\n300\t1\n780\t1\n")
    code, out, _ = run(capsys, "light", "spectrum", path, "--material", "textiles")
    assert code == OK
    exact = -math.expm1(-4.8) / 0.01
    assert json.loads(out)["damage_w_per_m2"] == pytest.approx(exact)
    path.write_text("nm,w_per_m2_nm\n400,1\n390,1\n")
    assert "must rise" in sentence(capsys, "light", "spectrum", path, "--material", "textiles")


def test_contradiction_is_told_and_the_code_says_so(capsys, tmp_path):
    path = tmp_path / "in.json"
    voices = [
        {"role": "lender", "name": "Loan 9", "rh_percent": {"least": 52, "most": 58}},
        {"role": "case", "name": "C3", "rh_percent": {"least": 40, "most": 50}},
    ]
    path.write_text(json.dumps({"object": "K 12", "voices": voices}))
    code, out, _ = run(capsys, "limits", path, "--table")
    assert code == NOT_KEPT
    assert "lender Loan 9 asks for at least 52 %, case C3 for at most 50 %." in out


def test_materials_decide_the_class(capsys, tmp_path):
    path = tmp_path / "in.json"
    path.write_text(json.dumps({"materials": ["brass", "silk", "moon dust"]}))
    code, out, _ = run(capsys, "limits", path)
    data = json.loads(out)
    assert code == OK
    assert data["class"]["responsivity"] == "R3"
    assert {x["kind"]: x["most"] for x in data["limits"]}["lux_h_per_year"] == 15_000
    assert "moon dust is not in the table" in run(capsys, "limits", path, "--table")[1]
    path.write_text(json.dumps({"materials": ["brass"], "class": "R0"}))
    assert "leave out one of them" in sentence(capsys, "limits", path)
    path.write_text(json.dumps({"materials": "brass"}))
    assert "Give a list of 1 to 200 materials" in sentence(capsys, "limits", path)


def test_unknown_command_is_refused_with_the_known(capsys):
    code, out, err = run(capsys, "juggle")
    assert (code, out) == (BAD_INPUT, "")
    assert "invalid choice: 'juggle'" in err


def test_standard_input_is_read(capsys, monkeypatch):
    raw = io.TextIOWrapper(io.BytesIO(b"lux,hours\n50,10\n"))
    monkeypatch.setattr("sys.stdin", raw)
    code, out, _ = run(capsys, "light", "dose", "-")
    assert (code, json.loads(out)) == (OK, {"dose_lux_h": 500})


def test_reader_that_leaves_early_is_no_fault():
    words = ["light", "limit", "--class", "R3"]
    code = f"from conservation.__main__ import main; raise SystemExit(main({words}))"
    process = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT
    )
    process.stdout.close()
    told = process.stderr.read()
    process.stderr.close()
    assert (process.wait(), told) == (OK, b"")


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_letter_that_the_terminal_lacks_is_no_fault(tmp_path, encoding):
    path = tmp_path / "in.json"
    path.write_text('{"object": "\\ud800 µ", "class": "R3"}', encoding="utf-8")
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "conservation", "limits", str(path)],
        capture_output=True,
        cwd=ROOT,
        env={"PYTHONIOENCODING": encoding},
        check=False,
    )
    assert (done.returncode, done.stderr) == (OK, b"")
    assert done.stdout.startswith(b'{\n "object": "\\ud800 ')


def test_plain_turns_results_into_json():
    value = {"a": (np.float64(1.5), np.int64(2), np.array([1, 2])), "b": light_limit("R0")}
    data = json.loads(json.dumps(plain(value)))
    assert data["a"] == [1.5, 2, [1, 2]]
    assert data["b"]["max_lux"] is None
    with pytest.raises(InputError, match="beyond what a number can hold"):
        plain([math.inf])


def test_table_lines_up():
    grid = Grid("T", ("what", "lx"), [("open", 50), ("long name", 1234.5), ("none", None)])
    assert show(Answer({}, (grid,), ("Said.",)), table=True).splitlines() == [
        "T",
        "what          lx",
        "---------  -----",
        "open          50",
        "long name  1,234",
        "none           -",
        "",
        "Said.",
    ]


CELLS = st.text(st.characters(codec="utf-8", exclude_characters="\0\r"), max_size=8)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(CELLS, CELLS), min_size=1, max_size=5))
def test_csv_reads_back_what_was_written(tmp_path, rows):
    path = tmp_path / "t.csv"
    with path.open("w", newline="", encoding="utf-8") as stream:
        csv.writer(stream).writerows([("one", "two"), *rows])
    written = [{"one": a, "two": b} for a, b in rows if a.strip() or b.strip()]
    if not written:
        with pytest.raises(InputError, match="no rows"):
            read_rows(str(path), ("one", "two"))
        return
    assert [row.cells for row in read_rows(str(path), ("one", "two"))] == written


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=60))
def test_any_bytes_are_json_or_a_sentence(tmp_path, raw):
    path = tmp_path / "t.json"
    path.write_bytes(raw)
    try:
        data = read_json(str(path))
    except InputError as error:
        told = str(error)
    else:
        told = "." if isinstance(data, dict | list) else ""
    assert told.endswith(".")


def test_tables_are_listed_and_shown(capsys):
    code, out, _ = run(capsys, "tables")
    listed = {row["table"]: row for row in json.loads(out)}
    assert code == OK
    assert listed["light_limits"]["rows"] == 20
    assert listed["light_limits"]["from_memory"] == 8
    _, out, _ = run(capsys, "tables", "uv_limits")
    data = json.loads(out)
    assert {row["id"]: row["max_uw_per_lm"] for row in data["rows"]} == {
        "usual": 75,
        "preferred": 10,
    }
    assert data["columns"][1]["unit"] == "µW/lm"
    assert data["rows"][0]["source"]["edition"] == "Texas Association of Museums fact sheet"
    assert "known: blue_wool_doses" in sentence(capsys, "tables", "moon")
    for name in listed:
        assert run(capsys, "tables", name, "--table")[0] == OK


def test_flags_always_say_that_absence_means_nothing(capsys):
    for words in (["kite of cotton"], ["mercury barometer"]):
        code, out, _ = run(capsys, "flags", *words, "--table")
        assert code == OK
        assert "No flag means nothing" in out
    assert "spill kit" in out
    _, out, _ = run(capsys, "flags", "ivory")
    assert json.loads(out)["flags"][0]["kind"] == "permit"


def test_sources_are_listed_once_with_how_they_are_known(capsys):
    _, out, _ = run(capsys, "tables", "light_limits", "--sources")
    found = json.loads(out)
    assert {(row["edition"], row["status"]) for row in found} == {
        ("CIE 157:2004 / CEN/TS 16163:2014", "from memory"),
        ("French total-dose table", "read"),
        ("IES RP-30-96", "from memory"),
        ("Texas Association of Museums fact sheet", "read"),
        ("Thomson 1986 (2nd ed.)", "read"),
    }
    assert len(found) == 5
    _, out, _ = run(capsys, "tables", "--sources")
    everything = json.loads(out)
    assert len(everything) > 20
    texas = next(row for row in everything if row["title"] == "Fact sheet on light")
    assert texas["tables"] == "light_limits, uv_limits"
