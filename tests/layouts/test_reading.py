"""Bad input is told by field, value and cure; good input comes back as it was."""

import json
import subprocess
import sys

import pytest

from layouts import InvalidProblem, Problem, solve
from layouts.__main__ import main
from tests.layouts.problems import piece, problem, wall


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"walls": []}, "walls is empty: give at least one wall."),
        (
            {"pieces": [piece("A", 0)]},
            "pieces[0].width_mm is 0: it must lie from 1 to 10000000.",
        ),
        ({"pieces": [piece("A", "wide")]}, "pieces[0].width_mm is 'wide': give a whole number."),
        ({"pieces": [piece("A", 10), piece("A", 10)]}, "piece 'A' stands 2 times: give each piece"),
        ({"pieces": [piece("A", 10, wall="X")]}, "piece 'A': wall 'X' is not among N."),
        ({"pieces": [piece("A", 10, colour="red")]}, "pieces[0] has an unknown field 'colour'"),
        ({"together": [["A", "Z"]]}, "together[0] names 'Z', which is not a piece."),
        ({"arrangement": {"align": "middle"}}, "arrangement.align is 'middle': use one of"),
        ({"arrangement": {"rows": 2}}, "arrangement.rows is 2: only the kind rows"),
        ({"arrangement": {"kind": "rows"}}, "arrangement.rows is 1: give 2 to 6 rows."),
        ({"arrangement": {"kind": "rows", "rows": 7}}, "arrangement.rows is 7"),
        (
            {
                "pieces": [piece("A", 300, wall="N", x_mm=10)],
                "arrangement": {"kind": "rows", "rows": 2},
            },
            "piece 'A': the kind rows sets heights: give both x_mm and y_mm, or neither.",
        ),
        (
            {"arrangement": {"min_gap_mm": 200, "max_gap_mm": 100}},
            "arrangement.max_gap_mm 100 is below min_gap_mm 200.",
        ),
        ({"arrangement": {"kind": "by_section"}}, "piece 'A' has no section"),
        ({"arrangement": {"order": ["A"]}}, "arrangement.order must name every piece once."),
        (
            {"arrangement": {"kind": "mirrored", "order": ["A", "B"]}},
            "arrangement.order is given: the kind mirrored orders by size; leave it out.",
        ),
        ({"arrangement": None}, "arrangement is missing"),
        ({"near": [{"pieces": ["A", "Z"]}]}, "near[0] names 'Z', which is not a piece."),
        ({"near": [{"pieces": ["A"]}]}, "near[0].pieces must name at least two pieces"),
        ({"near": [{"pieces": ["A", "A"]}]}, "near[0].pieces must name at least two pieces"),
        ({"near": [{"pieces": ["A", "B"], "weight": -1}]}, "near[0].weight is -1"),
        ({"near": [{"pieces": ["A", "B"], "far": 1}]}, "near[0] has an unknown field 'far'"),
        (
            {"walls": [wall(zones=[{"from_mm": 0, "to_mm": 6001, "lux": 50}])]},
            "walls[0] has a stretch from 0 to 6001 mm",
        ),
    ],
)
def test_bad_input_is_told(change, said):
    data = problem([wall()], [piece("A", 300), piece("B", 300)]) | change
    with pytest.raises(InvalidProblem) as refusal:
        Problem.from_dict(data)
    assert said in " ".join(refusal.value.faults)
    assert solve(data).status == "invalid"


@pytest.mark.parametrize("data", [None, [], "hang", 3, {"walls": "N"}, {"pieces": [1]}])
def test_anything_else_is_invalid(data):
    with pytest.raises(InvalidProblem):
        Problem.from_dict(data)


def test_round_trip():
    data = problem([wall()], [piece("A", 300)], order=["A"])
    once = Problem.from_dict(data).to_dict()
    assert Problem.from_dict(once).to_dict() == once
    assert "near" not in once


def test_round_trip_of_near():
    near = [{"pieces": ["A", "B"], "weight": 3}]
    data = problem([wall()], [piece("A", 300), piece("B", 200)], kind="related") | {"near": near}
    once = Problem.from_dict(data).to_dict()
    assert once["near"] == near
    assert Problem.from_dict(once).to_dict() == once


@pytest.fixture
def files(tmp_path):
    data = problem([wall()], [piece("A", 300), piece("B", 400)])
    asked, answered = tmp_path / "problem.json", tmp_path / "solution.json"
    asked.write_text(json.dumps(data))
    answered.write_text(json.dumps(solve(data).to_dict()))
    return asked, answered


def test_command_hang(files, capsys):
    assert main(["hang", str(files[0])]) == 0
    assert json.loads(capsys.readouterr().out)["status"] == "optimal"


def test_command_check(files, capsys):
    assert main(["check", *map(str, files)]) == 0
    assert capsys.readouterr().out == "Every demand is kept.\n"


def test_command_check_finds_a_fault(files, capsys):
    answer = json.loads(files[1].read_text())
    answer["placements"][0]["x_mm"] = 9000
    files[1].write_text(json.dumps(answer))
    assert main(["check", *map(str, files)]) == 1
    assert "reaches beyond wall N" in capsys.readouterr().out


@pytest.mark.parametrize("content", ["", "not json", "[1, 2]"])
def test_command_with_a_bad_file(tmp_path, content, capsys):
    path = tmp_path / "bad.json"
    path.write_text(content)
    assert main(["hang", str(path)]) == 2
    assert main(["hang", str(tmp_path / "none.json")]) == 2
    assert "cannot be opened" in capsys.readouterr().err


def test_import_loads_no_solver():
    code = "import sys, layouts; print({'ortools', 'numpy', 'django'} & set(sys.modules))"
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout == "set()\n"
