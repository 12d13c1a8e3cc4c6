"""Verify a group with code that the search does not use: piece against piece, then its blanks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from layouts.clustering.group import Cluster

Box = tuple[int, int, int, int]


def faults(answer: Cluster, sizes_mm: Sequence[tuple[int, int]], gap_mm: int) -> list[str]:
    """Return a sentence for each fault of an answer, none when it is right."""
    if len(answer.places_mm) != len(sizes_mm):
        return ["Each piece must have a place."]
    boxes = [
        (x, y, x + w, y + h) for (x, y), (w, h) in zip(answer.places_mm, sizes_mm, strict=True)
    ]
    found = []
    for (a, one), (b, other) in combinations(enumerate(boxes), 2):
        if (apart := _apart(one, other)) < gap_mm or _overlap(one, other):
            found.append(f"Pieces {a} and {b} are {apart} mm apart, less than {gap_mm} mm.")
    if min(box[0] for box in boxes) != 0 or min(box[1] for box in boxes) != 0:
        found.append("The group does not begin at 0, 0.")
    reached = max(box[2] for box in boxes), max(box[3] for box in boxes)
    if reached != (answer.width_mm, answer.height_mm):
        found.append(f"The group measures {reached[0]} by {reached[1]} mm.")
    area = sum((w + gap_mm) * (h + gap_mm) for w, h in sizes_mm)
    box = (answer.width_mm + gap_mm) * (answer.height_mm + gap_mm)
    if abs(area / box - answer.filled) > 1e-9:
        found.append(f"The group fills {area / box:.3f} of its box, not {answer.filled:.3f}.")
    sides = _facing(boxes)
    if sides:
        even = sum(side == gap_mm for side in sides) / len(sides)
        said = answer.gaps
        if (min(sides), max(sides)) != (said.least_mm, said.largest_mm):
            found.append(f"Gaps range from {min(sides)} to {max(sides)} mm.")
        if abs(even - said.even_share) > 1e-9:
            found.append(f"Of the gaps, {even:.3f} are just the one asked.")
    return found


def _apart(one: Box, other: Box) -> int:
    """Return the larger of the distances along both axes."""
    across = max(other[0] - one[2], one[0] - other[2])
    upright = max(other[1] - one[3], one[1] - other[3])
    return max(across, upright)


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _facing(boxes: Sequence[Box]) -> list[int]:
    """Return, for each side that faces a piece, the distance to the nearest."""
    sides = []
    for a, one in enumerate(boxes):
        right, left, up, down = [], [], [], []
        for b, other in enumerate(boxes):
            if a == b:
                continue
            if one[1] < other[3] and other[1] < one[3]:
                if other[0] >= one[2]:
                    right.append(other[0] - one[2])
                if other[2] <= one[0]:
                    left.append(one[0] - other[2])
            if one[0] < other[2] and other[0] < one[2]:
                if other[1] >= one[3]:
                    up.append(other[1] - one[3])
                if other[3] <= one[1]:
                    down.append(one[1] - other[3])
        sides += [min(way) for way in (right, left, up, down) if way]
    return sides
