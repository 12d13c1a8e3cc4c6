"""Dim luminaires so that every piece keeps its limit and is otherwise as bright as can be.

Light is proportional to dimming, so this is a linear programme. Two aims, in this order: the piece
that reaches the smallest share of its limit reaches as much as can be (pieces that get stray light
only, a tenth of their limit at most, do not count here); then the sum over the pieces of mean level
to limit is as high as can be. Every point of a piece counts for its limit, its mean for its
brightness. No luminaire can then be raised without breaking a limit; the piece in the way is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from conservation.photometry.illuminance import MOST_LUMINAIRES
from conservation.photometry.model import FloatArray, PhotometryError
from conservation.photometry.programme import Levels, brightest
from conservation.ranges import in_range

HIGHEST_LUX = 200_000.0
MOST_PIECES = 2_000
TIGHT = 1e-6
NOTHING_LUX = 1e-6


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
    limited = [piece for piece in pieces if piece.max_lux is not None]
    full = [piece for piece in limited if _room(piece) <= 0]
    open_ = [piece for piece in limited if _room(piece) > 0 and piece.lux.any()]
    most = np.ones(count)
    for piece in full:
        most[piece.lux.max(axis=1) > NOTHING_LUX] = 0.0
    shares = [piece.lux / _room(piece) for piece in open_]
    gain = sum((share.mean(axis=1) for share in shares), np.zeros(count))
    for piece in pieces:
        if piece.max_lux is None and piece.lux.any():
            gain += piece.lux.mean(axis=1) / piece.lux.mean(axis=1).sum()
    chosen, prices = brightest(Levels(shares, most), gain)
    bound = _bound_by(full, [piece.id for piece in open_], shares, chosen, prices)
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


def _bound_by(
    full: Sequence[Lit],
    names: Sequence[str],
    shares: Sequence[FloatArray],
    chosen: FloatArray,
    prices: dict[tuple[int, int], float],
) -> list[str | None]:
    """Name the piece in each luminaire's way: full already, or the tight one that costs it most."""
    found: list[tuple[float, float, str] | None] = [None] * len(chosen)

    def offer(n: int, price: float, reach: float, name: str) -> None:
        offered, known = (price, reach, name), found[n]
        found[n] = offered if known is None else max(known, offered)

    for piece in full:
        highest = piece.lux.max(axis=1)
        for n in np.flatnonzero(highest > NOTHING_LUX):
            offer(int(n), np.inf, float(highest[n]), piece.id)
    for at, (name, share) in enumerate(zip(names, shares, strict=True)):
        tight = share[:, chosen @ share >= 1 - TIGHT]
        if not tight.size:
            continue
        reach = tight.max(axis=1)
        cost = sum(
            (
                price * share[:, point]
                for (piece_at, point), price in prices.items()
                if piece_at == at
            ),
            np.zeros(len(chosen)),
        )
        for n in np.flatnonzero(reach > 0):
            offer(int(n), float(cost[n]), float(reach[n]), name)
    return [item[2] if item else None for item in found]


def _after(piece: Lit, chosen: FloatArray) -> DimmedPiece:
    level = chosen @ piece.lux + piece.other_lux
    high = float(level.max())
    kept = piece.max_lux is None or high <= piece.max_lux * (1 + TIGHT)
    return DimmedPiece(piece.id, float(level.mean()), high, piece.max_lux, kept)
