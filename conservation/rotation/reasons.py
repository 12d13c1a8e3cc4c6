"""Say why no rotation exists, and which single change of least size would make one possible.

Every relaxation named was applied, solved and verified.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from conservation.rotation.arithmetic import alone, shortfalls
from conservation.rotation.checks import check
from conservation.rotation.greedy import by_hand
from conservation.rotation.plan import Conflict, Plan, Relaxation
from conservation.rotation.problem import Candidate, Place, Problem
from conservation.rotation.search import LARGE_CELLS, Limits, Search
from conservation.rotation.steps import Key, Steps, sets_of
from conservation.rotation.stretches import Reach

ONE_TRY = 0.4
MOST_PERCENT = 400
MOST_MORE_OBJECTS = 40

Change = Callable[[Problem, int], Problem]


@dataclass(frozen=True)
class _Way:
    """One kind of relaxation: how to apply an amount, and the largest that makes sense."""

    rule: str
    unit: str
    most: int
    apply: Change
    words: str


def explain(
    problem: Problem, short: Sequence[Conflict], blamed: Sequence[str], limits: Limits
) -> Plan:
    """Return the plan that says why there is none: sums first, then what would help.

    `short` are the sums that do not come out, `blamed` the sets without a plan; nothing is raised.
    Source: each relaxation was applied, solved and verified.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> one = replace(TWO_PRINTS, objects=TWO_PRINTS.objects[:1])
    >>> plan = explain(one, shortfalls(one), ["prints"], Limits(1.0, 60, 0))
    >>> [(one.rule, one.amount, one.smallest) for one in plan.relaxations]
    [('objects', 1, True), ('stay', 30, True)]
    """
    conflicts = list(short)
    relaxations: list[Relaxation] = []
    for name in blamed:
        part = alone(problem, name)
        trial = _Trials(replace(limits, work=limits.work / len(blamed)))
        if not any(conflict.set == name for conflict in short):
            conflicts.append(_tangle(part, name, trial))
        relaxations += _relaxations(part, name, trial)
        if not any(relaxation.set == name for relaxation in relaxations):
            conflicts.append(
                Conflict(
                    "several",
                    name,
                    (),
                    (),
                    f"Set {name}: no single kind of change was found to be enough; at least two "
                    "must be made together.",
                )
            )
    return Plan("infeasible", conflicts=tuple(conflicts), relaxations=tuple(relaxations))


class _Trials:
    """Try changed problems within the work allowed, and remember the answers."""

    def __init__(self, limits: Limits) -> None:
        self.limits, self.left = limits, limits.work
        self.known: dict[Problem, bool | None] = {}

    def at_once(self, problem: Problem) -> bool | None:
        """Return what sums and rotating by hand tell; None when they do not."""
        if self.known.get(problem) is None:
            self.known[problem] = self._sums_and_hand(problem)
        return self.known[problem]

    def works(self, problem: Problem) -> bool | None:
        """Return whether a verified plan exists; None when neither was shown."""
        if self.at_once(problem) is None:
            self.known[problem] = self._search(problem)
        return self.known[problem]

    def _sums_and_hand(self, problem: Problem) -> bool | None:
        if not problem.places:
            return None
        if shortfalls(problem):
            return False
        steps, (here,) = Steps(problem), sets_of(problem)
        reach = Reach(steps, here)
        for flag in (True, False):
            rows, empty = by_hand(reach, longest_first=flag)
            if not empty:
                return self._verified(problem, rows)
        return None

    def _search(self, problem: Problem) -> bool | None:
        if self.left <= 0 or self.limits.cancelled() or not problem.places:
            return None
        steps, (here,) = Steps(problem), sets_of(problem)
        search = Search(steps, here, replace(self.limits, work=min(ONE_TRY, self.left)))
        found = search.any_plan(most_cells=LARGE_CELLS)
        self.left -= search.spent
        if found.rows is None:
            return False if found.impossible else None
        return self._verified(problem, found.rows)

    @staticmethod
    def _verified(problem: Problem, rows: frozenset[Key]) -> bool:
        from conservation.rotation.solve import stays_of
        from conservation.rotation.uses import measure, uses_of

        steps, (here,) = Steps(problem), sets_of(problem)
        stays = tuple(stays_of(steps, here, rows))
        uses = uses_of(problem, stays)
        plan = Plan("feasible", stays, uses, measure(problem, stays, uses))
        return not check(problem, plan)


def _tangle(problem: Problem, name: str, trial: _Trials) -> Conflict:
    """Name the kinds of demand whose going would help, when the sums alone do not tell."""
    kinds: tuple[tuple[str, Callable[[Candidate], Candidate]], ...] = (
        ("budgets", lambda item: replace(item, budgets=())),
        ("longest stays", lambda item: replace(item, longest_days=None)),
        ("rests", lambda item: replace(item, rest_days=0)),
        ("absences", lambda item: replace(item, away=())),
        ("light limits", lambda item: replace(item, max_lux=None)),
    )
    guilty = []
    for words, drop in kinds:
        looser = replace(problem, objects=tuple(drop(item) for item in problem.objects))
        if looser != problem and trial.works(looser):
            guilty.append(words)
    objects = tuple(item.id for item in problem.objects)
    places = tuple(place.id for place in problem.places)
    by = f" Without its {' or without its '.join(guilty)} there would be a plan." if guilty else ""
    return Conflict(
        "order",
        name,
        objects,
        places,
        f"Set {name}: the sums come out, but no order of changes on the changeover days keeps "
        f"every demand.{by}",
    )


def _relaxations(problem: Problem, name: str, trial: _Trials) -> Iterator[Relaxation]:
    for way in _ways(problem):
        least, proved = _least(problem, way, trial)
        if least is not None:
            yield Relaxation(
                way.rule,
                name,
                least,
                way.unit,
                f"Set {name}: it works {way.words.format(n=least)}.",
                proved,
            )


def _least(problem: Problem, way: _Way, trial: _Trials) -> tuple[int | None, bool]:
    """Return the least amount found to work, and whether one less was proved not to.

    Sums and rotating by hand, which are quick, narrow it down before the search decides.
    """

    def ask(test: Callable[[Problem], bool | None], amount: int) -> bool | None:
        return test(way.apply(problem, amount)) if amount else False

    low = _last(0, way.most + 1, lambda amount: ask(trial.at_once, amount) is False)
    if low == way.most:
        return None, False
    high = _last(low, way.most + 1, lambda amount: not ask(trial.at_once, amount)) + 1
    if high > way.most and not ask(trial.works, way.most):
        return None, False
    high = _last(low, min(high, way.most), lambda amount: not ask(trial.works, amount)) + 1
    return high, ask(trial.works, high - 1) is False


def _last(low: int, high: int, fails: Callable[[int], bool]) -> int:
    """Return the last amount that fails, where `low` does and `high` does not."""
    while high - low > 1:
        middle = (low + high) // 2
        if fails(middle):
            low = middle
        else:
            high = middle
    return low


def _ways(problem: Problem) -> Iterator[_Way]:
    objects, places = problem.objects, problem.places
    if any(item.budgets for item in objects):
        yield _Way(
            "budget",
            "percent",
            MOST_PERCENT,
            _larger_budgets,
            "with the light budgets of its objects {n} % larger",
        )
    if any(place.lux for place in places):
        yield _Way("light", "percent", 99, _dimmer, "with its places {n} % dimmer")
    if len(places) > 1:
        yield _Way(
            "places",
            "places",
            len(places) - 1,
            _fewer_places,
            "with {n} of its places left out, the brightest first",
        )
    yield _Way(
        "objects",
        "objects",
        MOST_MORE_OBJECTS,
        _more_objects,
        f"with {{n}} more like {_hardiest(objects).id}",
    )
    if longest := max((item.rest_days for item in objects), default=0):
        yield _Way("rest", "days", longest, _shorter_rests, "with rests {n} days shorter")
    if any(item.longest_days is not None for item in objects):
        yield _Way(
            "stay", "days", problem.days, _longer_stays, "with longest stays {n} days longer"
        )
    longest_step = max(Steps(problem).days(step) for step in range(Steps(problem).count))
    if longest_step > 1:
        yield _Way(
            "changeovers",
            "parts",
            min(8, longest_step) - 1,
            _more_changeovers,
            "with {n} more changeovers between each two",
        )


def _hardiest(objects: Sequence[Candidate]) -> Candidate:
    """Return the object that can be shown most: least rest, most light, most budget."""
    far = 10**9

    def worth(item: Candidate) -> tuple[int, int, int, int]:
        budget = min((b.lux_hours for b in item.budgets), default=far)
        lux = far if item.max_lux is None else item.max_lux
        stay = far if item.longest_days is None else item.longest_days
        return lux, budget, stay, -item.rest_days

    return max(objects, key=worth)


def _each(problem: Problem, change: Callable[[Candidate], Candidate]) -> Problem:
    return replace(problem, objects=tuple(change(item) for item in problem.objects))


def _larger_budgets(problem: Problem, percent: int) -> Problem:
    def larger(item: Candidate) -> Candidate:
        budgets = tuple(
            replace(b, lux_hours=b.lux_hours * (100 + percent) // 100) for b in item.budgets
        )
        return replace(item, budgets=budgets)

    return _each(problem, larger)


def _dimmer(problem: Problem, percent: int) -> Problem:
    def dimmer(place: Place) -> Place:
        return replace(place, lux=place.lux * (100 - percent) // 100)

    return replace(problem, places=tuple(dimmer(place) for place in problem.places))


def _fewer_places(problem: Problem, count: int) -> Problem:
    brightest = sorted(problem.places, key=lambda place: -place.lux * problem.hours(place))
    gone = {place.id for place in brightest[:count]}
    return replace(problem, places=tuple(p for p in problem.places if p.id not in gone))


def _more_objects(problem: Problem, count: int) -> Problem:
    like = _hardiest(problem.objects)
    more = tuple(replace(like, id=f"{like.id} + {n + 1}", away=()) for n in range(count))
    return replace(problem, objects=problem.objects + more)


def _shorter_rests(problem: Problem, days: int) -> Problem:
    return _each(problem, lambda item: replace(item, rest_days=max(0, item.rest_days - days)))


def _longer_stays(problem: Problem, days: int) -> Problem:
    def longer(item: Candidate) -> Candidate:
        stay = item.longest_days
        return item if stay is None else replace(item, longest_days=stay + days)

    return _each(problem, longer)


def _more_changeovers(problem: Problem, more: int) -> Problem:
    bounds = Steps(problem).bounds
    days = set(problem.changeovers)
    for start, stop in pairwise(bounds):
        days |= {start + (stop - start) * n // (more + 1) for n in range(1, more + 1)}
    return replace(problem, changeovers=tuple(sorted(days - {0})))
