"""Find the order: parts that no near pair joins are settled one by one, short ones exactly."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from layouts.related.bound import bound_twice
from layouts.related.exact import TRANSITIONS, best_order, transitions
from layouts.related.nesting import search
from layouts.related.row import Group, Near, Row, grouped, members_of, renumbered
from layouts.related.search import LONGEST_AT_ONCE, Effort
from layouts.watch import Watch

STEPS = 500
STEPS_A_PIECE = 20
THINGS_SIFTED = 60_000


@dataclass(frozen=True)
class Order:
    """Pieces by number from left to right; costs are twice the sum of weight times mm.

    No order costs less than `bound_twice`; `proved` says that this one costs just that. `stopped`
    names what ended the search before its work was done: "clock", "cancelled" or nothing. Only
    then may another run give another order.
    """

    order: tuple[int, ...]
    cost_twice: int
    bound_twice: int
    stopped: str = ""

    @property
    def proved(self) -> bool:
        return self.cost_twice == self.bound_twice

    @property
    def cost_mm(self) -> float:
        """Return the sum over near pairs of weight times the distance between centres in mm."""
        return self.cost_twice / 2


def nearest_order(
    widths_mm: Sequence[int],
    near: Sequence[Near],
    *,
    gap_mm: int = 0,
    blocks: Sequence[Sequence[int]] = (),
    blocks_in_order: bool = False,
    seed: int = 0,
    steps: int | None = None,
    seconds: float = 60.0,
    on_progress: Callable[[float], None] = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Order:
    """Return the order that keeps near pairs `(a, b, weight)` nearest, pieces counted from 0.

    Widths and gap are whole mm of at least 0, weights whole numbers of at least 0. Pieces of a
    block stay adjacent; blocks may lie inside others. `blocks_in_order` keeps the outermost blocks,
    which then hold all pieces, in the order given. Pieces and blocks that no pair joins with others
    keep the input's order round those that are joined, and of an order and its mirror image the one
    more like the input comes back.

    Exact up to about 20 joined pieces, or more where blocks divide them; above, `steps` of search
    (by default what takes a few seconds) from a `seed`: the same input gives the same order, unless
    `seconds` run out or it is cancelled, which `stopped` says. Raises ValueError for what cannot be
    read.
    """
    _refuse_unreadable(widths_mm, near, gap_mm)
    root = grouped(len(widths_mm), blocks, in_order=blocks_in_order)
    row = Row.of(widths_mm, near, gap_mm)
    watch = Watch(time.monotonic() + seconds, cancelled)
    parts = _parts(row, root)
    work = _usual_steps(len(widths_mm)) if steps is None else steps
    sequence: list[int] = []
    bound = 0
    for n, part in enumerate(parts):
        members = sorted(part.members)
        report = _Progress(on_progress, n, len(parts), work)
        order, least = _settled(row, members, part, seed, work, watch, report)
        sequence += order
        bound += least
        on_progress((n + 1) / len(parts))
    return Order(tuple(sequence), row.cost_twice(sequence), bound, watch.reason)


def _refuse_unreadable(widths_mm: Sequence[int], near: Sequence[Near], gap_mm: int) -> None:
    if gap_mm < 0 or any(width < 0 for width in widths_mm):
        raise ValueError("Widths and gap must be 0 mm or more.")
    for a, b, weight in near:
        if not (0 <= a < len(widths_mm) and 0 <= b < len(widths_mm)) or a == b:
            raise ValueError(f"The near pair {a} and {b} must name two pieces that are there.")
        if weight < 0:
            raise ValueError(f"The weight of the near pair {a} and {b} must be 0 or more.")


def _usual_steps(count: int) -> int:
    if count > LONGEST_AT_ONCE:
        return max(10, THINGS_SIFTED // count)
    return STEPS + STEPS_A_PIECE * count


@dataclass(frozen=True)
class _Progress:
    report: Callable[[float], None]
    part: int
    parts: int
    steps: int

    def __call__(self, done: int) -> None:
        self.report((self.part + min(1.0, done / max(1, self.steps))) / self.parts)


def _parts(row: Row, root: Group) -> list[Group]:
    """Return groups that no near pair joins, in the input's order.

    Setting down such a part without interruption never costs more than anything else: whatever of
    another part stood inside it only kept its pieces further from each other.
    """
    if root.fixed:
        return [root]
    joined = list(range(len(root.children)))
    owner = {i: n for n, child in enumerate(root.children) for i in members_of(child)}

    def leader(n: int) -> int:
        while joined[n] != n:
            joined[n] = joined[joined[n]]
            n = joined[n]
        return n

    for a, b in np.argwhere(np.triu(row.weights)).tolist():
        first, second = sorted((leader(owner[a]), leader(owner[b])))
        joined[second] = first
    parts: dict[int, list[int | Group]] = {}
    for n, child in enumerate(root.children):
        parts.setdefault(leader(n), []).append(child)
    return [Group(tuple(children)) for children in parts.values()]


def _settled(
    whole: Row,
    members: list[int],
    part: Group,
    seed: int,
    work: int,
    watch: Watch,
    report: Callable[[int], None],
) -> tuple[list[int], int]:
    """Return a part's order and what twice its cost cannot go below."""
    row = whole.part(members)
    group = renumbered(part, {i: n for n, i in enumerate(members)})
    if not row.weights.any():
        return list(part.members), 0
    order = None
    if transitions(group) <= TRANSITIONS:
        try:
            order = best_order(row, group, cancelled=watch)
            least = row.cost_twice(order)
        except InterruptedError:
            order = None
    if order is None:
        order = search(row, group, np.random.default_rng(seed), Effort(work, watch, report))
        least = min(row.cost_twice(order), bound_twice(row, stop=watch))
    turned = order if _has_fixed(group) else _like_input(order)
    return [members[i] for i in turned], least


def _has_fixed(group: Group) -> bool:
    inner = (child for child in group.children if isinstance(child, Group))
    return group.fixed or any(_has_fixed(child) for child in inner)


def _like_input(order: list[int]) -> list[int]:
    """Return the order or its mirror image, whichever keeps more of the input's order."""
    count = len(order)
    leaning = sum((2 * place - count + 1) * i for place, i in enumerate(order))
    mirrored = order[::-1]
    return mirrored if leaning < 0 or (leaning == 0 and mirrored < order) else order
