"""Find many items of which no two may share a case: each needs a case of its own."""

from __future__ import annotations

from collections.abc import Sequence

MOST_STEPS = 4_000


def largest_clique(neighbours: Sequence[int], *, steps: int = MOST_STEPS) -> list[int]:
    """Return a large set of mutual neighbours in a graph of bit masks; largest if steps suffice.

    Branch and bound with a greedy colouring as bound, after Tomita and Kameda 2007, from memory.

    >>> largest_clique([0b0110, 0b0101, 0b1011, 0b0100])
    [0, 1, 2]
    """
    n = len(neighbours)
    best: list[int] = []
    left = steps
    start = sorted(range(n), key=lambda v: (-neighbours[v].bit_count(), v))

    def colours(candidates: int) -> list[tuple[int, int]]:
        """Return vertices with colour numbers, smallest colour first."""
        found = []
        colour, rest = 0, candidates
        while rest:
            colour += 1
            free = rest
            for v in start:
                if free >> v & 1:
                    found.append((v, colour))
                    rest &= ~(1 << v)
                    free &= ~(1 << v) & ~neighbours[v]
                    if not free:
                        break
        return found

    def grow(chosen: list[int], candidates: int) -> None:
        nonlocal best, left
        left -= 1
        if not candidates:
            if len(chosen) > len(best):
                best = list(chosen)
            return
        for v, colour in reversed(colours(candidates)):
            if left <= 0 or len(chosen) + colour <= len(best):
                return
            grow([*chosen, v], candidates & neighbours[v])
            candidates &= ~(1 << v)

    greedy: list[int] = []
    for v in start:
        if all(neighbours[v] >> u & 1 for u in greedy):
            greedy.append(v)
    best = greedy
    if n:
        grow([], (1 << n) - 1)
    return sorted(best)
