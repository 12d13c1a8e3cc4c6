"""What hangs elsewhere in one version than in another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Move:
    """An object's wall and left edge in the other version and in this; None where it hung not.

    `along_mm` is how far it moved along one wall, to the right counted positive. `reordered` tells
    those that change run or order from those that only shift, where the answer knows.
    """

    number: str
    was: str | None
    now: str | None
    along_mm: int | None
    reordered: bool = False


def moves(before: Mapping[str, Any], now: Mapping[str, Any], *, kept: bool = False) -> list[Move]:
    """Compare two solutions in the JSON contract, in the order of the visit of the later one.

    `kept` tells that the later one was to disturb the other little.
    """
    old = {row["id"]: row for row in before["placements"]}
    new = {row["id"]: row for row in now["placements"]}
    reordered = {row["id"] for row in now.get("moves", ()) if row.get("relocated")}
    found = [
        Move(
            number,
            _where(old.get(number)),
            _where(new.get(number)),
            _along(old, new, number),
            kept and number in reordered,
        )
        for number in [*new, *(number for number in old if number not in new)]
    ]
    return [move for move in found if move.was != move.now]


def in_words(found: Sequence[Move]) -> str:
    """Say how many came, went, changed wall, and went how far along or up."""
    both = [move for move in found if move.was and move.now]
    along = [abs(move.along_mm) for move in both if move.along_mm]
    said = [
        (sum(move.was is None for move in found), "new"),
        (sum(move.now is None for move in found), "gone"),
        (sum(move.along_mm is None for move in both), "on another wall"),
        (sum(move.reordered for move in found), "on another stretch or in another order"),
        (len(along), f"along the wall by {_range(along)}, {sum(along):,} mm in all"),
        (sum(move.along_mm == 0 for move in both), "only higher or lower"),
    ]
    return "; ".join(f"{count} {words}" for count, words in said if count)


def _range(lengths: Sequence[int]) -> str:
    low, high = min(lengths, default=0), max(lengths, default=0)
    return f"{low:,} mm" if low == high else f"{low:,} to {high:,} mm"


def _where(row: Mapping[str, Any] | None) -> str | None:
    if row is None:
        return None
    return f"{row['wall']}, {row['x_mm']} mm along, {row['hook_mm']} mm high"


def _along(
    old: Mapping[str, Mapping[str, Any]], new: Mapping[str, Mapping[str, Any]], number: str
) -> int | None:
    if number not in old or number not in new or old[number]["wall"] != new[number]["wall"]:
        return None
    return new[number]["x_mm"] - old[number]["x_mm"]
