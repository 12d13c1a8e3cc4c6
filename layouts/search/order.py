"""Put the blocks of each run in order once it is known which hang there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from random import Random

from layouts.blocks import Block
from layouts.problem import Piece, Problem
from layouts.search.mirror import mirrored

TRIES = 4_000
BY_SIZE = ("mirrored", "centre_high")
"""Kinds whose runs have one light throughout and leave it open which side a piece hangs on."""


Ranks = dict[str | None, int]


def section_ranks(
    problem: Problem,
    blocks: Sequence[Block],
    slots: Sequence[Sequence[int]],
    pins: Sequence[tuple[int, str | None]] = (),
) -> Ranks:
    """Return each section's place: as asked, or as the slots of all runs in turn imply.

    `pins` are the slots and sections of pieces fixed in place.
    """
    if problem.arrangement.sections:
        return {name: n for n, name in enumerate(problem.arrangement.sections)}
    spans: dict[str | None, list[int]] = {}
    for number, slot in enumerate(slots):
        for i in slot:
            spans.setdefault(blocks[i].section, []).append(number)
    for number, section in pins:
        spans.setdefault(section, []).append(number)
    ordered = sorted(spans, key=lambda section: (min(spans[section]), max(spans[section])))
    return {section: n for n, section in enumerate(ordered)}


def groups_of(
    problem: Problem, blocks: Sequence[Block], slots: Sequence[Sequence[int]], ranks: Ranks
) -> list[list[int]]:
    """Return groups of blocks in their order along the run; within a group any order will do."""
    rule = problem.arrangement
    if rule.order:
        return [[i] for slot in slots for i in sorted(slot)]
    if rule.kind != "by_section":
        return [sorted(slot) for slot in slots if slot]
    groups: list[list[int]] = []
    for slot in slots:
        for section in sorted({blocks[i].section for i in slot}, key=lambda s: ranks[s]):
            groups.append(sorted(i for i in slot if blocks[i].section == section))
    return groups


def arrange_row(
    problem: Problem, blocks: Sequence[Block], slots: Sequence[Sequence[int]], ranks: Ranks
) -> list[list[int]]:
    """Return a run's blocks in the order its kind asks for, in groups of what may change places."""
    groups = groups_of(problem, blocks, slots, ranks)
    kind = problem.arrangement.kind
    if kind == "rise":
        return [[i] for slot in slots for i in rising(slot, blocks)]
    row = [i for group in groups for i in group]
    if kind == "mirrored":
        widths, sections = [blocks[i].width_mm for i in row], [blocks[i].section for i in row]
        return [[row[n]] for n in mirrored(widths, sections)]
    if kind == "centre_high":
        return [[i] for i in centre_high(row, blocks)]
    return groups


def _height_mm(block: Block) -> int:
    return max(piece.height_mm for piece in block.pieces)


def rising(row: Sequence[int], blocks: Sequence[Block]) -> list[int]:
    """Return blocks from the smallest to the largest: by height, then by width."""
    return sorted(row, key=lambda i: (_height_mm(blocks[i]), blocks[i].width_mm, i))


def centre_high(row: Sequence[int], blocks: Sequence[Block]) -> list[int]:
    """Return blocks with the tallest in the middle, falling towards both ends.

    Neighbours in height face each other; of two, the side that is narrower so far gets the wider.
    """
    rest = rising(row, blocks)
    middle = [rest.pop()] if len(rest) % 2 else []
    left: list[int] = []
    right: list[int] = []
    for n in range(0, len(rest), 2):
        one, other = rest[n : n + 2]
        narrow, wide = sorted((one, other), key=lambda i: blocks[i].width_mm)
        lighter = sum(blocks[i].width_mm for i in left) <= sum(blocks[i].width_mm for i in right)
        left.append(wide if lighter else narrow)
        right.append(narrow if lighter else wide)
    return left + middle + right[::-1]


def keep_apart(
    problem: Problem,
    blocks: Sequence[Block],
    sequences: list[list[list[int]]],
    gap_mm: Sequence[int],
    starts_mm: Sequence[int],
    walls: Sequence[str],
    seed: int,
) -> list[tuple[int, ...]]:
    """Reorder blocks inside their groups until pieces that must part do; mutates `sequences`.

    Returns the pairs of blocks that could not be parted, empty when all are; a block that is too
    near a piece fixed in place, or within itself, comes alone. Seeded swaps that never make it
    worse: the same input gives the same order.
    """
    rules = [
        (a, b, rule.at_least_mm) for rule in problem.apart for a, b in combinations(rule.pieces, 2)
    ]
    if not rules:
        return []
    random = Random(seed)  # noqa: S311
    here = {p.id: n for n, block in enumerate(blocks) for p in block.pieces}
    held = {i for a, b, _ in rules for i in (here.get(a), here.get(b)) if i is not None}
    kind = problem.arrangement.kind
    choices = [r for r, groups in enumerate(sequences) if _open(kind, groups, held)]
    short = _shortfalls(problem, blocks, sequences, gap_mm, starts_mm, walls, rules)
    for _ in range(TRIES if choices else 0):
        if not short:
            break
        r = random.choice(choices)
        before = sequences[r]
        sequences[r] = _changed(kind, blocks, before, held, random)
        now = _shortfalls(problem, blocks, sequences, gap_mm, starts_mm, walls, rules)
        if sum(now.values()) <= sum(short.values()):
            short = now
        else:
            sequences[r] = before
    pairs = [tuple(sorted({here[name] for name in pair if name in here})) for pair in short]
    return [pair for pair in pairs if pair]


def _flat(groups: Sequence[Sequence[int]]) -> list[int]:
    return [i for group in groups for i in group]


def _open(kind: str, groups: Sequence[Sequence[int]], held: set[int]) -> list[int]:
    """Return the groups of a run in which what is held may change places."""
    if kind in BY_SIZE:
        row = _flat(groups)
        return [0] if len(row) > 1 and held & set(row) else []
    return [g for g, group in enumerate(groups) if len(group) > 1 and held & set(group)]


def _changed(
    kind: str, blocks: Sequence[Block], groups: list[list[int]], held: set[int], random: Random
) -> list[list[int]]:
    """Return a run's groups after one change that its kind allows."""
    row = _flat(groups)
    if kind == "mirrored":
        return [[i] for i in _other_pairs(row, random)]
    if kind == "centre_high":
        return [[i] for i in _other_side(row, blocks, random)]
    g = random.choice(_open(kind, groups, held))
    group = list(groups[g])
    a, b = random.sample(range(len(group)), 2)
    group[a], group[b] = group[b], group[a]
    return [*groups[:g], group, *groups[g + 1 :]]


def _other_pairs(row: Sequence[int], random: Random) -> list[int]:
    """Let two facing pairs change places, or turn one round: who faces whom stays."""
    new, last = list(row), len(row) - 1
    a, b = (random.randrange(len(row) // 2) for _ in range(2))
    if a == b:
        b = last - a
    else:
        new[last - a], new[last - b] = row[last - b], row[last - a]
    new[a], new[b] = row[b], row[a]
    return new


def _other_side(row: Sequence[int], blocks: Sequence[Block], random: Random) -> list[int]:
    """Move a block to the other side of the highest, to its place by height."""
    at = random.randrange(len(row))
    high = _height_mm(blocks[row[at]])
    rest = [i for i in row if i != row[at]]
    heights = [_height_mm(blocks[i]) for i in rest]
    if high > max(heights):
        return list(row)
    top = heights.index(max(heights))
    if at <= top:
        place = next((n for n in range(len(rest), top, -1) if heights[n - 1] >= high), top + 1)
    else:
        place = next(n for n in range(top + 1) if heights[n] >= high)
    return [*rest[:place], row[at], *rest[place:]]


def _shortfalls(
    problem: Problem,
    blocks: Sequence[Block],
    sequences: Sequence[Sequence[Sequence[int]]],
    gap_mm: Sequence[int],
    starts_mm: Sequence[int],
    walls: Sequence[str],
    rules: Sequence[tuple[str, str, int]],
) -> dict[tuple[str, str], int]:
    """Return by how much each pair is too close; a millimetre a gap is allowed for rounding."""
    edges: dict[str, tuple[str, int, int]] = {
        p.id: (p.wall, p.x_mm, p.x_mm + p.width_mm)
        for p in problem.pieces
        if p.wall is not None and p.x_mm is not None
    }
    for r, groups in enumerate(sequences):
        at = starts_mm[r]
        for piece in _pieces(blocks, groups):
            left = at + piece.lead_mm
            edges[piece.id] = (walls[r], left, left + piece.width_mm)
            at += piece.block_mm + gap_mm[r]
    short = {}
    for a, b, least in rules:
        if a not in edges or b not in edges or edges[a][0] != edges[b][0]:
            continue
        first, second = sorted((edges[a], edges[b]), key=lambda edge: edge[1])
        between = second[1] - first[2]
        if between < least + 1:
            short[a, b] = least + 1 - between
    return short


def _pieces(blocks: Sequence[Block], groups: Sequence[Sequence[int]]) -> list[Piece]:
    return [piece for group in groups for i in group for piece in blocks[i].pieces]
