"""Hangs in several rows: every split of small ones, heights, planted faults, reasons."""

import itertools
import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from tests.layouts.problems import DOOR, moved, piece, problem, wall

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
BELOW = {"width_mm": 100, "height_mm": 80, "side": "below", "gap_mm": 20}


def rows(walls, pieces, together=(), apart=(), **rule):
    more = {"rows": 2, "row_gap_mm": 150, "datum_mm": 1800} | rule
    return problem(walls, pieces, together, apart, kind="rows", **more)


def hung(data):
    answer = solve(data, seconds=20)
    assert answer.placements, [c.sentence for c in answer.conflicts]
    assert check(Problem.from_dict(data), answer) == []
    return answer


def mixed(count, seed=1):
    dice = random.Random(seed)  # noqa: S311
    return [piece(f"P{n}", dice.randint(150, 900), dice.randint(200, 600)) for n in range(count)]


@st.composite
def small(draw):
    count = draw(st.integers(2, 7))
    widths = draw(st.lists(st.integers(100, 900), min_size=count, max_size=count))
    return widths, draw(st.sampled_from([2, 2, 3])), draw(st.integers(3000, 6000))


def gaps_of_every_split(widths, count, length):
    """Yield the gaps, rounded down, of every way to share pieces out over rows; empty rows none."""
    for places in itertools.product(range(count), repeat=len(widths)):
        split = [[w for w, r in zip(widths, places, strict=True) if r == n] for n in range(count)]
        gaps = [(length - sum(row)) // (len(row) + 1) for row in split if row]
        if min(gaps) >= 0:
            yield min(gaps), -max(gaps)


@SLOW
@given(small())
def test_rows_of_one_wall_agree_with_every_split(task):
    widths, count, length = task
    pieces = [piece(f"P{n}", w, 300) for n, w in enumerate(widths)]
    best = max(gaps_of_every_split(widths, count, length), default=None)
    data = rows([wall(length=length)], pieces, rows=count)
    if best is None:
        assert solve(data).placements == ()
        return
    answer = hung(data)
    split = [[widths[int(p.id[1:])] for p in answer.placements if p.row == n] for n in range(count)]
    found = [(length - sum(row)) // (len(row) + 1) for row in split if row]
    assert answer.status == "optimal"
    assert (min(found), -max(found)) == best


def stack_mm(answer, data):
    """Return the heights of all rows that hold pieces, without the gaps between, wall by wall."""
    high = {p["id"]: p["height_mm"] for p in data["pieces"]}
    lines = {}
    for place in answer.placements:
        lines.setdefault((place.wall, place.row), []).append(high[place.id])
    return sum(max(row) for row in lines.values())


@pytest.mark.parametrize("seed", range(12))
def test_of_rows_so_even_none_are_lower(seed):
    """Every split of a few pieces: the largest least gap, the least largest one, the lowest."""
    dice = random.Random(seed)  # noqa: S311
    widths = [20 * dice.randint(10, 30) for _ in range(dice.randint(4, 7))]
    heights = [dice.randint(150, 600) for _ in widths]
    length = (sum(widths) + 100 * (len(widths) + 2)) // 2 + dice.randint(0, 300)
    ranked = []
    for places in itertools.product(range(2), repeat=len(widths)):
        split = [[i for i, r in enumerate(places) if r == n] for n in range(2)]
        gaps = [(length - sum(widths[i] for i in row)) // (len(row) + 1) for row in split if row]
        high = sum(max(heights[i] for i in row) for row in split if row)
        ranked.append((-min(gaps), max(gaps), high))
    pieces = [piece(f"P{n}", w, h) for n, (w, h) in enumerate(zip(widths, heights, strict=True))]
    data = rows([wall(length=length)], pieces)
    assert stack_mm(hung(data), data) == min(ranked)[2]


def test_of_alike_widths_each_row_takes_one_height():
    """Rows of 500, 300 and 200 mm, mixed in the list: no stack is lower than 1,000 mm."""
    high = (500, 300, 200)
    data = rows([wall()], [piece(f"P{n}", 400, high[n % 3]) for n in range(12)], rows=3)
    answer = hung(data)
    assert (answer.measures.gap_spread_mm, stack_mm(answer, data)) == (0, 1000)


def test_rows_over_several_stretches_are_low_too():
    high = (500, 250)
    walls = [wall(length=6000, blocked=[DOOR]), wall("E", 4000)]
    data = rows(walls, [piece(f"P{n}", 300, high[n % 2]) for n in range(24)])
    answer = hung(data)
    assert stack_mm(answer, data) == 1500


def test_figures_by_hand():
    """Heights 400 and 300 with 100 between make a stack of 800 about 1,800: 1,400 to 2,200 mm."""
    pieces = [piece("A", 500, 400), piece("B", 400, 300), piece("C", 500, 200)]
    pieces += [piece("D", 400, 250)]
    pieces[0]["wall"] = "N"
    answer = hung(rows([wall(length=2000)], pieces, row_gap_mm=100, order=["A", "B", "C", "D"]))
    assert [(p.id, p.row, p.x_mm, p.y_mm) for p in answer.placements] == [
        ("A", 0, 367, 1775),
        ("B", 0, 1233, 1825),
        ("C", 1, 367, 1450),
        ("D", 1, 1233, 1425),
    ]


@pytest.mark.parametrize("align", ["centreline", "top", "bottom", "hanging_line"])
def test_many_pieces_on_one_wall(align):
    pieces = [p | {"hang_point_mm": 40} for p in mixed(40)]
    answer = hung(rows([wall(length=8000)], pieces, rows=4, row_gap_mm=80, align=align))
    assert {p.row for p in answer.placements} == {0, 1, 2, 3}
    assert answer.measures.gap_spread_mm <= 2


def test_doors_labels_light_loads_and_groups():
    zones = [{"from_mm": 0, "to_mm": 3000, "lux": 50}, {"from_mm": 3000, "to_mm": 9000, "lux": 150}]
    fixings = [{"from_mm": 0, "to_mm": 9000, "max_kg_per_object": 30, "max_kg_per_m": 12}]
    pieces = [p | {"mass_g": 4000, "label": BELOW} for p in mixed(14, 3)]
    for p in pieces[:3]:
        p["max_lux"] = 50
    data = rows(
        [wall(length=9000, blocked=[DOOR], zones=zones, fixings=fixings), wall("E", 4000)],
        pieces,
        together=[["P4", "P9"]],
        apart=[{"pieces": ["P5", "P6"], "at_least_mm": 1200}],
    )
    hung(data)


def test_given_order_runs_row_by_row():
    names = [f"P{n}" for n in (3, 1, 4, 0, 5, 2)]
    answer = hung(rows([wall()], mixed(6), order=names))
    assert [p.id for p in answer.placements] == names


def test_a_low_blocked_area_is_hung_over_only_if_no_stack_could_meet_it():
    low = {"x_mm": 2000, "y_mm": 0, "width_mm": 500, "height_mm": 1200, "what": "radiator"}
    pieces = [piece(f"P{n}", 300, 400) for n in range(6)]
    clear = hung(rows([wall(blocked=[low])], pieces))
    assert {run.from_mm for run in clear.runs} == {0}
    cut = hung(rows([wall(blocked=[low])], pieces, row_gap_mm=500))
    assert {run.from_mm for run in cut.runs} == {0, 2500}


def test_piece_fixed_in_place_and_previous():
    pieces = mixed(8)
    pieces[2] |= {"wall": "N", "x_mm": 2500, "y_mm": 1500}
    data = rows([wall(length=7000)], pieces)
    first = hung(data)
    assert hung(data | {"previous": first.to_dict()}).measures.moved == 0


def test_stack_higher_than_its_room():
    """Two rows of 1,300 mm with 300 mm between make 2,900 mm; 1,400 mm lie below the datum."""
    pieces = [piece(f"P{n}", 900, 1300) for n in range(4)]
    data = rows([wall(length=2500)], pieces, row_gap_mm=300, datum_mm=1400)
    answer = solve(data)
    assert answer.status == "infeasible"
    found = next(c for c in answer.conflicts if c.rule == "height")
    assert found.sentence == (
        "2 rows with 300 mm between them came to 2,900 mm; about a datum of 1400 mm wall N has "
        "room for 2,800 mm."
    )
    assert found.amount == 100
    hung(data | {"arrangement": data["arrangement"] | {"datum_mm": 1450}})


def test_tall_pieces_share_a_row_where_height_is_scarce():
    """Two of 1,200 and two of 400 mm: only tall with tall fits 1,900 mm."""
    pieces = [piece(n, 500, h) for n, h in (("A", 1200), ("B", 400), ("C", 1200), ("D", 400))]
    answer = hung(rows([wall(length=3000)], pieces, row_gap_mm=300, datum_mm=950))
    row = {p.id: p.row for p in answer.placements}
    assert row["A"] == row["C"] != row["B"] == row["D"]


def test_one_piece_higher_than_its_room():
    answer = solve(rows([wall()], [piece("A", 300, 1900), piece("B", 300)], datum_mm=900))
    assert answer.conflicts[0].sentence == (
        "A is 1900 mm high with its label; about a datum of 900 mm N (3600 mm) has room for "
        "1800 mm."
    )


def test_same_input_same_answer():
    data = rows([wall(length=9000, blocked=[DOOR])], mixed(12))
    one, other = solve(data).to_dict(), solve(data).to_dict()
    del one["seconds"], other["seconds"]
    assert one == other


@pytest.fixture(scope="module")
def right():
    pieces = [piece(f"P{n}", 400 + 50 * n, 300, label=BELOW if n == 2 else None) for n in range(6)]
    task = Problem.from_dict(rows([wall()], pieces, together=[["P0", "P1"]]))
    answer = solve(task)
    assert check(task, answer) == []
    return task, answer


def row_names(answer, row):
    return [p.id for p in answer.placements if p.row == row]


@pytest.mark.parametrize(
    ("rule", "plant"),
    [
        ("line", lambda a: moved(a, row_names(a, 0)[:1], y_mm=1, hook_mm=1)),
        ("row_gap", lambda a: moved(a, row_names(a, 0), y_mm=2, hook_mm=2)),
        ("row_gap", lambda a: moved(a, row_names(a, 1), y_mm=2, hook_mm=2)),
        ("datum", lambda a: moved(a, [f"P{n}" for n in range(6)], y_mm=2, hook_mm=2)),
        ("uneven", lambda a: moved(a, row_names(a, 1)[:1], x_mm=2)),
        ("row", lambda a: moved(a, row_names(a, 1)[:1], row=1)),
        ("overlap", lambda a: moved(a, row_names(a, 1), y_mm=200, hook_mm=200)),
        ("together", lambda a: moved(a, ["P0"], row=1 - 2 * (row_names(a, 1).count("P0")))),
        ("hook", lambda a: moved(a, ["P3"], hook_mm=1)),
    ],
)
def test_planted_fault_is_found(right, rule, plant):
    task, answer = right
    assert rule in {fault.rule for fault in check(task, plant(answer))}
