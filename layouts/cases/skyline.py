"""Fill one rectangle with all of a set of boxes, by a skyline that grows from the front.

At the lowest place of the skyline the box that fits it best is set; a seeded search changes the
order in which equally good boxes come. Skylines follow Burke, Kendall and Whitwell 2004 and Leung
and Zhang 2011, from memory.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

Rect = tuple[int, int, bool]
Spot = tuple[int, int, bool]
# A box by number as it would stand: width, depth, turned or not.
Way = tuple[int, int, int, bool]


def fill(
    boxes: Sequence[Rect], width: int, depth: int, *, tries: int = 1, seed: int = 0
) -> list[Spot] | None:
    """Return (x, y, turned) for each box (width, depth, may be turned), or None if none is found.

    None proves nothing. `tries` limits the seeded changes of order; equal input gives equal output.
    """
    if sum(w * d for w, d, _ in boxes) > width * depth:
        return None
    keys = (
        lambda n: -boxes[n][0] * boxes[n][1],
        lambda n: -max(boxes[n][0], boxes[n][1]),
        lambda n: -boxes[n][0],
        lambda n: -boxes[n][1],
        lambda n: -boxes[n][0] - boxes[n][1],
    )
    best_order: list[int] | None = None
    best_left = 1 << 62
    done = 0
    for key in keys:
        order = sorted(range(len(boxes)), key=key)
        spots, rest = grow(boxes, order, width, depth)
        left = sum(boxes[n][0] * boxes[n][1] for n in rest)
        done += 1
        if not left:
            return spots
        if left < best_left:
            best_order, best_left = order, left
        if done >= tries:
            return None
    dice = random.Random(seed)  # noqa: S311
    assert best_order is not None  # noqa: S101
    while done < tries:
        order = list(best_order)
        for _ in range(dice.randint(1, 3)):
            a, b = dice.randrange(len(order)), dice.randrange(len(order))
            order[a], order[b] = order[b], order[a]
        spots, rest = grow(boxes, order, width, depth)
        left = sum(boxes[n][0] * boxes[n][1] for n in rest)
        done += 1
        if not left:
            return spots
        if left <= best_left:
            best_order, best_left = order, left
    return None


def grow(
    boxes: Sequence[Rect], order: list[int], width: int, depth: int
) -> tuple[list[Spot], list[int]]:
    """Set boxes on the skyline; return all spots, and the numbers of those left over."""
    spots: list[Spot] = [(0, 0, False)] * len(boxes)
    todo: list[Way] = []
    for n in order:
        w, d, turns = boxes[n]
        todo.append((n, w, d, False))
        if turns and w != d:
            todo.append((n, d, w, True))
    xs, tops, wide = [0], [0], [width]
    while todo:
        y = min(tops)
        if y >= depth:
            break
        low = tops.index(y)
        room = depth - y
        left = tops[low - 1] - y if low else room
        right = tops[low + 1] - y if low + 1 < len(tops) else room
        at = _fitting(todo, wide[low], room, left, right)
        if at is None:
            # Nothing fits there: the skyline grows to its lower neighbour.
            tops[low] = y + min(left, right)
        else:
            n, w, d, turned = todo[at]
            todo = [way for way in todo if way[0] != n]
            x, rest = xs[low], wide[low] - w
            on_left = abs(left - d) <= abs(right - d)
            spots[n] = (x if on_left else x + rest, y, turned)
            if not rest:
                tops[low] = y + d
            elif on_left:
                xs[low : low + 1] = [x, x + w]
                tops[low : low + 1] = [y + d, y]
                wide[low : low + 1] = [w, rest]
            else:
                xs[low : low + 1] = [x, x + rest]
                tops[low : low + 1] = [y, y + d]
                wide[low : low + 1] = [rest, w]
        _join(xs, tops, wide)
    return spots, list(dict.fromkeys(way[0] for way in todo))


def _fitting(todo: list[Way], w: int, room: int, left: int, right: int) -> int | None:
    """Return which way to stand fits a place best, the first of equals; None where none does."""
    best, best_score = None, -1
    for at, (_, bw, bd, _) in enumerate(todo):
        if bw > w or bd > room:
            continue
        score = 2 if bw == w else 0
        if bd in (left, right):
            score += 1
        if score > best_score:
            best, best_score = at, score
            if score == 3:
                break
    return best


def _join(xs: list[int], tops: list[int], wide: list[int]) -> None:
    """Make one of neighbouring parts of the skyline that are equally high."""
    n = 1
    while n < len(tops):
        if tops[n] == tops[n - 1]:
            wide[n - 1] += wide[n]
            del xs[n], tops[n], wide[n]
        else:
            n += 1
