"""Slide pieces one by one to their neighbours where that makes a group better."""

from __future__ import annotations

from layouts.clustering.search import Wish
from layouts.clustering.skyline import Packing, Place, Size

ROUNDS = 3


def settled(wish: Wish, packing: Packing) -> Packing:
    """Return the packing after each slide that lowers its score, until none does."""
    score = wish.score(packing)
    for _ in range(ROUNDS):
        before = score
        for i in range(len(wish.taken)):
            for axis, sign in ((0, -1), (1, -1), (0, 1), (1, 1)):
                trial = _slid(packing, wish.taken, i, axis, sign)
                if trial is None:
                    continue
                worth = wish.score(trial, score)
                if worth < score:
                    packing, score = trial, worth
        if score >= before:
            break
    return packing


def _slid(
    packing: Packing, taken: tuple[Size, ...], i: int, axis: int, sign: int
) -> Packing | None:
    """Return the packing with a piece slid to the next one that way, or None if it cannot."""
    room = None
    across = 1 - axis
    for j, place in enumerate(packing.places):
        own = packing.places[i]
        if j == i or not (
            place[across] < own[across] + taken[i][across]
            and own[across] < place[across] + taken[j][across]
        ):
            continue
        if sign > 0 and place[axis] > own[axis]:
            free = place[axis] - own[axis] - taken[i][axis]
        elif sign < 0 and place[axis] < own[axis]:
            free = own[axis] - place[axis] - taken[j][axis]
        else:
            continue
        room = free if room is None else min(room, free)
    if not room:
        return None
    places = list(packing.places)
    moved = list(places[i])
    moved[axis] += sign * room
    places[i] = (moved[0], moved[1])
    return at_origin(places, taken)


def at_origin(places: list[Place], taken: tuple[Size, ...]) -> Packing:
    """Return the packing with its lower left corner at 0, 0."""
    left, low = min(x for x, _ in places), min(y for _, y in places)
    shifted = tuple((x - left, y - low) for x, y in places)
    height = max(y + h for (_, y), (_, h) in zip(shifted, taken, strict=True))
    return Packing(shifted, height)
