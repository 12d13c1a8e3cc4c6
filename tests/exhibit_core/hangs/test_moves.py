"""What hangs elsewhere between two answers."""

from exhibit_core.hangs.moves import Move, in_words, moves


def answer(**places):
    return {
        "placements": [
            {"id": number, "wall": wall, "x_mm": x_mm, "y_mm": 0, "row": 0, "hook_mm": hook_mm}
            for number, (wall, x_mm, hook_mm) in places.items()
        ]
    }


def test_same_answer_moves_nothing():
    same = answer(A=("North", 100, 1600), B=("South", 900, 1600))
    assert moves(same, same) == []


def test_each_kind_of_move_is_told_in_the_order_of_the_visit():
    before = answer(
        A=("North", 100, 1600),
        B=("North", 900, 1600),
        C=("North", 1700, 1600),
        D=("North", 2500, 1600),
    )
    now = answer(
        B=("North", 880, 1600),
        A=("North", 1700, 1600),
        C=("South", 100, 1600),
        E=("South", 900, 1650),
    )
    assert moves(before, now) == [
        Move("B", "North, 900 mm along, 1600 mm high", "North, 880 mm along, 1600 mm high", -20),
        Move("A", "North, 100 mm along, 1600 mm high", "North, 1700 mm along, 1600 mm high", 1600),
        Move("C", "North, 1700 mm along, 1600 mm high", "South, 100 mm along, 1600 mm high", None),
        Move("E", None, "South, 900 mm along, 1650 mm high", None),
        Move("D", "North, 2500 mm along, 1600 mm high", None, None),
    ]


def test_another_hook_height_is_a_move_of_nothing_along():
    (move,) = moves(answer(A=("North", 100, 1600)), answer(A=("North", 100, 1650)))
    assert move.along_mm == 0


def test_moves_are_summed_in_words():
    before = answer(
        A=("N", 100, 1600), B=("N", 900, 1600), C=("N", 1700, 1600), D=("N", 2500, 1600)
    )
    now = answer(
        A=("N", 80, 1600), B=("N", 960, 1600), C=("S", 0, 1600), D=("N", 2500, 1650), E=("S", 9, 1)
    )
    assert in_words(moves(before, now)) == (
        "1 new; 1 on another wall; 2 along the wall by 20 to 60 mm, 80 mm in all; 1 only higher or "
        "lower"
    )
    assert in_words(moves(now, before)).startswith("1 gone; 1 on another wall; 2 along")
    assert in_words([]) == ""


def test_what_changes_order_is_told_where_the_answer_was_to_keep_the_other():
    before = answer(A=("N", 100, 1600), B=("N", 900, 1600))
    rows = [{"id": "A", "relocated": True}, {"id": "B", "relocated": False}]
    now = {**answer(B=("N", 120, 1600), A=("N", 880, 1600)), "moves": rows}
    told = {move.number: move.reordered for move in moves(before, now, kept=True)}
    assert told == {"A": True, "B": False}
    assert "1 on another stretch or in another order" in in_words(moves(before, now, kept=True))
    assert not any(move.reordered for move in moves(before, now))
