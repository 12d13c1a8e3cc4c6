"""Dim luminaires so that every piece keeps its limit and is otherwise as bright as can be.

Light is proportional to dimming, so this is a linear programme. Two aims, in this order: the piece
that reaches the smallest share of its limit reaches as much as can be; then the sum over the pieces
of mean level to limit is as high as can be. Every point of a piece counts for its limit, its mean
for its brightness. No luminaire can then be raised without breaking a limit, and the piece in the
way is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from conservation.photometry.illuminance import MOST_LUMINAIRES
from conservation.photometry.model import FloatArray, PhotometryError
from conservation.ranges import in_range

HIGHEST_LUX = 200_000.0
MOST_PIECES = 2_000
TIGHT = 1e-6
ROUNDING = 1e-7
NOTHING_LUX = 1e-6
MOST_ROUNDS = 500
ROWS_A_ROUND = 3


@dataclass(frozen=True, eq=False)
class Lit:
    """A piece and the levels in lx at its points (columns) from each luminaire (rows) undimmed.

    `max_lux` None sets no limit; `other_lux` is light that falls anyway.
    """

    id: str
    lux: FloatArray
    max_lux: float | None = None
    other_lux: float = 0.0


@dataclass(frozen=True)
class Dimmed:
    """One luminaire's dimming, 0 to 1, and the piece in whose limit it would else break.

    `bound_by` is None at full output.
    """

    luminaire: str
    dimming: float
    bound_by: str | None


@dataclass(frozen=True)
class DimmedPiece:
    """One piece after dimming: levels in lx, other light counted, and whether its limit is kept."""

    id: str
    mean_lux: float
    max_lux: float
    limit_lux: float | None
    kept: bool


@dataclass(frozen=True)
class Dimming:
    """The answer: all luminaires and pieces; `kept` is false where other light is too much."""

    luminaires: tuple[Dimmed, ...]
    pieces: tuple[DimmedPiece, ...]

    @property
    def kept(self) -> bool:
        """Whether every piece keeps its limit."""
        return all(piece.kept for piece in self.pieces)


def dim(luminaires: Sequence[str], pieces: Sequence[Lit]) -> Dimming:
    """Return the dimming, 0 to 1, of each luminaire under which every piece keeps its limit in lx.

    Limits and other light 0 to 200 000 lx, at most 2000 luminaires and 2000 pieces; others raise
    OutOfRangeError or PhotometryError. Where other light alone exceeds a limit, the luminaires that
    reach the piece go out and `kept` is false. Source: linear programming (GLOP of OR-Tools).

    >>> found = dim(["L1"], [Lit("P1", np.array([[80.0, 100.0]]), 50)])
    >>> round(found.luminaires[0].dimming, 6), found.luminaires[0].bound_by
    (0.5, 'P1')
    """
    _check(luminaires, pieces)
    count = len(luminaires)
    room = {piece.id: _room(piece) for piece in pieces}
    limited = [piece for piece in pieces if piece.max_lux is not None]
    rows = _Rows(limited, room)
    shares = np.array([piece.lux.mean(axis=1) / room[piece.id] for piece in rows.pieces])
    shares = shares.reshape(len(rows.pieces), count)
    free = [p for p in pieces if p.max_lux is None and p.lux.mean() > 0]
    gain = shares.sum(axis=0) + sum(
        (p.lux.mean(axis=1) / p.lux.mean(axis=1).sum() for p in free), np.zeros(count)
    )
    dark = np.zeros(count, dtype=bool)
    for piece in limited:
        if room[piece.id] <= 0:
            dark |= piece.lux.max(axis=1) > NOTHING_LUX
    most = np.where(dark, 0.0, 1.0)
    floor = _worst_share(rows, shares, most)
    chosen, duals = _brightest(rows, shares, gain, most, floor)
    bound = _bound_by(chosen, rows, duals, limited, room)
    return Dimming(
        tuple(
            Dimmed(name, float(chosen[n]), bound[n] if chosen[n] < 1 - TIGHT else None)
            for n, name in enumerate(luminaires)
        ),
        tuple(_after(piece, chosen) for piece in pieces),
    )


def _check(luminaires: Sequence[str], pieces: Sequence[Lit]) -> None:
    if not 1 <= len(luminaires) <= MOST_LUMINAIRES:
        raise PhotometryError(f"Give 1 to {MOST_LUMINAIRES} luminaires.")
    if not 1 <= len(pieces) <= MOST_PIECES:
        raise PhotometryError(f"Give 1 to {MOST_PIECES} pieces.")
    for names, what in ((luminaires, "luminaire"), ([p.id for p in pieces], "piece")):
        if len(set(names)) < len(names):
            raise PhotometryError(f"A {what} stands twice: give each its own id.")
    for piece in pieces:
        if piece.lux.ndim != 2 or piece.lux.shape[0] != len(luminaires) or not piece.lux.shape[1]:
            raise PhotometryError(f"{piece.id} needs a row of levels for each luminaire.")
        if not np.isfinite(piece.lux).all() or piece.lux.min() < 0:
            raise PhotometryError(f"The levels on {piece.id} must be finite and from 0 lx.")
        in_range(f"The other light on {piece.id}", piece.other_lux, 0, HIGHEST_LUX, unit="lx")
        if piece.max_lux is not None:
            in_range(f"The limit of {piece.id}", piece.max_lux, 0, HIGHEST_LUX, unit="lx")


def _room(piece: Lit) -> float:
    return 0.0 if piece.max_lux is None else max(0.0, piece.max_lux - piece.other_lux)


class _Rows:
    """The limits at points, as rows `share of the room used <= 1`; brought in as they are broken.

    A piece has many points and few of them ever bind: the rest stay out of the programme.
    """

    def __init__(self, limited: Sequence[Lit], room: dict[str, float]) -> None:
        self.pieces = [p for p in limited if room[p.id] > 0 and p.lux.any()]
        self.levels = [piece.lux / room[piece.id] for piece in self.pieces]
        self.of: list[int] = []
        self.rows: list[FloatArray] = []
        self._seen: set[tuple[int, int]] = set()
        for n, level in enumerate(self.levels):
            self._add(n, int(level.sum(axis=0).argmax()))

    def _add(self, piece: int, point: int) -> bool:
        if (piece, point) in self._seen:
            return False
        self._seen.add((piece, point))
        self.of.append(piece)
        self.rows.append(self.levels[piece][:, point])
        return True

    def cut(self, chosen: FloatArray) -> bool:
        """Bring in the points most over their limit; return whether there were any."""
        news = False
        for n, level in enumerate(self.levels):
            used = chosen @ level
            worst = np.argsort(used)[-ROWS_A_ROUND:]
            for point in worst[used[worst] > 1 + TIGHT / 10]:
                news |= self._add(n, int(point))
        return news


def _worst_share(rows: _Rows, shares: FloatArray, most: FloatArray) -> float:
    """Return the highest share of its limit that every reachable piece can have at once."""
    reachable = shares[(shares * most).sum(axis=1) > 0]
    if not len(reachable):
        return 0.0
    for _ in range(MOST_ROUNDS):
        chosen, value, _duals = _solve(rows, most, np.zeros(len(most)), reachable, None)
        if not rows.cut(chosen):
            break
    return value


def _brightest(
    rows: _Rows, shares: FloatArray, gain: FloatArray, most: FloatArray, floor: float
) -> tuple[FloatArray, FloatArray]:
    reachable = shares[(shares * most).sum(axis=1) > 0]
    for _ in range(MOST_ROUNDS):
        chosen, _value, duals = _solve(rows, most, gain, reachable, floor * (1 - 1e-9))
        if not rows.cut(chosen):
            break
    return _within(rows, _settled(chosen, gain, most)), duals


def _settled(chosen: FloatArray, gain: FloatArray, most: FloatArray) -> FloatArray:
    """Take the solver's rounding away; a luminaire that reaches no piece need not be dimmed."""
    chosen = np.where(chosen < ROUNDING, 0.0, np.where(chosen > 1 - ROUNDING, 1.0, chosen))
    return np.where((gain <= 0) & (most > 0), 1.0, chosen)


def _within(rows: _Rows, chosen: FloatArray) -> FloatArray:
    """Scale away what rounding in the solver leaves above a limit."""
    for level in rows.levels:
        used = float((chosen @ level).max())
        if used > 1:
            chosen = np.where(level.max(axis=1) > 0, chosen / used, chosen)
    return chosen


def _solve(
    rows: _Rows, most: FloatArray, gain: FloatArray, shares: FloatArray, floor: float | None
) -> tuple[FloatArray, float, FloatArray]:
    """Solve one programme: the worst share where `floor` is None, else the gain above the floor."""
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver("GLOP")
    use = [solver.NumVar(0.0, float(bound), "") for bound in most]
    worst = solver.NumVar(0.0, 1.0, "") if floor is None else None
    limits = []
    for row in rows.rows:
        limit = solver.Constraint(-solver.infinity(), 1.0)
        for n in np.flatnonzero(row):
            limit.SetCoefficient(use[n], float(row[n]))
        limits.append(limit)
    for share in shares:
        least = solver.Constraint(floor or 0.0, solver.infinity())
        for n in np.flatnonzero(share):
            least.SetCoefficient(use[n], float(share[n]))
        if worst is not None:
            least.SetCoefficient(worst, -1.0)
    aim = solver.Objective()
    aim.SetMaximization()
    for n in np.flatnonzero(gain):
        aim.SetCoefficient(use[n], float(gain[n]))
    if worst is not None:
        aim.SetCoefficient(worst, 1.0)
    if solver.Solve() not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        raise PhotometryError("The dimming could not be computed: check the levels for extremes.")
    chosen = np.array([variable.solution_value() for variable in use])
    duals = np.array([limit.dual_value() for limit in limits])
    return chosen, aim.Value(), duals


def _bound_by(
    chosen: FloatArray,
    rows: _Rows,
    duals: FloatArray,
    limited: Sequence[Lit],
    room: dict[str, float],
) -> list[str | None]:
    """Name for each luminaire the piece whose limit it presses on most."""
    names: list[str | None] = []
    used = [chosen @ level for level in rows.levels]
    for n in range(len(chosen)):
        found: list[tuple[float, float, str]] = []
        for piece in limited:
            if room[piece.id] <= 0 and piece.lux[n].max() > NOTHING_LUX:
                found.append((np.inf, float(piece.lux[n].max()), piece.id))
        for at, (level, spent) in enumerate(zip(rows.levels, used, strict=True)):
            tight = spent >= 1 - 10 * TIGHT
            reach = float(level[n][tight].max()) if tight.any() else 0.0
            if reach > 0:
                price = sum(
                    abs(float(dual)) * float(row[n])
                    for dual, row, of in zip(duals, rows.rows, rows.of, strict=False)
                    if of == at
                )
                found.append((price, reach, rows.pieces[at].id))
        names.append(max(found)[2] if found else None)
    return names


def _after(piece: Lit, chosen: FloatArray) -> DimmedPiece:
    level = chosen @ piece.lux + piece.other_lux
    high = float(level.max())
    kept = piece.max_lux is None or high <= piece.max_lux * (1 + TIGHT)
    return DimmedPiece(piece.id, float(level.mean()), high, piece.max_lux, kept)
