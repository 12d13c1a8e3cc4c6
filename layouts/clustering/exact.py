"""Lower a short band, or prove it lowest, with a solver that starts from the band found."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from layouts.clustering.skyline import Packing, Size
from layouts.watch import solved

MOST_PIECES = 29
DETERMINISTIC_SECONDS = 1.0


@dataclass(frozen=True)
class Proof:
    """The lowest packing known and a height that none comes below.

    `stopped` names what cut the solver short of its work: "clock", "cancelled" or nothing.
    """

    packing: Packing
    bound: int
    stopped: str = ""


def lowered(
    sizes: Sequence[Size],
    width: int,
    hint: Packing,
    bound: int,
    *,
    seed: int,
    seconds: float,
    work: float = DETERMINISTIC_SECONDS,
    cancelled: Callable[[], bool] = lambda: False,
) -> Proof:
    """Return the lowest packing in a strip of that width, known to be no lower than `bound`.

    In any packing, the pieces that a line along or across meets fit into its length; stated beside
    the rule that none overlap, that speeds the proof. Mirror images are left out.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    height = model.new_int_var(bound, hint.height, "height")
    largest = max(range(len(sizes)), key=lambda i: sizes[i][0] * sizes[i][1])
    places, along, across = [], [], []
    for i, (w, h) in enumerate(sizes):
        most = (width - w) // (2 if i == largest else 1)
        x = model.new_int_var(0, most, "")
        y = model.new_int_var(0, hint.height - h, "")
        model.add(y + h <= height)
        along.append(model.new_fixed_size_interval_var(x, w, ""))
        across.append(model.new_fixed_size_interval_var(y, h, ""))
        places.append((x, y))
    mirrored = 2 * hint.places[largest][0] > width - sizes[largest][0]
    for (x, y), (at, up), (w, _) in zip(places, hint.places, sizes, strict=True):
        model.add_hint(x, width - w - at if mirrored else at)
        model.add_hint(y, up)
    model.add_hint(height, hint.height)
    model.add_no_overlap_2d(along, across)
    model.add_cumulative(along, [h for _, h in sizes], height)
    model.add_cumulative(across, [w for w, _ in sizes], width)
    model.minimize(height)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = seconds
    status, stopped = solved(solver, model, cancelled)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Proof(hint, bound, stopped)
    if not stopped and status != cp_model.OPTIMAL and solver.wall_time >= seconds:
        stopped = "clock"
    found = tuple((int(solver.value(x)), int(solver.value(y))) for x, y in places)
    reached = max(y + h for (_, y), (_, h) in zip(found, sizes, strict=True))
    best = Packing(found, reached) if reached < hint.height else hint
    return Proof(best, max(bound, math.ceil(solver.best_objective_bound - 1e-6)), stopped)
