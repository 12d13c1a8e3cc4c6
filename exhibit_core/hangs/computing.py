"""Compute a hang from what is known now, verify the answer and keep it."""

from collections.abc import Callable
from typing import Any

from exhibit_core.accounts.models import User
from exhibit_core.hangs import actions, queries
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.hangs.problem import Asked, asked_of
from exhibit_core.jobs.handlers import JobCancelledError, Progress
from exhibit_core.web.errors import RefusedError
from layouts import Problem, Solution, check, solve

Search = Callable[..., Solution]


def in_silence(percent: int, words: str = "") -> None:
    """Report nothing: for callers whom nobody watches."""


def compute(
    *,
    hang: Hang,
    by: User,
    keep: bool = False,
    progress: Progress = in_silence,
    search: Search = solve,
) -> HangVersion:
    """Return a new version of a hang, also when it says why nothing can hang.

    With `keep`, as little as possible moves from the latest version that hangs something. Asked to
    stop by a JobCancelledError from `progress`, it keeps the best that was found until then, and
    passes the error on where nothing was. Raises RefusedError when there is nothing to ask.
    """
    progress(1, "Reading objects and walls")
    asked = asked_of(hang)
    if not asked.problem.walls:
        raise RefusedError("This hang has no walls: choose at least one.")
    if not asked.problem.pieces:
        raise RefusedError(_nothing_hangs(asked))
    before = queries.latest_placed(hang) if keep else None
    data = asked.problem.to_dict() | {"previous": before.solution if before else None}
    solution, stopped = _solved(data, progress, search)
    if solution.placements and (faults := check(Problem.from_dict(data), solution)):
        raise RefusedError(f"The answer was wrong and is thrown away: {faults[0].sentence}")
    return actions.save_version(
        hang=hang,
        problem=data,
        solution=solution.to_dict(),
        captions=_captions(asked) | ({"stopped": True} if stopped else {}),
        by=by,
    )


def _nothing_hangs(asked: Asked) -> str:
    if not asked.left_out:
        return "Nothing can hang: select objects on the list and show them on a wall."
    first = asked.left_out[0]
    more = len(asked.left_out) - 1
    others = f" {more} more left out too." if more else ""
    return f"Nothing can hang. {first.entry.object.number}: {first.reason}.{others}"


def _solved(data: dict[str, Any], progress: Progress, search: Search) -> tuple[Solution, bool]:
    """Solve while telling how far it is; return what was found, and whether it was stopped."""
    last = [5, "Computing"]
    stopped: list[JobCancelledError] = []

    def tell(percent: int, words: str) -> None:
        last[:] = [percent, words]
        cancelled()

    def cancelled() -> bool:
        try:
            progress(*last)
        except JobCancelledError as asked_to_stop:
            stopped.append(asked_to_stop)
        return bool(stopped)

    solution = search(data, on_progress=tell, cancelled=cancelled)
    if stopped and not solution.placements:
        raise stopped[0]
    return solution, bool(stopped)


def _captions(asked: Asked) -> dict[str, Any]:
    left_out = [[left.entry.object.number, left.reason] for left in asked.left_out]
    return asked.captions | {"left_out": left_out, "warnings": list(asked.warnings)}
