"""What other apps show on an object's page.

An app above the register adds a function once, in its AppConfig:

    panels.add(order=10, panel=listed_in)

The function gets the object and the person who looks, and returns the name of a template and what
that template gets as `panel`, or None to show nothing. The template brings its own heading (h2) and
shows nothing that the person may not see.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from exhibit_core.accounts.models import User
from exhibit_core.register.models import MuseumObject

Panel = Callable[[MuseumObject, User], tuple[str, Mapping[str, Any]] | None]
_panels: list[tuple[int, Panel]] = []


@dataclass(frozen=True)
class Shown:
    template: str
    context: Mapping[str, Any]


def add(*, order: int, panel: Panel) -> None:
    """Show a panel on every object's page; lower orders come first."""
    if panel not in {known for _, known in _panels}:
        _panels.append((order, panel))
        _panels.sort(key=lambda pair: pair[0])


def panels_for(obj: MuseumObject, user: User) -> list[Shown]:
    found = (panel(obj, user) for _, panel in _panels)
    return [Shown(*answer) for answer in found if answer is not None]
