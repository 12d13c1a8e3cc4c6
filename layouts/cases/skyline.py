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
    todo = list(order)
    line = [[0, 0, width]]
    while todo:
        low = min(range(len(line)), key=lambda s: (line[s][1], line[s][0]))
        x, y, w = line[low]
        if y >= depth:
            break
        left = line[low - 1][1] - y if low else depth - y
        right = line[low + 1][1] - y if low + 1 < len(line) else depth - y
        chosen = _fitting(boxes, todo, w, depth - y, left, right)
        if chosen is None:
            _raise(line, low, depth)
            continue
        at, turned = chosen
        n = todo.pop(at)
        bw, bd = boxes[n][:2]
        if turned:
            bw, bd = bd, bw
        on_left = abs(left - bd) <= abs(right - bd)
        bx = x if on_left else x + w - bw
        spots[n] = (bx, y, turned)
        _set(line, low, bx, bw, y + bd)
    return spots, todo


def _fitting(
    boxes: Sequence[Rect], todo: list[int], w: int, room: int, left: int, right: int
) -> tuple[int, bool] | None:
    best: tuple[int, bool] | None = None
    best_score = -1
    for at, n in enumerate(todo):
        bw, bd, turns = boxes[n]
        for turned in (False, True) if turns and bw != bd else (False,):
            if turned:
                bw, bd = bd, bw
            if bw > w or bd > room:
                continue
            score = 0
            if bw == w:
                score = 2
            if bd in (left, right):
                score += 1
            if score > best_score:
                best, best_score = (at, turned), score
        if best_score == 3:
            break
    return best


def _raise(line: list[list[int]], low: int, depth: int) -> None:
    """Give up the place: nothing fits there, so the skyline grows to its lower neighbour."""
    left = line[low - 1][1] if low else depth
    right = line[low + 1][1] if low + 1 < len(line) else depth
    line[low][1] = min(left, right)
    _join(line)


def _set(line: list[list[int]], low: int, bx: int, bw: int, top: int) -> None:
    x, y, w = line[low]
    parts = []
    if bx > x:
        parts.append([x, y, bx - x])
    parts.append([bx, top, bw])
    if bx + bw < x + w:
        parts.append([bx + bw, y, x + w - bx - bw])
    line[low : low + 1] = parts
    _join(line)


def _join(line: list[list[int]]) -> None:
    n = 1
    while n < len(line):
        if line[n][1] == line[n - 1][1]:
            line[n - 1][2] += line[n][2]
            del line[n]
        else:
            n += 1
