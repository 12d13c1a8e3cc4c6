"""Verify an order with code that the search does not use: places first, then distances."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from layouts.related.order import Order


def cost_mm(
    order: Sequence[int],
    widths_mm: Sequence[int],
    near: Sequence[tuple[int, int, int]],
    gap_mm: int = 0,
) -> Fraction:
    """Return the sum of weight times the distance between centres, pieces set down one by one."""
    centre: dict[int, Fraction] = {}
    at = Fraction(0)
    for piece in order:
        centre[piece] = at + Fraction(widths_mm[piece], 2)
        at += widths_mm[piece] + gap_mm
    return sum((weight * abs(centre[a] - centre[b]) for a, b, weight in near), Fraction(0))


def faults(
    answer: Order,
    widths_mm: Sequence[int],
    near: Sequence[tuple[int, int, int]],
    *,
    gap_mm: int = 0,
    blocks: Sequence[Sequence[int]] = (),
    blocks_in_order: bool = False,
) -> list[str]:
    """Return a sentence for each fault of an answer, none when it is right."""
    if sorted(answer.order) != list(range(len(widths_mm))):
        return ["Each piece must stand in the row once."]
    found = []
    cost = cost_mm(answer.order, widths_mm, near, gap_mm)
    if 2 * cost != answer.cost_twice:
        found.append(f"The order costs {float(cost)} mm, not {answer.cost_mm} mm.")
    if answer.bound_twice > answer.cost_twice:
        found.append("The bound is higher than the cost.")
    place = {piece: n for n, piece in enumerate(answer.order)}
    spans = [(min(place[i] for i in b), max(place[i] for i in b)) for b in blocks if len(b)]
    for block, (first, last) in zip((b for b in blocks if len(b)), spans, strict=True):
        if last - first + 1 != len(set(block)):
            found.append(f"Block {sorted(set(block))} is interrupted.")
    if blocks_in_order:
        outer = [
            span
            for span, block in zip(spans, (b for b in blocks if len(b)), strict=True)
            if not any(set(block) < set(other) for other in blocks)
        ]
        if outer != sorted(outer):
            found.append("The blocks stand out of order.")
    return found
