"""Rotations: which of several interchangeable objects stands where, and when it rests.

`solve(problem)` plans one, `check(problem, plan)` verifies one with other code.
"""

from conservation.rotation.checks import Fault, check
from conservation.rotation.plan import Bound, Conflict, Measures, Plan, Relaxation, Stay, Use
from conservation.rotation.problem import Away, Budget, Candidate, InvalidRotation, Place, Problem
from conservation.rotation.solve import solve

__all__ = [
    "Away",
    "Bound",
    "Budget",
    "Candidate",
    "Conflict",
    "Fault",
    "InvalidRotation",
    "Measures",
    "Place",
    "Plan",
    "Problem",
    "Relaxation",
    "Stay",
    "Use",
    "check",
    "solve",
]
