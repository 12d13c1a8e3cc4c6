"""The plan as SVG: in millimetres, to scale, naming the narrowest, fitting its paper."""

from __future__ import annotations

import argparse
import json

import pytest
from lxml import etree

from layouts.drawing.paper import MARGIN_MM, TITLE_BLOCK_MM
from layouts.floor import Floor, command, solve_floor
from layouts.floor.drawing import FloorView, draw_floor, extent, fits, paper_for, paper_view
from tests.layouts.floor.rooms import at_random, box, two_plinths

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def floor() -> Floor:
    problem = two_plinths(920, 500)
    problem["pieces"].append(box("W", 700, 6500, 900, 400, kind="showcase", mass_g=900_000))
    problem["doors"][0] |= {"opens": "in"}
    return Floor.from_dict(problem)


def drawn(floor: Floor, **how) -> etree._Element:
    return etree.fromstring(draw_floor(floor, solve_floor(floor), FloorView(60, **how)))


def of_class(root: etree._Element, kind: str) -> list[etree._Element]:
    return [e for e in root.iter() if kind in (e.get("class") or "").split()]


def test_units_are_millimetres_and_y_runs_up(floor):
    root = drawn(floor)
    (wall,) = of_class(root, "floor-wall")
    assert wall.get("d") == "M0 0L0 -8000L3920 -8000L3920 0Z"
    left, bottom, width, height = extent(floor, FloorView(60))
    view = [float(number) for number in root.get("viewBox").split()]
    assert view == pytest.approx([left, -bottom - height, width, height], abs=0.01)


def test_route_and_narrowest_place_are_drawn_and_measured(floor):
    root = drawn(floor)
    assert len(of_class(root, "route")) == 2
    figures = [e.text for e in of_class(root, "narrow--least") if e.tag == f"{SVG}text"]
    assert figures == ["920"]
    line = next(e for e in of_class(root, "narrow--least") if "narrow-line" in e.get("class"))
    assert line.get("d") == "M1500 -4000L2420 -4000"
    texts = [e.text for e in root.iter(f"{SVG}text")]
    assert {"3920", "8000", "1 m", "A", "B", "in", "out"} <= set(texts)


def test_findings_are_numbered_where_they_are(floor):
    root = drawn(floor)
    assert len(of_class(root, "mark")) == 1
    assert "kN/m²" in root.find(f"{SVG}desc").text
    assert of_class(drawn(floor, marks=False), "mark") == []


def test_paper_holds_the_plan_with_margins_and_title_block(floor):
    scale, paper = paper_for(floor)
    assert (scale, paper.name) == (50, "A3")
    assert not fits(floor, 25, paper)
    _, _, width, height = extent(floor, paper_view(scale))
    assert width / scale <= paper.width_mm - 2 * MARGIN_MM
    assert height / scale <= paper.height_mm - 2 * MARGIN_MM - TITLE_BLOCK_MM
    root = etree.fromstring(draw_floor(floor, solve_floor(floor)))
    assert float(root.get("width").removesuffix("mm")) == pytest.approx(width / scale, abs=0.01)


def test_names_are_escaped():
    problem = two_plinths(1200, 500)
    problem["pieces"][0]["id"] = 'A<&"'
    problem["name"] = "<script>"
    floor = Floor.from_dict(problem)
    assert "<script>" not in draw_floor(floor, solve_floor(floor))


@pytest.mark.parametrize("seed", range(5))
def test_any_room_is_drawn_the_same_twice(seed):
    floor = Floor.from_dict(at_random(seed))
    report = solve_floor(floor)
    first = draw_floor(floor, report)
    assert first == draw_floor(floor, report)
    etree.fromstring(first)


def run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    command.add(parser.add_subparsers())
    given = parser.parse_args(["floor", *words])
    return given.run(given)


def test_command_measures_verifies_and_draws(tmp_path, capsys):
    problem, report = tmp_path / "problem.json", tmp_path / "report.json"
    problem.write_text(json.dumps(two_plinths(1000, 500)))
    assert run(str(problem), "--svg", str(tmp_path / "plan.svg")) == command.OK
    report.write_text(capsys.readouterr().out)
    etree.parse(str(tmp_path / "plan.svg"))
    assert run(str(problem), "--check", str(report)) == command.OK
    assert capsys.readouterr().out == "The report holds.\n"
    problem.write_text(json.dumps(two_plinths(700, 500)))
    assert run(str(problem), "--check", str(report)) == command.BROKEN
    capsys.readouterr()
    assert run(str(problem), "--words") == command.BROKEN
    told = capsys.readouterr().out
    assert "sticks between A and B" in told
    assert "certifies nothing" in told


@pytest.mark.parametrize("text", ["{", "[]", '{"outline": 3}'])
def test_command_refuses_bad_input(tmp_path, capsys, text):
    path = tmp_path / "problem.json"
    path.write_text(text)
    assert run(str(path)) == command.BAD_INPUT
    assert capsys.readouterr().err
    assert run(str(tmp_path / "none.json")) == command.BAD_INPUT
    capsys.readouterr()
    path.write_text(json.dumps(two_plinths(1000, 500)))
    (tmp_path / "report.json").write_text("{}")
    assert run(str(path), "--check", str(tmp_path / "report.json")) == command.BAD_INPUT
