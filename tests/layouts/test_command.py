"""The command line of `layouts`."""

import json

from layouts.__main__ import main
from tests.layouts.problems import piece, problem, wall


def written(tmp_path, data):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return str(path)


def test_hang_is_explained_in_sentences(tmp_path, capsys):
    path = written(tmp_path, problem([wall()], [piece("Vane", 800, 600)]))
    assert main(["hang", path, "--explain"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Proved: no hang is more even.")
    assert "N, 0 to 6000 mm: gap 2600 mm" in said
    assert "Vane         left edge   2600 mm  bottom  1200 mm  hook  1800 mm" in said
    assert "licensed" in said


def test_reason_is_explained_with_its_cure(tmp_path, capsys):
    path = written(tmp_path, problem([wall(length=500)], [piece("Vane", 800)]))
    assert main(["hang", path, "--explain"]) == 1
    said = capsys.readouterr().out
    assert "short by 300 mm" in said
    assert "Add at least 300 mm of wall" in said


def test_unreadable_file_is_a_sentence(tmp_path, capsys):
    path = tmp_path / "problem.json"
    path.write_bytes(b"\x00\x01")
    for command in ("hang", "cases", "floor"):
        assert main([command, str(path)]) == 2
        assert "is not JSON" in capsys.readouterr().err
