"""Propose where free-standing pieces stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from layouts.floor.problem import Floor
from layouts.floor.report import Finding, Spacing

Progress = Callable[[float], bool]


@dataclass(frozen=True)
class Arranged:
    """A floor with every piece in its place, how even it is, and what could not be done."""

    floor: Floor
    spacing: Spacing | None = None
    findings: tuple[Finding, ...] = ()


def arrange(floor: Floor, on_progress: Progress | None = None) -> Arranged:
    return Arranged(floor)
