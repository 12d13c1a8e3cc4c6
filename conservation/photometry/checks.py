"""Verify a dimming with code that the search does not use: limits kept, nothing left to gain."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from conservation.photometry.dimming import NOTHING_LUX, Dimming, Lit
from conservation.photometry.model import FloatArray

ROUNDING = 1e-5
RAISE = 1e-3


def dimming_faults(luminaires: Sequence[str], pieces: Sequence[Lit], answer: Dimming) -> list[str]:
    """Return what is wrong with a dimming, in sentences; an empty list means nothing.

    Checks limits in lx at every point, dimming 0 to 1, and that no luminaire below full output can
    be raised by 0.1 % without breaking a limit. Any answer is taken; no errors. Source: definition
    of the task.

    >>> from conservation.photometry.dimming import dim
    >>> pieces = [Lit("P1", np.array([[80.0, 100.0]]), 50)]
    >>> dimming_faults(["L1"], pieces, dim(["L1"], pieces))
    []
    """
    by_name = {item.luminaire: item for item in answer.luminaires}
    if sorted(by_name) != sorted(luminaires):
        return ["The answer names other luminaires than were given."]
    use = np.array([by_name[name].dimming for name in luminaires])
    faults = [
        f"{name} is dimmed to {value}."
        for name, value in zip(luminaires, use, strict=True)
        if not 0 <= value <= 1
    ]
    for piece in pieces:
        high = float((use @ piece.lux).max())
        room = None if piece.max_lux is None else max(0.0, piece.max_lux - piece.other_lux)
        if room is not None and high > room * (1 + ROUNDING) + NOTHING_LUX:
            faults.append(f"{piece.id} has {high:g} lx of luminaires where {room:g} may be.")
    for n, name in enumerate(luminaires):
        bound = by_name[name].bound_by
        if use[n] < 1 - ROUNDING and not _breaks(n, use, pieces, None):
            faults.append(f"{name} could be brighter.")
        if bound is not None and not _breaks(n, use, pieces, bound):
            faults.append(f"{name} is not bound by {bound}.")
    return faults


def _breaks(n: int, use: FloatArray, pieces: Sequence[Lit], only: str | None) -> bool:
    """Whether raising one luminaire to slightly more breaks a limit (of one piece, or of any)."""
    more = use.copy()
    more[n] = min(1.0, use[n] + RAISE)
    for piece in pieces:
        if piece.max_lux is None or (only is not None and piece.id != only):
            continue
        room = max(0.0, piece.max_lux - piece.other_lux)
        level = more @ piece.lux
        grown = level > use @ piece.lux
        if (level[grown] > room * (1 - ROUNDING)).any():
            return True
    return False
