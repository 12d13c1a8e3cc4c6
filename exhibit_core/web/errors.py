"""Expected refusals: an action raises one, a view turns it into a sentence."""

from collections.abc import Mapping
from typing import Any


class RefusedError(Exception):
    """An action declines what was asked; the message is a sentence for the person who asked."""


class StaleError(RefusedError):
    """Somebody else changed the row since the form was opened.

    `theirs` holds the stored values of the fields that the form wanted to change.
    """

    def __init__(self, message: str, *, theirs: Mapping[str, Any], version: int) -> None:
        super().__init__(message)
        self.theirs = dict(theirs)
        self.version = version
