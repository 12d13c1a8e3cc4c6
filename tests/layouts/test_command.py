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
    assert "short by 300 mm" in " ".join(said.split())
    assert (
        "This makes it possible (verified):\n- Make wall N 300 mm longer: the least, proved."
        in said
    )


def test_clash_is_explained_as_a_list(tmp_path, capsys):
    walls = [wall("N", 2000), wall("E", 2000)]
    pieces = [piece(name, 900, wall="N") for name in ("Vane", "Kite", "Buoy")]
    path = written(tmp_path, problem(walls, pieces, min_gap_mm=20))
    assert main(["hang", path, "--explain"]) == 1
    said = capsys.readouterr().out
    assert "- Let Kite hang elsewhere than on N." in said
    assert "- Make wall N 780 mm longer: the least, proved." in said
    assert max(map(len, said.splitlines())) <= 100


def test_moves_are_told(tmp_path, capsys):
    pieces = [piece(name, 900) for name in ("Vane", "Kite")]
    before = {
        "placements": [
            {"id": "Vane", "wall": "N", "x_mm": 1400},
            {"id": "Kite", "wall": "N", "x_mm": 3700},
        ]
    }
    data = problem([wall()], [*pieces, piece("Buoy", 900)]) | {"previous": before}
    assert main(["hang", written(tmp_path, data), "--explain"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Proved: no hang disturbs the previous one less.")
    assert "Against the previous hang 0 pieces change run or order and 2 pieces shift" in said
    assert "Vane         on N from 1400 mm to 825 mm, by 575 mm" in said


def test_unreadable_file_is_a_sentence(tmp_path, capsys):
    path = tmp_path / "problem.json"
    path.write_bytes(b"\x00\x01")
    for command in ("hang", "cases", "floor"):
        assert main([command, str(path)]) == 2
        assert "is not JSON" in capsys.readouterr().err
