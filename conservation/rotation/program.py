"""A whole-number program as plain rows, so that two solvers can be given the very same demands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

Terms = dict[int, int]
DUAL_DENOMINATOR = 1 << 60


@dataclass(frozen=True)
class Row:
    """`least` ≤ Σ coefficient · variable ≤ `most`; None means no limit on that side."""

    terms: Terms
    least: int | None
    most: int | None


@dataclass
class Program:
    """Variables from 0 to their `tops`, rows that must hold, and a cost to make least."""

    tops: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    cost: Terms = field(default_factory=dict)

    def variable(self, top: int = 1) -> int:
        """Add a variable from 0 to `top` and return its number."""
        self.tops.append(top)
        return len(self.tops) - 1

    def add(self, terms: Terms, *, least: int | None = None, most: int | None = None) -> None:
        """Add a row; zero coefficients are dropped."""
        self.rows.append(Row({v: k for v, k in terms.items() if k}, least, most))

    def held(self, values: Mapping[int, int]) -> tuple[Program, dict[int, int]]:
        """Return the program with these values filled in, and the new numbers of what is free."""
        number = {v: n for n, v in enumerate(v for v in range(len(self.tops)) if v not in values)}
        small = Program([self.tops[v] for v in number])
        for row in self.rows:
            free = {number[v]: k for v, k in row.terms.items() if v in number}
            if not free:
                continue
            done = sum(k * values[v] for v, k in row.terms.items() if v in values)
            small.rows.append(
                Row(
                    free,
                    None if row.least is None else row.least - done,
                    None if row.most is None else row.most - done,
                )
            )
        small.cost = {number[v]: k for v, k in self.cost.items() if v in number}
        return small, number


def to_cp_sat(cp: Any, program: Program) -> tuple[Any, list[Any]]:
    """Return the program as a model of the solver, with its variables."""
    model = cp.CpModel()
    made = [
        model.new_bool_var("") if top == 1 else model.new_int_var(0, top, "")
        for top in program.tops
    ]
    for row in program.rows:
        expression = _sum(cp, made, row.terms)
        low = cp.INT32_MIN * (1 << 30) if row.least is None else row.least
        high = cp.INT32_MAX * (1 << 30) if row.most is None else row.most
        model.add_linear_constraint(expression, low, high)
    if program.cost:
        model.minimize(_sum(cp, made, program.cost))
    return model, made


def _sum(cp: Any, made: list[Any], terms: Terms) -> Any:
    return cp.LinearExpr.weighted_sum([made[v] for v in terms], list(terms.values()))


def relaxed_bound(program: Program, seconds: float) -> int:
    """Return a cost that no whole-number answer can undercut, from the program's relaxation.

    The relaxation's prices come from a floating-point solver; the bound they imply is then summed
    in exact arithmetic, which is valid whatever the prices are.
    """
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver("GLOP")
    infinity = solver.infinity()
    made = [solver.NumVar(0, top, "") for top in program.tops]
    built = []
    for row in program.rows:
        one = solver.Constraint(
            -infinity if row.least is None else row.least,
            infinity if row.most is None else row.most,
        )
        for variable, k in row.terms.items():
            one.SetCoefficient(made[variable], k)
        built.append(one)
    goal = solver.Objective()
    for variable, k in program.cost.items():
        goal.SetCoefficient(made[variable], k)
    goal.SetMinimization()
    solver.SetTimeLimit(int(seconds * 1000))
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return 0
    return max(0, _priced(program, (one.dual_value() for one in built)))


def _priced(program: Program, duals: Iterable[float]) -> int:
    reduced = [0] * len(program.tops)
    for variable, k in program.cost.items():
        reduced[variable] = k * DUAL_DENOMINATOR
    total = 0
    for row, dual in zip(program.rows, duals, strict=True):
        price = round(dual * DUAL_DENOMINATOR)
        limit = row.least if price > 0 else row.most
        if not price or limit is None:
            continue
        total += price * limit
        for variable, k in row.terms.items():
            reduced[variable] -= price * k
    total += sum(min(0, rest) * top for rest, top in zip(reduced, program.tops, strict=True))
    return -int(-Fraction(total, DUAL_DENOMINATOR) // 1)
