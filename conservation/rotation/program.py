"""A whole-number program as plain rows, apart from any solver."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

Terms = dict[int, int]


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


def to_cp_sat(cp: Any, program: Program) -> tuple[Any, list[Any]]:
    """Return the program as a model of the solver, with its variables; `cp` is the solver's module.

    >>> from ortools.sat.python import cp_model
    >>> program = Program()
    >>> variable = program.variable()
    >>> program.add({variable: 1}, least=1)
    >>> model, made = to_cp_sat(cp_model, program)
    >>> len(made)
    1
    """
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
