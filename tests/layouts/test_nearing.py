"""Related hangs over several stretches: what belongs near comes near, and every demand is kept."""

from random import Random

from layouts import Problem, check, solve
from tests.layouts.problems import piece, problem, wall


def hung(data):
    answer = solve(data, seconds=20)
    assert answer.placements, answer.conflicts
    assert check(Problem.from_dict(data), answer) == []
    return answer


def near(*pairs):
    return {"near": [{"pieces": [a, b], "weight": weight} for a, b, weight in pairs]}


def parted_wall(length):
    """Return a wall with a bright beginning and two doors, as long as three stretches of 4.4 m."""
    doors = [
        {"x_mm": x, "y_mm": 0, "width_mm": 1000, "height_mm": 2100, "what": "door"}
        for x in (4400, 9800)
    ]
    zones = [
        {"from_mm": 0, "to_mm": 1000, "lux": 150},
        {"from_mm": 1000, "to_mm": length, "lux": 50},
    ]
    return wall(length=length, blocked=doors, zones=zones)


def test_pairs_hang_side_by_side_on_three_stretches_in_changing_light():
    """Fifteen pieces of 400 mm, five on each stretch with gaps of 400 mm: by hand, a pair side by
    side has centres 800 mm apart, and six pairs find room, two of them on each stretch."""
    pieces = [piece(f"P{n}", 400, max_lux=None if n in (4, 9) else 50) for n in range(15)]
    pairs = [(f"P{n}", f"P{n + 7}", 1) for n in range(6)]
    data = near(*pairs) | problem([parted_wall(15200)], pieces, kind="related")
    answer = hung(data)
    assert [run.gap_mm for run in answer.runs] == [400, 400, 400]
    assert answer.measures.relation_cost_mm == 6 * 800


def test_gaps_stay_nearly_even_where_that_brings_pieces_nearer():
    """Crowding one stretch would bring all pairs nearer; gaps differ by a tenth at most."""
    dice = Random(3)  # noqa: S311
    pieces = [piece(f"P{n}", dice.randrange(300, 700, 10)) for n in range(15)]
    pairs = [(f"P{n}", f"P{(7 * n + 5) % 15}", 1 + n % 3) for n in (0, 1, 3, 4, 6)]
    answer = hung(near(*pairs) | problem([parted_wall(15200)], pieces, kind="related"))
    gaps = [run.gap_mm for run in answer.runs]
    assert max(gaps) - min(gaps) <= 0.1 * max(gaps) + 2


def test_loads_distances_and_groups_are_kept_while_pieces_come_nearer():
    dice = Random(5)  # noqa: S311
    pieces = [
        piece(f"P{n}", dice.randrange(300, 600, 10), mass_g=dice.randrange(2000, 9000, 500))
        for n in range(14)
    ]
    data = near(*[(f"P{n}", f"P{13 - n}", 2) for n in range(5)]) | problem(
        [parted_wall(15200)],
        pieces,
        together=[["P1", "P7", "P12"]],
        apart=[{"pieces": ["P3", "P10"], "at_least_mm": 1500}],
        kind="related",
        ends="free",
    )
    data["walls"][0]["fixings"] = [{"from_mm": 0, "to_mm": 4400, "max_kg_per_m": 5.5}]
    assert hung(data).placements == hung(data).placements
