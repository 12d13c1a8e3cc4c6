"""Put the blocks of each run in order once it is known which hang there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from layouts.blocks import Block
from layouts.problem import Problem
from layouts.search.mirror import mirrored

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
        rows = [rising(slot, blocks) for slot in slots]
        return [
            list(alike) for row in rows for _, alike in groupby(row, lambda i: high_mm(blocks[i]))
        ]
    row = [i for group in groups for i in group]
    if kind == "mirrored":
        widths, sections = [blocks[i].width_mm for i in row], [blocks[i].section for i in row]
        return [[row[n]] for n in mirrored(widths, sections)]
    if kind == "centre_high":
        return [[i] for i in centre_high(row, blocks)]
    return groups


def high_mm(block: Block) -> int:
    """Return the height of a block's highest piece."""
    return max(piece.height_mm for piece in block.pieces)


def rising(row: Sequence[int], blocks: Sequence[Block]) -> list[int]:
    """Return blocks from the smallest to the largest: by height, then by width."""
    return sorted(row, key=lambda i: (high_mm(blocks[i]), blocks[i].width_mm, i))


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
