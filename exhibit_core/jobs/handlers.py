"""Which function does which kind of job."""

from collections.abc import Callable
from typing import Any, Protocol


class Progress(Protocol):
    """Tell how far the work is; raises JobCancelledError when someone asked to stop."""

    def __call__(self, percent: int, words: str = "") -> None: ...


class JobCancelledError(Exception):
    """Somebody asked for this job to stop."""


Handler = Callable[..., dict[str, Any]]
_handlers: dict[str, Handler] = {}


def handles(kind: str) -> Callable[[Handler], Handler]:
    """Register `function(*, payload, by, progress) -> result`.

    The result is JSON; a `url` in it is where the reader goes when the job is done. A RefusedError
    ends the job as failed with its sentence.
    """

    def register(function: Handler) -> Handler:
        _handlers[kind] = function
        return function

    return register


def handler(kind: str) -> Handler:
    return _handlers[kind]
