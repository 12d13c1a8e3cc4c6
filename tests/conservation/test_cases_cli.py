"""The commands case and rotate: exit codes, tables, and one sentence for bad input."""

import json

import pytest

from conservation.__main__ import BAD_INPUT, NOT_KEPT, OK, main
from tests.conservation.rotation.problems import place, rotation, thing


def run(capsys, tmp_path, command, data, *words):
    path = tmp_path / "in.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data))
    code = main([command, str(path), *words])
    out, err = capsys.readouterr()
    return code, out, err


PAIR = rotation([thing("A", longest_days=60), thing("B", longest_days=60)], [place()])
CASE = {"volume_m3": 1, "exchanges_a_day": [0.5, 1], "closes_on": "2027-03-01", "days": 90}


def test_plan_is_json_and_verifies(capsys, tmp_path):
    code, out, _ = run(capsys, tmp_path, "rotate", PAIR)
    assert (code, json.loads(out)["status"]) == (OK, "optimal")
    plan = tmp_path / "plan.json"
    plan.write_text(out)
    code, out, _ = run(capsys, tmp_path, "rotate", PAIR, "--check", str(plan))
    assert (code, json.loads(out)) == (OK, {"faults": []})
    broken = json.loads(plan.read_text())
    broken["stays"].pop()
    plan.write_text(json.dumps(broken))
    code, out, _ = run(capsys, tmp_path, "rotate", PAIR, "--check", str(plan), "--table")
    assert code == NOT_KEPT
    assert "stands empty" in out


def test_plan_as_table_names_places_days_and_cautions(capsys, tmp_path):
    code, out, _ = run(capsys, tmp_path, "rotate", PAIR, "--table")
    assert code == OK
    assert "case 1" in out
    assert "optimal: 1 changes, effort 1" in out
    assert "common practice, no source" in out


def test_no_plan_says_why_and_what_helps(capsys, tmp_path):
    alone = rotation([thing("A", longest_days=60)], [place()])
    code, out, _ = run(capsys, tmp_path, "rotate", alone, "--table")
    assert code == NOT_KEPT
    assert "short by" in out
    assert "it works with" in out


def test_case_as_table_and_json(capsys, tmp_path):
    code, out, _ = run(capsys, tmp_path, "case", CASE)
    found = json.loads(out)
    assert code == OK
    assert found["half_time_days"] == pytest.approx({"low": 0.6931, "high": 1.3863}, abs=1e-4)
    bad = {**CASE, "materials": [{"name": "MDF"}], "objects": [{"id": "x", "materials": ["lead"]}]}
    code, out, _ = run(capsys, tmp_path, "case", bad, "--table")
    assert code == NOT_KEPT
    assert "acetic acid" in out
    assert "no certificate" in out


@pytest.mark.parametrize("command", ["case", "rotate"])
@pytest.mark.parametrize("data", ["", "{", "[]", "{}", "null", '{"days": 1e999}', "\0"])
def test_bad_input_ends_in_sentences(capsys, tmp_path, command, data):
    code, out, err = run(capsys, tmp_path, command, data)
    assert code == BAD_INPUT
    assert out == ""
    assert err.strip().endswith(".")
    assert "Traceback" not in err


@pytest.mark.parametrize(
    "words", [("--seconds", "0"), ("--seed", "-1"), ("--check", "nowhere.json")]
)
def test_bad_option_ends_in_a_sentence(capsys, tmp_path, words):
    code, _, err = run(capsys, tmp_path, "rotate", PAIR, *words)
    assert code == BAD_INPUT
    assert err.strip().endswith(".")


def test_museums_own_ceiling_goes_first(capsys, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        'table = "pollutant_ceilings"\ntitle = "House"\nsource = "house"\n[sources.house]\n'
        'body = "Museum"\ntitle = "House rule"\nyear = 2026\nedition = "House rule 2026"\n'
        'status = "house rule"\n[[rows]]\nid = "acetic_acid"\npollutant = "acetic acid"\n'
        "years_1 = 1\nyears_10 = 1\nyears_100 = 1\n"
    )
    source = [{"pollutant": "acetic acid", "emission_ug_m2_h": 1, "area_m2": 1}]
    code, _, _ = run(capsys, tmp_path, "case", {**CASE, "sources": source, "years": 1})
    assert code == OK
    words = ("--own", str(own))
    code, out, _ = run(capsys, tmp_path, "case", {**CASE, "sources": source, "years": 1}, *words)
    assert code == NOT_KEPT
    assert "House rule 2026" in out
