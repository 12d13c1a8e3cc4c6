"""Showcases: what stands in which case, on which shelf, where. Knows no database and no web.

`solve_cases(problem)` arranges, `check_cases(problem, answer)` verifies with other code.
"""

from layouts.cases.answer import CasesAnswer
from layouts.cases.checks import CaseFault, check_cases
from layouts.cases.problem import CasesProblem, InvalidCases
from layouts.cases.solve import solve_cases

__all__ = [
    "CaseFault",
    "CasesAnswer",
    "CasesProblem",
    "InvalidCases",
    "check_cases",
    "solve_cases",
]
