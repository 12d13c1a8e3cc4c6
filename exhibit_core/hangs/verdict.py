"""An answer in words: what is proved of it, how it came out, and what would help where none is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from exhibit_core.hangs.models import Hang, HangVersion

Data = Mapping[str, Any]
Fact = tuple[str, str]

NONE_KEEPS_ALL = {
    "infeasible": "No hang keeps every demand.",
    "not_found": "No hang was found in the time given; that there is none is not proved.",
    "invalid": "The demands contradict themselves.",
}
_PROVED = {
    Hang.Kind.CLUSTER: "Proved: the groups have no blank, and all neighbours hang at one gap.",
    Hang.Kind.RELATED: "Proved: no hang that keeps every demand brings nearer what belongs "
    "together.",
}
_PROVED_EVEN = "Proved: no hang that keeps every demand has more even gaps."
_OPEN = {
    Hang.Kind.CLUSTER: "Whether the groups could be tighter is not proved",
    Hang.Kind.RELATED: "Whether what belongs together could come nearer is not proved",
}
_OPEN_EVEN = "Whether a more even hang exists is not proved"
# An answer that was to disturb an earlier one little has a bound on that.
_PROVED_LEAST = "Proved: no hang that keeps every demand disturbs the one before less."
_OPEN_LEAST = "Whether a hang exists that disturbs the one before less is not proved"
_LEAST = "relocated"
TO_GRANT = ("light", "dose", "load", "load_per_metre")


def verdict(version: HangVersion) -> str:
    """Say in a few sentences what an answer is worth."""
    if not version.places:
        return NONE_KEEPS_ALL[version.status]
    kind = version.problem["arrangement"]["kind"]
    gaps = _gaps(kind, version.solution["measures"])
    proved, unproved = _PROVED.get(kind, _PROVED_EVEN), _OPEN.get(kind, _OPEN_EVEN)
    if _LEAST in version.solution["bound"]:
        proved, unproved = _PROVED_LEAST, _OPEN_LEAST
    if version.status == "optimal":
        return f"{proved} {gaps}"
    stopped = "Stopped on request: this was the best until then. " * _stopped(version)
    none_below = _bound(kind, version.solution)
    return f"{stopped}Every demand is kept. {gaps} {unproved}{none_below}."


def _stopped(version: HangVersion) -> bool:
    return bool(version.captions.get("stopped"))


def _gaps(kind: str, measures: Data) -> str:
    least, spread = measures["smallest_gap_mm"], measures["gap_spread_mm"]
    if kind == Hang.Kind.CLUSTER:
        return f"Neighbours hang {least:,} to {least + spread:,} mm apart."
    said = f"Over all walls the gaps differ by {spread:,} mm; the smallest is {least:,} mm."
    if kind == Hang.Kind.RELATED:
        cost = measures.get("relation_cost_mm", 0)
        return f"{said} The weighted distances of what belongs together sum up to {cost:,.0f} mm."
    return said


def _bound(kind: str, solution: Data) -> str:
    """Say how much better an answer could be at most, where that is known."""
    if _LEAST in solution["bound"]:
        return ""
    name = "relation_cost_mm" if kind == Hang.Kind.RELATED else "gap_spread_mm"
    found, bound = solution["measures"].get(name, 0), solution["bound"].get(name)
    if bound is None or bound >= found or kind == Hang.Kind.CLUSTER:
        return ""
    if name == "relation_cost_mm":
        return f"; no hang brings that sum below {bound:,.0f} mm"
    return f"; none brings the difference below {bound:,} mm"


def facts(version: HangVersion) -> list[Fact]:
    """Return what was measured of an answer, each as a term and what is said of it."""
    return list(_facts(version.problem, version.solution)) if version.places else []


def _facts(problem: Data, solution: Data) -> Iterator[Fact]:
    kind, measures = problem["arrangement"]["kind"], solution["measures"]
    gaps = sorted(run["gap_mm"] for run in solution["runs"] if run["gap_mm"] is not None)
    if kind != Hang.Kind.CLUSTER and gaps:
        run = "row" if kind == Hang.Kind.ROWS else "stretch"
        yield "Gaps", _alike(gaps, measures.get("run_spread_mm", 1), run)
    if kind == Hang.Kind.MIRRORED:
        error = measures["mirror_error_mm"]
        yield "Mirror", f"widths that face each other differ by {error:,} mm, summed up"
    offset = measures["balance_offset_mm"]
    yield "Balance", f"the middle of all areas lies at most {offset:,} mm off that of its stretch"
    if problem.get("near"):
        cost = measures.get("relation_cost_mm", 0)
        yield "Nearness", f"distances of what belongs together, weighted: {cost:,.0f} mm in all"
    if problem.get("previous"):
        yield "Moved", _moved(solution)


def _alike(gaps: Sequence[int], within_mm: int, run: str) -> str:
    """Say how alike gaps are along each run, and from the least to the largest of all runs."""
    low, high = gaps[0], gaps[-1]
    if low == high:
        return f"{low:,} mm, alike to {within_mm:,} mm along each {run}"
    runs = {"row": "rows", "stretch": "stretches"}[run]
    return (
        f"{low:,} to {high:,} mm among {len(gaps)} {runs}; alike to {within_mm:,} mm along each "
        f"{run}"
    )


def _moved(solution: Data) -> str:
    measures, count = solution["measures"], len(solution["placements"])
    moved = f"{measures['moved']} of {count} hang elsewhere than before"
    if not measures["moved"] or "relocated" not in measures:
        return moved
    return (
        f"{moved}, {measures['relocated']} of them on another stretch or in another order; all "
        f"together by {measures['moved_mm']:,} mm"
    )


@dataclass(frozen=True)
class Way:
    """One thing that would help: how little would do, whether that is the least, what else."""

    sentence: str
    least: bool
    besides: tuple[str, ...]


@dataclass(frozen=True)
class Clash:
    """Demands that cannot hold together, with what would help; each way is enough.

    With `granted`, someone who cares for the objects or is licensed must agree to a way.
    """

    sentence: str
    demands: tuple[str, ...]
    ways: tuple[Way, ...]
    granted: bool = False


def clashes(conflicts: Sequence[Data]) -> list[Clash]:
    """Read the conflicts of an answer in the JSON contract, also of answers from before it grew."""
    return [_clash(row) for row in conflicts]


def _clash(row: Data) -> Clash:
    ways = tuple(_way(way) for way in row.get("relaxations", ()))
    if not ways and row.get("relaxation"):
        ways = (Way(row["relaxation"], False, ()),)
    unsaid = tuple(words for words in row.get("demands", ()) if words not in row["sentence"])
    named = [other["demand"] for way in row.get("relaxations", ()) for other in (way, *way["also"])]
    return Clash(row["sentence"], unsaid, ways, any(demand in TO_GRANT for demand in named))


def _way(way: Data) -> Way:
    besides = tuple(other["sentence"] for other in way.get("also", ()))
    # What is given up whole, or left out, has no less.
    return Way(way["sentence"], way["exact"] and way["unit"] not in {"", "pieces"}, besides)
