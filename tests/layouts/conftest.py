"""A solved wall for the tests of drawings."""

import pytest

from layouts import solve
from layouts.drawing import Caption, Elevation
from layouts.problem import Arrangement, Blocked, Fixing, Label, Piece, Problem, Wall, Zone

WALL = Wall(
    "Long Gallery, Main wall",
    9000,
    3600,
    (Blocked(4000, 0, 1200, 2100, "door to the stair"),),
    (Zone(0, 4000, 50), Zone(4000, 9000, 150)),
    (Fixing(0, 9000, 40, 60),),
)
PIECES = tuple(
    Piece(
        f"1904.{n}", width, 600 + 20 * n, 40, 3000, "1" if n < 4 else "2", 50, 60, Label(150, 100)
    )
    for n, width in enumerate((300, 120, 700, 380, 420, 260), 1)
)


@pytest.fixture(scope="module")
def elevation() -> Elevation:
    rule = Arrangement("by_section", min_gap_mm=50, sections=("1", "2"))
    problem = Problem((WALL,), PIECES, rule)
    solution = solve(problem)
    assert solution.status == "optimal"
    captions = {piece.id: Caption(piece.id, f"Study {piece.id}") for piece in PIECES}
    titles = {"1": "1 The Weight of the Air", "2": "2 Heat, Damp and Rain"}
    return Elevation.of(problem, solution, WALL, captions=captions, sections=titles)
