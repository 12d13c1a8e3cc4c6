"""Datum of each wall, lowest and highest edges: by hand for every alignment and kind."""

from dataclasses import replace

import pytest

from layouts import InvalidProblem, Problem, check, solve
from layouts.geometry import clear_runs
from tests.layouts.problems import piece, problem, wall

ONE_ROW = ["even", "by_section", "mirrored", "rise", "centre_high", "related"]


def hung(data):
    answer = solve(data, seconds=10)
    assert answer.placements, [c.sentence for c in answer.conflicts]
    assert check(Problem.from_dict(data), answer) == []
    return answer


def place(answer, name):
    return next(p for p in answer.placements if p.id == name)


@pytest.mark.parametrize("kind", ONE_ROW)
@pytest.mark.parametrize(
    ("align", "low_n", "low_e"),
    [
        ("centreline", 1200, 1400),
        ("top", 900, 1100),
        ("bottom", 1500, 1700),
        ("hanging_line", 1000, 1200),
    ],
)
def test_each_wall_has_its_datum(kind, align, low_n, low_e):
    """A piece of 600 mm, its hook 100 mm below the top, about 1,500 mm on N and 1,700 mm on E."""
    pieces = [
        piece("A", 500, 600, hang_point_mm=100, wall="N", section="1"),
        piece("B", 500, 600, hang_point_mm=100, wall="E", section="2"),
    ]
    walls = [wall("N"), wall("E", datum_mm=1700)]
    answer = hung(problem(walls, pieces, kind=kind, align=align, datum_mm=1500))
    assert (place(answer, "A").y_mm, place(answer, "B").y_mm) == (low_n, low_e)


@pytest.mark.parametrize("kind", ["rows", "cluster"])
def test_stacks_and_groups_stand_about_the_datum_of_their_wall(kind):
    pieces = [piece(f"{w}{n}", 500, 300, wall=w) for w in "NE" for n in range(4)]
    walls = [wall("N", 2000), wall("E", 2000, datum_mm=1750)]
    rows = {"rows": 2, "row_gap_mm": 100} if kind == "rows" else {}
    answer = hung(problem(walls, pieces, kind=kind, datum_mm=1600, min_gap_mm=100, **rows))
    for name, datum in (("N", 1600), ("E", 1750)):
        lows = [p.y_mm for p in answer.placements if p.wall == name]
        assert (min(lows) + max(lows) + 300) / 2 == datum
    task = Problem.from_dict(problem(walls, pieces, kind=kind, datum_mm=1601, **rows))
    lower = replace(task, walls=tuple(replace(w, datum_mm=1605) for w in task.walls))
    assert "datum" in {fault.rule for fault in check(lower, answer)}


def test_wrong_datum_is_found():
    data = problem([wall("N", datum_mm=1700)], [piece("A", 500, 600)])
    task, answer = Problem.from_dict(data), hung(data)
    moved = replace(task, walls=(replace(task.walls[0], datum_mm=1701),))
    assert [fault.rule for fault in check(moved, answer)] == ["datum"]


def test_blocked_areas_cut_by_the_heights_taken_on_their_wall():
    """A shelf up to 1,300 mm meets pieces of 600 mm about 1,500 mm, not about 1,700 mm.

    Nor does it meet those about 1,500 mm if the one of 600 mm is to hang on another wall.
    """
    shelf = {"x_mm": 1000, "y_mm": 0, "width_mm": 800, "height_mm": 1300}
    walls = [wall("N", blocked=[shelf]), wall("E", blocked=[shelf], datum_mm=1700)]
    tall, low = piece("A", 500, 600), piece("B", 500, 300)
    task = Problem.from_dict(problem(walls, [tall, low]))
    assert [(r.wall.id, r.from_mm, r.to_mm) for r in clear_runs(task)] == [
        ("N", 0, 1000),
        ("N", 1800, 6000),
        ("E", 0, 6000),
    ]
    task = Problem.from_dict(problem(walls, [tall | {"walls": ["E"]}, low]))
    assert [r.to_mm for r in clear_runs(task)] == [6000, 6000]


def test_low_wall_takes_only_what_fits_under_its_ceiling():
    """1,500 + 1,000 mm is more than a wall of 2,400 mm, and less than one of 2,600 mm."""
    pieces = [piece("A", 500, 2000), piece("B", 5000, 400)]
    answer = hung(problem([wall("N", height_mm=2400), wall("E", height_mm=2600)], pieces))
    assert (place(answer, "A").wall, place(answer, "B").wall) == ("E", "N")


def test_edges_say_which_piece_hangs_on_which_wall():
    """About 1,500 mm a piece of 1,200 mm reaches 900 to 2,100 mm, about 1,300 mm 700 to 1,900."""
    walls = [wall("N", 2000), wall("E", 2000, datum_mm=1300)]
    tall = [piece("A", 900, 1200), piece("B", 900, 1200)]
    low = problem(walls, [*tall, piece("C", 900, 800)], lowest_edge_mm=900)
    answer = hung(low)
    assert [place(answer, name).wall for name in "ABC"] == ["N", "N", "E"]
    answer = hung(problem(walls, [*tall, piece("C", 900, 300)], highest_edge_mm=1900))
    assert [place(answer, name).wall for name in "ABC"] == ["E", "E", "N"]


def test_labels_may_hang_below_the_lowest_edge():
    below = {"width_mm": 200, "height_mm": 100, "side": "below", "gap_mm": 20}
    data = problem([wall()], [piece("A", 500, 600, label=below)], lowest_edge_mm=1200)
    assert place(hung(data), "A").y_mm == 1200


def test_too_high_for_every_wall_is_told_in_figures():
    """2,400 mm about 1,500 mm reach 2,700 mm; lowered by 100 mm they reach 2,600 mm."""
    data = problem([wall("N"), wall("E")], [piece("A", 900, 2400)], highest_edge_mm=2600)
    (found,) = solve(data).conflicts
    assert found.sentence == (
        "A is 2400 mm high: with the centreline at 1500 mm its upper edge reaches 2,700 mm; "
        "2,600 mm is allowed. This is on N, which suits it best."
    )
    assert (found.relaxation, found.amount) == (
        "Lower the datum by 100 mm, or give A another height of its own.",
        100,
    )
    data["arrangement"]["datum_mm"] = 1400
    hung(data)


def test_too_low_is_told_in_figures():
    data = problem([wall()], [piece("A", 900, 1200)], lowest_edge_mm=950)
    (found,) = solve(data).conflicts
    assert "its lower edge is at 900 mm; 950 mm is the least allowed" in found.sentence
    assert found.relaxation.startswith("Raise the datum by 50 mm")
    data["arrangement"]["datum_mm"] = 1550
    hung(data)


def test_no_datum_suits_what_is_higher_than_the_edges_allow():
    rule = {"lowest_edge_mm": 800, "highest_edge_mm": 2000}
    (found,) = solve(problem([wall()], [piece("A", 900, 1300)], **rule)).conflicts
    assert found.relaxation.startswith("No height suits it: take 100 mm more between")


@pytest.mark.parametrize("kind", ["rows", "cluster"])
def test_stack_or_group_keeps_between_the_edges(kind):
    """Two of 500 mm and 100 mm between make 1,100 mm: 950 to 2,050 mm about 1,500 mm."""
    pieces = [piece(f"P{n}", 500, 500) for n in range(4)]
    rows = {"rows": 2, "row_gap_mm": 100} if kind == "rows" else {}
    rule = {"kind": kind, "min_gap_mm": 100, **rows}
    walls = [wall("N", 1400), wall("E", 1400)]
    tight = problem(walls, pieces, lowest_edge_mm=950, highest_edge_mm=2050, **rule)
    assert {p.y_mm for p in hung(tight).placements} <= {950, 1550, 1250}
    tight["arrangement"]["lowest_edge_mm"] = 951
    lows = [p.y_mm for p in hung(tight).placements]
    assert set(lows) == {1250}


@pytest.mark.parametrize("kind", ["rows", "cluster"])
def test_piece_alone_too_high_for_a_stack_is_told(kind):
    rule = {"kind": kind, "rows": 2 if kind == "rows" else 1, "highest_edge_mm": 1900}
    (found,) = solve(problem([wall()], [piece("A", 500, 900)], **rule)).conflicts
    assert found.sentence == (
        "A is 900 mm high with its label; about a datum of 1500 mm N (3600 mm) has room for "
        "800 mm between 0 and 1,900 mm."
    )


@pytest.mark.parametrize(
    ("kind", "edges", "broken"),
    [
        ("even", {"lowest_edge_mm": 1201}, True),
        ("even", {"highest_edge_mm": 1799}, True),
        ("even", {"lowest_edge_mm": 1200, "highest_edge_mm": 1800}, False),
        ("cluster", {"lowest_edge_mm": 1081}, True),
    ],
)
def test_edge_off_by_one_is_found(kind, edges, broken):
    label = {"width_mm": 200, "height_mm": 100, "side": "below", "gap_mm": 20}
    one = piece("A", 500, 600, label=label if kind == "cluster" else None)
    data = problem([wall()], [one], kind=kind, datum_mm=1500 if kind == "even" else 1440)
    answer = hung(data)
    strict = Problem.from_dict(data | {"arrangement": data["arrangement"] | edges})
    assert [fault.rule for fault in check(strict, answer)] == ["height"] * broken


def test_fixed_piece_beyond_the_edges_is_told():
    data = problem([wall()], [piece("A", 500, 600, wall="N", x_mm=0, y_mm=500)], lowest_edge_mm=600)
    assert "its lower edge at 500 mm" in solve(data).conflicts[-1].sentence


def test_bad_heights_are_told():
    for change, said in (
        ({"lowest_edge_mm": 900, "highest_edge_mm": 900}, "highest_edge_mm 900 is not above"),
        ({"lowest_edge_mm": -1}, "arrangement.lowest_edge_mm is -1"),
        ({"highest_edge_mm": "top"}, "arrangement.highest_edge_mm is 'top'"),
    ):
        with pytest.raises(InvalidProblem) as refusal:
            Problem.from_dict(problem([wall()], [], **change))
        assert said in " ".join(refusal.value.faults)
    with pytest.raises(InvalidProblem, match="datum_mm is 'high'"):
        Problem.from_dict(problem([wall(datum_mm="high")], []))


def test_what_is_new_and_empty_is_left_out():
    plain = Problem.from_dict(problem([wall()], [piece("A", 300)])).to_dict()
    assert "datum_mm" not in plain["walls"][0]
    assert not {"lowest_edge_mm", "highest_edge_mm"} & plain["arrangement"].keys()
    data = problem([wall(datum_mm=0)], [], lowest_edge_mm=0, highest_edge_mm=2000)
    whole = Problem.from_dict(data)
    assert whole.to_dict()["arrangement"]["lowest_edge_mm"] == 0
    assert Problem.from_dict(whole.to_dict()) == whole
