"""What must part does so wherever another order or another choice of wall allows it."""

import pytest

from layouts import Problem, check, solve
from layouts.bench.instances import exhibition
from tests.layouts.problems import piece, problem, wall


def hung(data):
    answer = solve(data, seconds=20)
    assert answer.placements, answer.conflicts
    assert check(Problem.from_dict(data), answer) == []
    return answer


def apart(*names, mm):
    return [{"pieces": list(names), "at_least_mm": mm}]


def test_pieces_of_a_group_change_places():
    """B next to C would be 150 mm off; with the group turned round A hangs between."""
    pieces = [piece("C", 300, section="2"), piece("A", 600, section="1")]
    pieces.append(piece("B", 280, section="1"))
    data = problem(
        [wall(length=1900)],
        pieces,
        together=[["A", "B"]],
        apart=apart("B", "C", mm=345),
        kind="by_section",
        sections=["1", "2"],
    )
    assert [p.id for p in hung(data).placements] == ["B", "A", "C"]


def test_another_piece_comes_between_where_two_alone_are_too_near():
    """By hand: with gaps of 90 mm at most only A, at 389 mm, keeps B and C 368 mm apart."""
    pieces = [piece("C", 331, section="2"), piece("B", 592, section="1")]
    pieces.append(piece("A", 389, section="2"))
    data = problem(
        [wall("N", 1541), wall("E", 700)],
        [{**p, "walls": ["N"]} if p["id"] != "A" else p for p in pieces],
        apart=apart("B", "C", mm=368),
        kind="by_section",
        sections=["1", "2"],
        max_gap_mm=90,
    )
    assert [p.id for p in hung(data).placements] == ["B", "A", "C"]


def test_sections_in_no_given_order_change_places():
    pieces = [piece("A", 300, section="1"), piece("B", 300, section="2")]
    pieces.append(piece("C", 900, section="3"))
    data = problem([wall(length=1800)], pieces, apart=apart("A", "B", mm=900), kind="by_section")
    assert [p.id for p in hung(data).placements][1] == "C"


@pytest.mark.parametrize("kind", ["rise", "centre_high"])
def test_pieces_as_high_as_each_other_change_places(kind):
    """A and B may hang at both ends of the four that are 400 mm high, below one of 700 mm."""
    pieces = [piece(name, 300) for name in "ABCD"] + [piece("E", 300, 700)]
    data = problem([wall(length=1900)], pieces, apart=apart("A", "B", mm=600), kind=kind)
    hung(data)


def test_mirrored_pieces_face_others_only_where_they_must_part():
    """A is to hang in the middle by sizes, 284 to 342 to 354; then no two part by 300 mm."""
    pieces = [piece(name, width) for name, width in zip("ABC", (284, 342, 354), strict=True)]
    data = problem([wall(length=1243)], pieces, apart=apart("A", "C", mm=300), kind="mirrored")
    answer = hung(data)
    assert answer.placements[1].id == "B"
    assert answer.measures.mirror_error_mm == 354 - 284


def test_far_enough_is_impossible_where_no_wall_is_long_enough():
    data = problem([wall(length=1500)], [piece("A", 500), piece("B", 500)], max_gap_mm=90)
    data["apart"] = apart("A", "B", mm=200)
    answer = solve(data, seconds=20)
    assert answer.status == "infeasible"
    assert {c.rule for c in answer.conflicts} != {"not_found"}


def test_a_pair_that_must_part_leaves_the_hang_proved():
    """Where only what lies between two pieces of a section decides, no hang is merely forbidden."""
    asked = Problem.from_dict(exhibition(120, 8, 6, planted=False))
    answer = solve(asked)
    assert check(asked, answer) == []
    assert answer.status == "optimal"
