"""What is reported of a hang, by hand."""

from dataclasses import replace

from layouts import Problem, solve
from layouts.geometry import clear_runs
from layouts.measures import measure
from tests.layouts.problems import piece, problem, wall


def measured(data):
    answer = solve(data)
    assert answer.placements
    return answer


def test_spread_within_a_run_and_across_runs():
    """On 1,000 mm three gaps of 133 or 134 mm beside 600 mm; on 1,200 mm two of 450 mm."""
    pieces = [piece("A", 300, wall="N"), piece("B", 300, wall="N"), piece("C", 300, wall="E")]
    found = measured(problem([wall("N", 1000), wall("E", 1200)], pieces)).measures
    assert (found.run_spread_mm, found.gap_spread_mm) == (1, 450 - 133)
    assert found.smallest_gap_mm == 133


def test_mirror_error_and_balance():
    """300 faces 300, 400 faces 500; gaps of 100 mm put the centres at 250, 700, 1,250 and 1,750 mm.

    Heights are alike, so widths weigh: 1,505,000 / 1,500 is 1,003 mm; the middle is at 1,000 mm.
    """
    pieces = [piece("A", 300), piece("B", 400), piece("C", 500), piece("D", 300)]
    found = measured(problem([wall("N", 2000)], pieces, order=["A", "B", "C", "D"])).measures
    assert found.smallest_gap_mm == 100
    assert found.mirror_error_mm == 100
    assert found.balance_offset_mm == 3


def test_a_label_beside_a_piece_counts_in_what_faces_another():
    """A takes 300 + 40 + 160 mm as B does: both halves match, and the verifier agrees."""
    label = {"width_mm": 160, "height_mm": 100, "side": "right", "gap_mm": 40}
    data = problem([wall("N", 2000)], [piece("A", 300, label=label), piece("B", 500)])
    data["arrangement"]["kind"] = "mirrored"
    assert measured(data).measures.mirror_error_mm == 0
    alone = problem([wall("N", 2000)], [piece("A", 300), piece("B", 500)], kind="mirrored")
    assert measured(alone).measures.mirror_error_mm == 200


def test_relation_cost_of_a_pair_on_two_walls():
    """Centres at 300 mm and at 600 + 400 mm are 700 mm apart, three times that is the cost."""
    pieces = [piece("A", 200, wall="N"), piece("B", 200, wall="E")]
    data = problem([wall("N", 600), wall("E", 800)], pieces, kind="related")
    near = [{"pieces": ["A", "B"], "weight": 3}]
    assert measured(data | {"near": near}).measures.relation_cost_mm == 2100


def test_pieces_moved_are_counted():
    data = problem([wall("N", 1000)], [piece("A", 200), piece("B", 300)])
    answer = measured(data)
    task = replace(Problem.from_dict(data), previous=answer.to_dict())
    shifted = [replace(p, x_mm=p.x_mm + 5) if p.id == "A" else p for p in answer.placements]
    found = measure(task, clear_runs(task), shifted)
    assert (found.moved, found.moved_mm) == (1, 5)
    assert measure(task, clear_runs(task), answer.placements).moved == 0


def test_groups_report_the_spread_within_each():
    data = problem([wall()], [piece(f"P{n}", 500) for n in range(4)], kind="cluster", min_gap_mm=80)
    found = measured(data).measures
    assert (found.run_spread_mm, found.gap_spread_mm, found.smallest_gap_mm) == (0, 0, 80)
