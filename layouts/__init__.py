"""Where things go: hangs of walls, computed. Knows no database and no web.

`solve(problem)` finds a hang, `check(problem, solution)` verifies one with other code.
"""

from layouts.checks import Fault, check
from layouts.problem import InvalidProblem, Problem
from layouts.solution import Solution
from layouts.solve import solve

__all__ = ["Fault", "InvalidProblem", "Problem", "Solution", "check", "solve"]
