"""What a demand is, and what is known of each kind of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from layouts.problem import Problem

Amounts = Sequence[int]


@dataclass(frozen=True)
class Demand:
    """One demand in words, with the problem's pieces and walls that it is about.

    `number` tells demands of one kind on one wall from each other.
    """

    rule: str
    words: str
    pieces: tuple[str, ...] = ()
    walls: tuple[str, ...] = ()
    number: int = 0


@dataclass(frozen=True)
class Kind:
    """A kind of demand.

    `levels` gives the amounts by which it may give way, from the least to the whole; a kind
    without can only be given up. With `monotone` more never does harm. A kind named `beside`
    others is none that could be given up: it is offered where those are in the way.
    """

    rule: str
    find: Callable[[Problem], Iterator[Demand]]
    loosen: Callable[[Problem, Demand, int], Problem]
    say: Callable[[Problem, Demand, int], str]
    levels: Callable[[Problem, Demand], Amounts] | None = None
    unit: str = ""
    monotone: bool = True
    beside: tuple[str, ...] = ()


def listed(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)
