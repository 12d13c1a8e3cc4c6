"""Light that changes within a run: the gap is known well enough to say where pieces lie."""

from layouts import Problem, check, solve
from layouts.search.cases import eighths_of
from tests.layouts.problems import piece, problem, wall


def halves(length, cut, lux):
    zones = [
        {"from_mm": 0, "to_mm": cut, "lux": lux[0]},
        {"from_mm": cut, "to_mm": length, "lux": lux[1]},
    ]
    return {"length": length, "zones": zones}


def hung(data):
    answer = solve(data, seconds=20)
    assert check(Problem.from_dict(data), answer) == []
    return answer.status, [run.gap_mm for run in answer.runs]


def test_rows_whose_gaps_differ_by_hundreds_of_mm_are_found():
    pieces = [piece("A", 577, 150, max_lux=50), piece("B", 161, 150), piece("C", 518, 150)]
    data = problem([wall("N", **halves(2132, 956, (50, 150)))], pieces, kind="rows", rows=3)
    # by hand: (2132 - 577 - 518) / 3 and (2132 - 161) / 2
    assert hung(data) == ("optimal", [345, 985, None])


def test_walls_whose_gaps_differ_by_hundreds_of_mm_are_found():
    walls = [wall("N", **halves(600, 300, (150, 50))), wall("E", **halves(1499, 760, (50, 150)))]
    here = [piece("A", 180, max_lux=50, wall="N"), piece("B", 150, wall="N")]
    there = [piece("C", 200, max_lux=50, wall="E"), piece("D", 210, wall="E")]
    data = problem(walls, [*here, *there])
    # by hand: (600 - 330) / 3, (1499 - 410) / 3
    assert hung(data) == ("optimal", [90, 363])


def both_dark(cut, lux):
    pieces = [piece("A", 300, max_lux=50), piece("B", 300, max_lux=lux[1])]
    return problem([wall("N", **halves(2000, cut, lux))], pieces, ends="free", order=["A", "B"])


def test_a_row_with_free_ends_is_held_against_light_at_the_gap_that_it_gets():
    # by hand: a gap of (2000 - 600) / 3 = 466, so A hangs from 467 to 767 mm
    assert hung(both_dark(769, (50, 150))) == ("optimal", [466])
    assert hung(both_dark(465, (150, 50))) == ("optimal", [466])
    assert solve(both_dark(470, (150, 50))).status == "infeasible"


def test_gaps_of_sets_are_those_of_hand():
    # one piece of 300 on 1000 mm: 350; of 500: 250; both: 200 / 3; margins as wide as gaps
    items = ((300, 1, None), (500, 1, None))
    assert eighths_of(items, 1000, 4, None) == ((533, False), (2000, True), (2800, True))
    # of two sections that part by 80 mm: 120 mm left for both margins
    items = ((300, 1, "1"), (500, 1, "2"))
    assert (480, True) in eighths_of(items, 1000, 4, 80)


def test_many_pieces_on_walls_whose_gaps_differ_by_hundreds_of_mm_are_found():
    walls = [wall("N", **halves(2600, 1000, (150, 50))), wall("E", **halves(3000, 1850, (150, 50)))]
    crowd = [piece(f"N{n}", 200 + n, max_lux=50 * (n > 2) or None, wall="N") for n in range(8)]
    few = [piece("E0", 220, wall="E"), piece("E1", 230, wall="E", max_lux=50)]
    # by hand: N (2600 - 1628) / 9 = 108; E (3000 - 450) / 3 = 850, so E1 hangs from 1920 mm
    assert hung(problem(walls, [*crowd, *few])) == ("optimal", [108, 850])
