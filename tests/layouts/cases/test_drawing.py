"""A drawing shows each object once from the front and once from above, to scale."""

import json
import re

import pytest
from defusedxml import ElementTree

from layouts.cases import CasesProblem, solve_cases
from layouts.cases.drawing import CaseDrawing, CaseView, case_stylesheet, draw_case, write_all
from tests.layouts.cases.problems import showcases

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def solved():
    task = CasesProblem.from_dict(showcases(60, 0))
    return task, solve_cases(task)


@pytest.fixture(scope="module")
def drawing(solved):
    task, answer = solved
    return CaseDrawing.of(task, answer, answer.cases[0])


@pytest.fixture(scope="module")
def root(drawing):
    return ElementTree.fromstring(draw_case(drawing, CaseView(26, stylesheet=case_stylesheet(10))))


def boxes(root, group):
    part = [g for g in root.iter(f"{SVG}g") if g.get("class") == group]
    return sorted(
        tuple(float(rect.get(key)) for key in ("x", "width", "height"))
        for g in part
        for rect in g.iter(f"{SVG}rect")
        if rect.get("class") == "piece"
    )


def test_front_and_plan_are_true_to_scale(drawing, root):
    front = [(s.x_mm, s.width_mm, s.thing.height_mm) for s in drawing.standing]
    above = [(s.x_mm, s.width_mm, s.depth_mm) for s in drawing.standing]
    assert boxes(root, "case__elevation") == sorted(front)
    assert boxes(root, "case__plan") == sorted(above)


def test_everything_lies_inside_the_sheet(root):
    left, top, width, height = map(float, root.get("viewBox").split())
    for rect in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(rect.get(key)) for key in ("x", "y", "width", "height"))
        assert left <= x <= x + w <= left + width
        assert top <= y <= y + h <= top + height


def test_every_object_is_listed_with_its_size(drawing, root):
    said = [text.text for text in root.iter(f"{SVG}text")]
    for one in drawing.standing:
        assert said.count(one.thing.id) == 1
        size = f"{one.thing.width_mm} × {one.thing.depth_mm} × {one.thing.height_mm}"
        assert any(words.startswith(size) for words in said)
    assert "nothing is certified" in " ".join(said)


def test_names_are_escaped(solved):
    task, answer = solved
    data = json.loads(json.dumps([task.to_dict(), answer.to_dict()]).replace('"O1"', '"<O&1>"'))
    from layouts.cases import CasesAnswer

    asked, given = CasesProblem.from_dict(data[0]), CasesAnswer.from_dict(data[1])
    for case in given.cases:
        words = draw_case(CaseDrawing.of(asked, given, case), CaseView(26))
        assert "<O&1>" not in words
        ElementTree.fromstring(words)


def test_files_are_written_one_a_case(solved, tmp_path):
    paths = write_all(*solved, tmp_path / "cases")
    assert len(paths) == solved[1].measures.cases
    assert all(re.match("<svg ", path.read_text(encoding="utf-8")) for path in paths)
