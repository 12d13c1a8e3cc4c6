"""Walls chosen for pieces and sections: kept, verified, and told in figures when they cannot be."""

from dataclasses import replace

import pytest

from layouts import InvalidProblem, Problem, check, solve
from tests.layouts.problems import piece, problem, wall

WALLS = [wall("N", 3000), wall("E", 3000), wall("S", 3000)]


def hung(data):
    answer = solve(data, seconds=10)
    assert answer.placements, [c.sentence for c in answer.conflicts]
    assert check(Problem.from_dict(data), answer) == []
    return answer


def homes(answer):
    return {place.id: place.wall for place in answer.placements}


@pytest.mark.parametrize(
    "kind",
    ["even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster"],
)
def test_pieces_and_sections_hang_on_walls_chosen(kind):
    pieces = [
        piece(f"P{n}", 300 + 40 * n, 300 + 30 * n, section="1" if n < 4 else "2") for n in range(8)
    ]
    pieces[0]["walls"] = ["E", "S"]
    pieces[1]["walls"] = ["E"]
    data = problem(WALLS, pieces, kind=kind, rows=2 if kind == "rows" else 1)
    data["section_walls"] = {"1": ["N", "E"], "2": ["S", "E"]}
    where = homes(hung(data))
    assert where["P0"] == where["P1"] == "E"
    assert {where[f"P{n}"] for n in range(4)} <= {"N", "E"}
    assert {where[f"P{n}"] for n in range(4, 8)} <= {"S", "E"}


def test_what_hangs_together_takes_a_wall_that_all_may():
    pieces = [piece("A", 300, walls=["N", "E"]), piece("B", 300, walls=["E", "S"]), piece("C", 300)]
    data = problem(WALLS, pieces, together=[["A", "B"]])
    where = homes(hung(data))
    assert where["A"] == where["B"] == "E"


def test_no_wall_for_what_hangs_together_is_told():
    pieces = [piece("A", 300, walls=["N"]), piece("B", 300, walls=["E", "S"])]
    answer = solve(problem(WALLS, pieces, together=[["A", "B"]]))
    assert [c.sentence for c in answer.conflicts] == [
        "A, B are to hang together, and no wall is chosen for all of them: A on N; B on E, S."
    ]


def test_piece_and_section_without_a_common_wall_are_told():
    data = problem(WALLS, [piece("A", 300, section="1", walls=["N", "E"])])
    answer = solve(data | {"section_walls": {"1": ["S"]}})
    assert [c.sentence for c in answer.conflicts] == [
        "A may hang on N, E, and section 1 on S: no wall is both."
    ]


def test_too_little_wall_for_a_section_is_told_in_figures():
    """Four of 700 mm with gaps of 60 make 3,040 mm; one wall of 3,000 mm is chosen for them."""
    pieces = [piece(f"P{n}", 700, section="1") for n in range(4)] + [piece("Q", 700, section="2")]
    data = problem(WALLS, pieces, min_gap_mm=60) | {"section_walls": {"1": ["E"]}}
    answer = solve(data)
    assert [c.sentence for c in answer.conflicts] == [
        "The objects that may hang only on E need 3,040 mm with their labels and gaps of 60 mm; "
        "the clear wall is 3,000 mm: short by 40 mm."
    ]
    data["section_walls"]["1"].append("S")
    hung(data)


def test_too_little_area_for_a_section_is_told_in_figures():
    """Six of 900 mm square, a gap counted with each, take 6.00 m²; 1,400 by 3,100 mm are there.

    About 1,500 mm a group has room for 3,000 mm, less than 1.3 times the side of 7.00 m².
    """
    pieces = [piece(f"P{n}", 900, 900, section="1" if n < 6 else "2") for n in range(7)]
    walls = [wall("N", 1300), wall("E", 6000)]
    data = problem(walls, pieces, kind="cluster", min_gap_mm=100) | {"section_walls": {"1": ["N"]}}
    (found,) = solve(data).conflicts
    assert found.sentence == (
        "The objects that may hang only on N need 6.00 m² with their labels and gaps of 100 mm; "
        "the clear wall about 1500 mm is 4.34 m²: short by 1.66 m²."
    )
    hung(data | {"section_walls": {"1": ["N", "E"]}})


def test_walls_chosen_clash_with_light_and_the_cure_holds():
    lit = [{"from_mm": 0, "to_mm": 3000, "lux": 150}]
    pieces = [piece("A", 300, max_lux=50, walls=["N", "E"]), piece("B", 300)]
    data = problem([wall("N", 3000, zones=lit), wall("E", 3000, zones=lit), WALLS[2]], pieces)
    answer = solve(data)
    assert "the darkest stretch of N, E has 150 lx" in answer.conflicts[0].sentence
    data["pieces"][0]["walls"].append("S")
    assert homes(hung(data))["A"] == "S"


def test_walls_that_two_pieces_cannot_share_are_named():
    """Each of two pieces of 1,600 mm may hang on E alone, which is 3,000 mm long with no gaps."""
    pieces = [piece(f"P{n}", 1600, walls=["E"]) for n in range(2)]
    answer = solve(problem(WALLS, pieces))
    assert [(c.rule, c.walls) for c in answer.conflicts] == [("length", ("E",))]


def test_dropping_the_walls_chosen_is_offered():
    """P0 to P2 are in order; P1 may hang on N only, and the order puts it behind P0 on S."""
    pieces = [piece("P0", 300, walls=["S"]), piece("P1", 300, walls=["N"]), piece("P2", 300)]
    answer = solve(problem(WALLS, pieces, order=["P0", "P1", "P2"]))
    (found,) = answer.conflicts
    assert found.demands == ("the pieces hang in the order given", "P0 hangs on S", "P1 hangs on N")
    assert "Let P1 hang elsewhere than on N." in found.relaxation
    del pieces[1]["walls"]
    hung(problem(WALLS, pieces, order=["P0", "P1", "P2"]))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pieces": [piece("A", 10, walls=["X"])]}, "piece 'A': wall 'X' is not among N, E, S."),
        ({"pieces": [piece("A", 10, walls="N")]}, "pieces[0].walls must be a list of names."),
        (
            {"pieces": [piece("A", 10, wall="N", walls=["E"])]},
            "piece 'A': wall 'N' is not among its walls E",
        ),
        ({"section_walls": {"9": ["N"]}}, "section_walls names section '9', which no piece has."),
        ({"section_walls": {"1": ["X"]}}, "section_walls.1: wall 'X' is not among N, E, S."),
        ({"section_walls": {"1": "N"}}, "section_walls.1 must be a list of names."),
        ({"section_walls": ["N"]}, "section_walls must give a list of walls for each section."),
    ],
)
def test_bad_choices_are_told(change, said):
    data = problem(WALLS, [piece("A", 300, section="1")]) | change
    with pytest.raises(InvalidProblem) as refusal:
        Problem.from_dict(data)
    assert said in " ".join(refusal.value.faults)


def test_what_is_new_and_empty_is_left_out():
    data = problem(WALLS, [piece("A", 300, section="1", walls=["N"]), piece("B", 300)])
    plain = Problem.from_dict(data).to_dict()
    assert "section_walls" not in plain
    assert ("walls" in plain["pieces"][0], "walls" in plain["pieces"][1]) == (True, False)
    whole = Problem.from_dict(data | {"section_walls": {"1": ["N", "E"]}})
    assert Problem.from_dict(whole.to_dict()) == whole


@pytest.mark.parametrize("change", ["walls", "section_walls"])
def test_wrong_wall_is_found(change):
    data = problem(WALLS, [piece("A", 300, section="1"), piece("B", 300, section="2")])
    task = Problem.from_dict(data)
    answer = hung(data)
    others = tuple(w.id for w in task.walls if w.id != homes(answer)["A"])
    if change == "walls":
        first, *rest = task.pieces
        task = replace(task, pieces=(replace(first, walls=others), *rest))
    else:
        task = replace(task, section_walls={"1": others})
    assert [fault.rule for fault in check(task, answer)] == ["fixed"]
