"""Compute a hang from what is known now, verify the answer and keep it."""

from typing import Any

from exhibit_core.accounts.models import User
from exhibit_core.hangs import actions, queries
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.hangs.problem import Asked, asked_of
from exhibit_core.jobs.handlers import JobCancelledError, Progress
from exhibit_core.web.errors import RefusedError
from layouts import Problem, Solution, check, solve


def in_silence(percent: int, words: str = "") -> None:
    """Report nothing: for callers whom nobody watches."""


def compute(
    *, hang: Hang, by: User, keep: bool = False, progress: Progress = in_silence
) -> HangVersion:
    """Return a new version of a hang, also when it says why nothing can hang.

    With `keep`, as little as possible moves from the latest version that hangs something. Raises
    RefusedError when there is nothing to ask, and passes on JobCancelledError from `progress`.
    """
    progress(1, "Reading objects and walls")
    asked = asked_of(hang)
    if not asked.problem.walls:
        raise RefusedError("This hang has no walls: choose at least one.")
    if not asked.problem.pieces:
        raise RefusedError(_nothing_hangs(asked))
    before = queries.latest_placed(hang) if keep else None
    data = asked.problem.to_dict() | {"previous": before.solution if before else None}
    solution = _solved(data, progress)
    if solution.placements and (faults := check(Problem.from_dict(data), solution)):
        raise RefusedError(f"The answer was wrong and is thrown away: {faults[0].sentence}")
    return actions.save_version(
        hang=hang, problem=data, solution=solution.to_dict(), captions=_captions(asked), by=by
    )


def _nothing_hangs(asked: Asked) -> str:
    if not asked.left_out:
        return "Nothing can hang: select objects on the list and show them on a wall."
    first = asked.left_out[0]
    more = len(asked.left_out) - 1
    others = f" {more} more left out too." if more else ""
    return f"Nothing can hang. {first.entry.object.number}: {first.reason}.{others}"


def _solved(data: dict[str, Any], progress: Progress) -> Solution:
    """Solve while telling how far it is; asked to stop, leave the search and raise."""
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

    solution = solve(data, on_progress=tell, cancelled=cancelled)
    if stopped:
        raise stopped[0]
    return solution


def _captions(asked: Asked) -> dict[str, Any]:
    left_out = [[left.entry.object.number, left.reason] for left in asked.left_out]
    return asked.captions | {"left_out": left_out, "warnings": list(asked.warnings)}
