"""The order along a wall and the room between neighbours."""

from layouts.along import along, clear_stretches
from layouts.problem import Arrangement, Blocked, Label, Piece, Problem, Wall
from layouts.solution import Placement, Solution

DOOR = Blocked(3000, 0, 1000, 2100, "door")
VENT = Blocked(500, 3000, 400, 200, "vent")
WALL = Wall("N", 8000, 3600, blocked=(DOOR, VENT))
LABEL = Label(150, 100, "right", 40)


def hung(*pieces: Piece, at: dict[str, int]):
    problem = Problem((WALL,), pieces, Arrangement())
    places = tuple(Placement(p.id, "N", at[p.id], 1500 - p.height_mm // 2, 0, 1600) for p in pieces)
    return along(problem, Solution("optimal", places), WALL)


def test_clear_stretches_leave_out_what_interrupts_at_the_height_of_the_hang():
    problem = Problem((WALL,), (Piece("A", 400, 600),))
    assert clear_stretches(problem, WALL) == ((0, 3000), (4000, 8000))


def test_pieces_come_from_left_to_right_whatever_their_order_in_the_problem():
    row = hung(Piece("A", 400, 600), Piece("B", 300, 600), at={"A": 1500, "B": 200})
    assert [(h.order, h.piece.id) for h in row] == [(1, "B"), (2, "A")]


def test_room_is_counted_from_label_to_piece_and_to_the_end_of_the_stretch():
    a, b = Piece("A", 400, 600, label=LABEL), Piece("B", 300, 600, label=LABEL)
    first, last = hung(a, b, at={"A": 500, "B": 1500})
    assert (first.before_mm, first.after_mm) == (500, 1500 - (500 + 400 + 40 + 150))
    assert (last.before_mm, last.after_mm) == (first.after_mm, 3000 - (1500 + 300 + 40 + 150))


def test_room_never_reaches_across_a_door():
    left, right = hung(Piece("A", 400, 600), Piece("B", 300, 600), at={"A": 2000, "B": 4500})
    assert (left.after_mm, right.before_mm) == (600, 500)


def test_label_beside_stands_level_with_the_lower_edge_and_below_starts_at_the_left_edge():
    piece = Piece("A", 400, 600, label=Label(150, 100, "left", 40))
    (beside,) = hung(piece, at={"A": 1000})
    assert beside.label_mm == (1000 - 40 - 150, 1200, 150, 100)
    (below,) = hung(Piece("A", 400, 600, label=Label(150, 100, "below", 40)), at={"A": 1000})
    assert below.label_mm == (1000, 1200 - 40 - 100, 150, 100)


def test_wide_piece_has_two_hooks_at_running_distances():
    (wide,) = hung(Piece("A", 800, 600), at={"A": 1000})
    assert wide.hooks_mm == (1200, 1600)


def test_several_rows_are_counted_row_by_row_from_the_top():
    pieces = tuple(Piece(name, 400, 300) for name in "ABCD")
    places = (
        Placement("A", "N", 900, 800, 1, 1100),
        Placement("B", "N", 100, 800, 1, 1100),
        Placement("C", "N", 150, 1500, 0, 1800),
        Placement("D", "N", 700, 1500, 0, 1800),
    )
    wall = Wall("N", 2_000, 3_000)
    problem = Problem((wall,), pieces, Arrangement(kind="rows", rows=2))
    hung = along(problem, Solution("optimal", places), wall)
    assert [(one.order, one.piece.id, one.row, one.after_mm) for one in hung] == [
        (1, "C", 0, 150),
        (2, "D", 0, 900),
        (3, "B", 1, 400),
        (4, "A", 1, 700),
    ]


def test_in_a_tight_group_only_what_is_level_is_a_neighbour():
    """A above B at the left, C beside A only: B's free width goes to the end of the wall."""
    pieces = (Piece("A", 400, 300), Piece("B", 400, 300), Piece("C", 200, 300))
    places = (
        Placement("A", "N", 100, 1_560, 0, 1_860),
        Placement("B", "N", 100, 1_200, 0, 1_500),
        Placement("C", "N", 560, 1_560, 0, 1_860),
    )
    wall = Wall("N", 2_000, 3_000)
    problem = Problem((wall,), pieces, Arrangement(kind="cluster", min_gap_mm=60))
    hung = along(problem, Solution("optimal", places), wall)
    assert {one.piece.id: (one.before_mm, one.after_mm) for one in hung} == {
        "A": (100, 60),
        "B": (100, 1_500),
        "C": (60, 1_240),
    }
