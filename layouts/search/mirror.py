"""Symmetrical order: sizes first, then as few places as can be where one section meets another.

Neighbours in width face each other, which makes the sum of differences least; with an odd count
the middle is the piece whose leaving makes it least. What that leaves open serves the sections: of
equal widths those of one section face each other, and pairs of like sections follow each other
from the ends inwards, so that each section hangs in one part of the run, or in two that mirror.
Where there is nothing to choose, pairs keep the input's order from the ends inwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, groupby

Section = str | None
Pair = tuple[int, int]
Sides = tuple[Section, Section]
"""The sections of a pair's left and right piece."""
States = dict[tuple[int, Sides], tuple[int, tuple[tuple[int, int], ...]]]
"""Sorts set so far and the last one's sides; how often sections meet, and sorts with their turns.
"""

EXACT_SORTS = 8
"""Up to so many sorts of pairs every order of them is weighed; above, the best few go on."""
STATES = 2_000
WORK = 3_000
SWAPS = 10_000


def mirrored(widths_mm: Sequence[int], sections: Sequence[Section] = ()) -> list[int]:
    """Return the most nearly symmetrical order, as positions in the input."""
    if len(set(sections)) > 1:
        pairs, middle = _of_sections(widths_mm, sections)
        pairs = _nested(pairs, middle, sections)
    else:
        pairs, middle = _of_neighbours(widths_mm)
    order = [a for a, _ in pairs] + middle + [b for _, b in reversed(pairs)]
    if len(set(sections)) > 1:
        _exchange(order, widths_mm, sections)
    return order


def _of_neighbours(widths_mm: Sequence[int]) -> tuple[list[Pair], list[int]]:
    by_width = sorted(range(len(widths_mm)), key=lambda i: (widths_mm[i], i))
    middle = [by_width.pop(_odd_one(widths_mm, by_width))] if len(by_width) % 2 else []
    pairs = [_pair(*by_width[n : n + 2]) for n in range(0, len(by_width), 2)]
    return sorted(pairs), middle


def _pair(a: int, b: int) -> Pair:
    return min(a, b), max(a, b)


def _odd_one(widths_mm: Sequence[int], by_width: Sequence[int]) -> int:
    """Return the place in sorted order whose leaving makes the sum of differences least."""
    count = len(by_width)
    width = [widths_mm[i] for i in by_width]
    before = [0]
    for n in range(0, count - 1, 2):
        before.append(before[-1] + width[n + 1] - width[n])
    after = [0]
    for n in range(count - 1, 0, -2):
        after.append(after[-1] + width[n] - width[n - 1])
    costs = [before[n // 2] + after[(count - 1 - n) // 2] for n in range(0, count, 2)]
    return 2 * costs.index(min(costs))


def _of_sections(
    widths_mm: Sequence[int], sections: Sequence[Section]
) -> tuple[list[Pair], list[int]]:
    """Pair neighbours in width, of equal ones those of one section."""
    by_width = sorted(range(len(widths_mm)), key=lambda i: (widths_mm[i], i))
    odd = widths_mm[by_width[_odd_one(widths_mm, by_width)]] if len(by_width) % 2 else None
    pairs: list[Pair] = []
    middle: list[int] = []
    waiting: int | None = None
    for width, equal in groupby(by_width, key=lambda i: widths_mm[i]):
        left = list(equal)
        if waiting is not None:
            pairs.append(_pair(waiting, _take(left, sections, sections[waiting])))
            waiting = None
        if width == odd:
            middle.append(_take(left, sections))
        for name in dict.fromkeys(sections[i] for i in left):
            own = [i for i in left if sections[i] == name]
            for a, b in zip(own[::2], own[1::2], strict=False):
                pairs.append((a, b))
                left = [i for i in left if i not in (a, b)]
        pairs += [_pair(a, b) for a, b in zip(left[::2], left[1::2], strict=False)]
        waiting = left[-1] if len(left) % 2 else None
    return sorted(pairs), middle


def _exchange(order: list[int], widths_mm: Sequence[int], sections: Sequence[Section]) -> None:
    """Let pieces of equal width change places where sections meet less often for it."""
    alike: dict[int, list[int]] = {}
    for place, i in enumerate(order):
        alike.setdefault(widths_mm[i], []).append(place)
    choices = [c for places in alike.values() for c in combinations(places, 2)]
    for a, b in choices if len(choices) <= SWAPS else ():
        before = _met(order, sections, a, b)
        if before and sections[order[a]] != sections[order[b]]:
            order[a], order[b] = order[b], order[a]
            if _met(order, sections, a, b) >= before:
                order[a], order[b] = order[b], order[a]


def _met(order: Sequence[int], sections: Sequence[Section], a: int, b: int) -> int:
    """Count where sections meet just before and just behind two places."""
    ends = {n for place in (a, b) for n in (place, place + 1) if 0 < n < len(order)}
    return sum(sections[order[n - 1]] != sections[order[n]] for n in ends)


def _take(left: list[int], sections: Sequence[Section], like: Section = None) -> int:
    """Take out one of a section, or else one that is odd in its section."""
    counts = [sections[i] for i in left]
    alike = [i for i in left if sections[i] == like]
    alone = [i for i in left if counts.count(sections[i]) % 2]
    chosen = [*alike, *alone, *left][0]
    left.remove(chosen)
    return chosen


def _nested(
    pairs: Sequence[Pair], middle: Sequence[int], sections: Sequence[Section]
) -> list[Pair]:
    """Return the pairs from the ends inwards, turned so that sections meet as seldom as can be.

    Pairs of a sort belong next to each other: taking one out from between others adds no meeting.
    """
    sorts: dict[frozenset[Section], list[Pair]] = {}
    for a, b in pairs:
        sorts.setdefault(frozenset((sections[a], sections[b])), []).append((a, b))
    inner = sections[middle[0]] if middle else None
    nested: list[Pair] = []
    for sort, (left, _) in _sequence(list(sorts), inner, odd=bool(middle)):
        for a, b in sorts[sort]:
            nested.append((a, b) if sections[a] == left else (b, a))
    return nested


def _sequence(
    sorts: Sequence[frozenset[Section]], inner: Section, *, odd: bool
) -> list[tuple[frozenset[Section], Sides]]:
    """Return sorts of pairs and their sides from the ends inwards, fewest meetings first."""
    turns: list[list[Sides]] = []
    for sort in sorts:
        names = sorted(sort, key=lambda name: (name is None, name or ""))
        a, b = names[0], names[-1]
        turns.append([(a, b)] if a == b else [(a, b), (b, a)])
    few = STATES if len(sorts) <= EXACT_SORTS else max(1, WORK // len(sorts) ** 2)
    states: States = {
        (1 << n, sides): (0, ((n, turn),))
        for n, ways in enumerate(turns)
        for turn, sides in enumerate(ways)
    }
    for _ in range(len(sorts) - 1):
        states = _one_further(states, turns, few)
    ends = [
        (cost + ((a != inner) + (inner != b) if odd else a != b), path)
        for (_, (a, b)), (cost, path) in states.items()
    ]
    _, path = min(ends, default=(0, ()))
    return [(sorts[n], turns[n][turn]) for n, turn in path]


def _one_further(states: States, turns: Sequence[Sequence[Sides]], few: int) -> States:
    """Return the few best states with each sort set behind them that they lack."""
    further: States = {}
    for (used, last), (cost, path) in sorted(states.items(), key=lambda state: state[1])[:few]:
        for n, ways in enumerate(turns):
            for turn, sides in enumerate(ways if not used >> n & 1 else ()):
                met = cost + (sides[0] != last[0]) + (sides[1] != last[1])
                key, worth = (used | 1 << n, sides), (met, (*path, (n, turn)))
                if key not in further or worth < further[key]:
                    further[key] = worth
    return further
