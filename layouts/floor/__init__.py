"""What stands on a floor: whether one gets through, and where it is narrow.

`solve_floor(problem)` measures a room against a rule set and proposes arrangements;
`check(floor, report)` verifies a report with other code. Knows no database and no web.
"""

from layouts.floor.checks import check
from layouts.floor.facts import Fault
from layouts.floor.problem import Floor, InvalidFloor
from layouts.floor.report import FloorReport
from layouts.floor.solve import solve_floor

__all__ = ["Fault", "Floor", "FloorReport", "InvalidFloor", "check", "solve_floor"]
