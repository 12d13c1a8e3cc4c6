"""The command computes, verifies and draws."""

import argparse
import json

import pytest

from layouts.cases import command
from tests.layouts.cases.problems import kind, problem, showcases, thing


def run(*words):
    parser = argparse.ArgumentParser()
    command.add(parser.add_subparsers(dest="command"))
    return command.run(parser.parse_args(["cases", *map(str, words)]))


@pytest.fixture
def asked(tmp_path):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(showcases(12, 1)))
    return path


def test_computes_verifies_and_draws(asked, tmp_path, capsys):
    assert run(asked, "--svg", tmp_path / "svg") == 0
    said = capsys.readouterr().out
    assert json.loads(said)["status"] == "optimal"
    assert list((tmp_path / "svg").glob("*.svg"))
    answer = tmp_path / "answer.json"
    answer.write_text(said)
    assert run(asked, "--check", answer) == 0
    assert capsys.readouterr().out == "Every demand is kept.\n"
    data = json.loads(said)
    data["places"][0]["x_mm"] = 9000
    answer.write_text(json.dumps(data))
    assert run(asked, "--check", answer) == 1
    assert "reaches beyond its surface" in capsys.readouterr().out


def test_tells_what_is_impossible(tmp_path, capsys):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(problem([kind()], [thing("A", height=5000)])))
    assert run(path) == 1
    assert "tallest case leaves" in capsys.readouterr().out


@pytest.mark.parametrize("content", ["", "not json", "[1, 2]", "{}"])
def test_refuses_a_bad_file(tmp_path, content, capsys):
    path = tmp_path / "bad.json"
    path.write_text(content)
    assert run(path) == 2
    assert run(tmp_path / "none.json") == 2
    assert "cannot be opened" in capsys.readouterr().err
