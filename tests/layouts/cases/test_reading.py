"""Bad input is told by field, value and cure; good input comes back as it was."""

import json
import subprocess
import sys

import pytest

from layouts.cases import CasesAnswer, CasesProblem, InvalidCases, solve_cases
from tests.layouts.cases.problems import kind, problem, showcases, thing


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"kinds": []}, "kinds is empty: give at least one kind of showcase."),
        ({"kinds": [kind(width_mm=0)]}, "kinds[0].width_mm is 0: it must lie from 1 to"),
        ({"kinds": [kind(glazed=["roof"])]}, "kinds[0].glazed is 'roof': use some of front,"),
        ({"kinds": [kind(colour=1)]}, "kinds[0] has an unknown field 'colour'; known: climates,"),
        ({"kinds": [kind(), kind()]}, "kind 'case' stands 2 times: give each its own id."),
        ({"kinds": [kind(lux=["dim"])]}, "kinds[0].lux is ['dim']: give a list of whole numbers"),
        (
            {"kinds": [kind(shelves=[{"depth_mm": 600, "lowest_mm": 200, "highest_mm": 300}])]},
            "kinds[0].shelves[0] is 600 mm deep and up to 300 mm high: it must lie inside 500 mm",
        ),
        (
            {"kinds": [kind(climates=[{"low_percent": 60, "high_percent": 50}])]},
            "kinds[0].climates[0].high_percent is 50: it must be at least 60.",
        ),
        ({"objects": [thing("A", "wide")]}, "objects[0].width_mm is 'wide': give a whole number."),
        ({"objects": [thing("A"), thing("A")]}, "object 'A' stands 2 times"),
        ({"objects": [thing("A", case="X-1")]}, "object 'A': case 'X-1' is not among case-1,"),
        ({"objects": [thing("A", shelf=0)]}, "object 'A' has a shelf but no case: name the case."),
        ({"objects": [thing("A", case="case-1", x_mm=5)]}, "give case, shelf, x_mm and y_mm"),
        (
            {"objects": [thing("A", case="case-1", shelf=1)]},
            "object 'A': shelf 1 is not among 0 to 0 of case.",
        ),
        (
            {"objects": [thing("A", turned=True, turns=False)]},
            "object 'A' is turned and may not be turned: set turns to true.",
        ),
        (
            {"objects": [thing("A", min_lux=100, max_lux=50)]},
            "object 'A': min_lux 100 is over max_lux 50.",
        ),
        ({"conflicts": [{"tags": ["a"]}]}, "conflicts[0] must name two tags or two objects."),
        ({"conflicts": [{"objects": ["A", "A"]}]}, "conflicts[0] names 'A' twice"),
        ({"conflicts": [{"objects": ["A", "Z"]}]}, "conflicts[0] names 'Z', which is not an"),
        ({"together": [["A", "Z"]]}, "together[0] names 'Z', which is not an object."),
        ({"together": ["A"]}, "together[0] is 'A': give a list of names of objects."),
        ({"sections": ["2"]}, "object 'A': section '1' is not among sections."),
        ({"display": {"line": "back"}}, "display.line is 'back': use one of front, centre."),
        ({"viewing": {"distance_mm": 0}}, "viewing.distance_mm is 0: it must lie from 1 to"),
        (
            {"previous": {"places": [{"id": "A", "case": "case-1", "shelf": "low"}]}},
            "previous.places[0].shelf is 'low': give a whole number.",
        ),
        ({"previous": 3}, "previous is 3: give an earlier answer, or null."),
    ],
)
def test_bad_input_is_told(change, said):
    data = problem([kind()], [thing("A", section="1")]) | change
    with pytest.raises(InvalidCases) as refusal:
        CasesProblem.from_dict(data)
    assert said in " ".join(refusal.value.faults)
    answer = solve_cases(data)
    assert (answer.status, answer.places) == ("invalid", ())
    assert answer.reasons


@pytest.mark.parametrize("data", [None, [], "cases", 3, {"kinds": 1}, {"objects": [1]}])
def test_anything_else_is_invalid(data):
    with pytest.raises(InvalidCases):
        CasesProblem.from_dict(data)


def test_problem_and_answer_come_back_from_json():
    asked = CasesProblem.from_dict(showcases(20, 0))
    assert CasesProblem.from_dict(json.loads(json.dumps(asked.to_dict()))) == asked
    answer = solve_cases(asked)
    assert CasesAnswer.from_dict(json.loads(json.dumps(answer.to_dict()))) == answer


def test_import_loads_no_solver():
    code = "import sys, layouts.cases; print({'ortools', 'numpy', 'django'} & set(sys.modules))"
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout == "set()\n"
