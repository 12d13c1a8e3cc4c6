"""Find a smallest set of single demands that clash, and the least that each would have to give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from layouts.cases.answer import Reason
from layouts.cases.bounds import least_cases
from layouts.cases.master import Master, slots_of
from layouts.cases.problem import CasesProblem, Climate, Thing
from layouts.cases.reasons import impossible
from layouts.cases.search import Clock, Search
from layouts.cases.task import Task

CHECK_WORK = 1.0
MOST_MORE_CASES = 6
MOST_CLASHES = 3
AGAIN = "Once what stands above has given way: "


@dataclass(frozen=True)
class _Demand:
    """One demand that could give way: a field of an object, or a rule or a tie by its place."""

    what: str
    name: str
    place: int = 0


def explain(task: Task, clock: Clock, seed: int) -> Iterator[Reason]:
    """Yield one reason for each demand of a minimal set that clashes with the cases there are.

    Where giving way there is not enough, the next such set is sought in what remains, and what
    helps altogether comes last.
    """
    problem = task.problem
    demands = _demands(problem)
    if _provably_none(_without(problem, demands), clock, seed):
        yield _more_cases(problem, clock, seed, ())
        return
    current, given, named = problem, list[str](), list[str]()
    for _ in range(MOST_CLASHES):
        core = _minimal(current, demands, clock, seed)
        named += [d.name for d in core if d.what not in ("rule", "together")]
        found = [_reason(current, demand, len(core), clock, seed) for demand in core]
        others = [demand for demand in demands if demand not in core]
        for demand, reason in zip(core, found, strict=True):
            told = (
                reason if reason.relaxed else _partly(current, demand, others, reason, clock, seed)
            )
            yield replace(told, sentence=AGAIN + told.sentence) if given else told
        if any(reason.relaxed for reason in found) or clock.stop():
            if given and found and found[0].relaxed:
                yield _altogether([*given, found[0].relaxation])
            break
        steps = (_one_step(current, demand, others, clock, seed) for demand in core)
        step = next((step for step in steps if step), None)
        if step is None:
            break
        words, current = step
        given.append(words)
        demands = _demands(current)
    yield _more_cases(problem, clock, seed, tuple(dict.fromkeys(named)))


def _altogether(steps: Sequence[str]) -> Reason:
    words = f"{len(steps)} sets of demands clash, each by itself, and all must give way."
    return Reason("together_enough", (), words, " ".join(steps), True)


def _partly(
    problem: CasesProblem,
    demand: _Demand,
    others: Sequence[_Demand],
    reason: Reason,
    clock: Clock,
    seed: int,
) -> Reason:
    """Say what ends this clash at least, where that is not enough for all."""
    step = _one_step(problem, demand, others, clock, seed)
    if step is None:
        return reason
    return replace(reason, relaxation=f"{step[0]} That ends this clash, and others remain.")


def _one_step(
    problem: CasesProblem, demand: _Demand, others: Sequence[_Demand], clock: Clock, seed: int
) -> tuple[str, CasesProblem] | None:
    """Return the smallest way for a demand to give that ends its clash, whatever else clashes."""
    thing = None if demand.what in ("rule", "together") else problem.objects[demand.place]
    for words, looser in _relaxations(problem, demand, thing):
        if clock.stop():
            return None
        if not _provably_none(_alone(looser, others, demand), clock, seed):
            return words, looser
    return None


def _alone(problem: CasesProblem, others: Sequence[_Demand], gone: _Demand) -> CasesProblem:
    """Drop the other demands from a problem that one demand has already left or loosened."""
    shift = gone.what if gone.what in ("rule", "together") else ""
    moved = [
        replace(d, place=d.place - 1) if d.what == shift and d.place > gone.place else d
        for d in others
    ]
    return _without(problem, moved)


def _demands(problem: CasesProblem) -> list[_Demand]:
    found = [_Demand("rule", str(rule), n) for n, rule in enumerate(problem.conflicts)]
    found += [_Demand("together", ", ".join(g), n) for n, g in enumerate(problem.together)]
    for n, thing in enumerate(problem.objects):
        if thing.max_lux is not None or thing.min_lux is not None:
            found.append(_Demand("light", thing.id, n))
        if thing.climate is not None:
            found.append(_Demand("climate", thing.id, n))
        if thing.security:
            found.append(_Demand("security", thing.id, n))
        if thing.case is not None:
            found.append(_Demand("fixed", thing.id, n))
    return found


def _without(problem: CasesProblem, given_up: Sequence[_Demand]) -> CasesProblem:
    """Return the problem with some demands given up."""
    rules = {d.place for d in given_up if d.what == "rule"}
    ties = {d.place for d in given_up if d.what == "together"}
    things = list(problem.objects)
    for demand in given_up:
        if demand.what in ("rule", "together"):
            continue
        things[demand.place] = _freed(things[demand.place], demand.what)
    return replace(
        problem,
        objects=tuple(things),
        conflicts=tuple(r for n, r in enumerate(problem.conflicts) if n not in rules),
        together=tuple(g for n, g in enumerate(problem.together) if n not in ties),
        previous=None,
        moves_at_most=None,
    )


def _freed(thing: Thing, what: str) -> Thing:
    if what == "light":
        return replace(thing, max_lux=None, min_lux=None)
    if what == "climate":
        return replace(thing, climate=None)
    if what == "security":
        return replace(thing, security=0)
    return replace(thing, case=None, shelf=None, x_mm=None, y_mm=None, turned=False)


def _provably_none(problem: CasesProblem, clock: Clock, seed: int) -> bool:
    task = Task(problem)
    if next(iter(impossible(task)), None) is not None:
        return True
    count, clique = least_cases(task)
    if count > sum(kind.count for kind in task.kinds):
        return True
    named = {item.case for item in task.items if item.case}
    master = Master(task, slots_of(task, len(task.items), named), seed=seed, clique=clique)
    try:
        return master.solve(work=CHECK_WORK, seconds=clock.left, first=True) is None
    except TimeoutError:
        return False


def _minimal(
    problem: CasesProblem, demands: list[_Demand], clock: Clock, seed: int
) -> list[_Demand]:
    """Shrink the demands to a set that clashes and of which none can be missed.

    Blocks are dropped first, halved when they cannot be, after Junker 2004, from memory.
    """
    kept = list(demands)
    size = max(1, len(kept) // 2)
    while True:
        start = 0
        while start < len(kept):
            block = kept[start : start + size]
            rest = kept[:start] + kept[start + size :]
            gone = [d for d in demands if d not in rest]
            if not clock.stop() and _provably_none(_without(problem, gone), clock, seed):
                kept = rest
            else:
                start += len(block)
        if size == 1:
            return kept
        size = max(1, size // 2)


def _reason(problem: CasesProblem, demand: _Demand, size: int, clock: Clock, seed: int) -> Reason:
    thing = problem.objects[demand.place] if demand.what not in ("rule", "together") else None
    clash = (
        "clashes with the cases there are"
        if size == 1
        else (f"is one of {size} demands that cannot all be kept with the cases there are")
    )
    for cure, looser in _relaxations(problem, demand, thing):
        if clock.stop():
            break
        if _works(looser, clock, seed):
            return Reason(
                demand.what,
                _names(problem, demand),
                f"{_said(problem, demand)} {clash}.",
                cure,
                True,
            )
    sentence = f"{_said(problem, demand)} {clash}."
    return Reason(
        demand.what,
        _names(problem, demand),
        sentence,
        "Giving up this demand alone was not found to be enough.",
        False,
    )


def _said(problem: CasesProblem, demand: _Demand) -> str:
    if demand.what == "rule":
        rule = problem.conflicts[demand.place]
        why = f" ({rule.reason})" if rule.reason else ""
        return f"That {rule} share no case{why}"
    if demand.what == "together":
        return f"That {demand.name} stay together"
    thing = problem.objects[demand.place]
    return {
        "light": f"The light limit of {thing.id} ({thing.min_lux or 0} to {thing.max_lux} lx)",
        "climate": f"The climate of {thing.id} ({thing.climate})",
        "security": f"Security class {thing.security} for {thing.id}",
        "fixed": f"That {thing.id} stands in {thing.case}",
    }[demand.what]


def _names(problem: CasesProblem, demand: _Demand) -> tuple[str, ...]:
    if demand.what == "rule":
        rule = problem.conflicts[demand.place]
        tagged = (t.id for t in problem.objects if set(t.tags) & set(rule.tags))
        return rule.objects or tuple(tagged)
    if demand.what == "together":
        return problem.together[demand.place]
    return (demand.name,)


def _relaxations(
    problem: CasesProblem, demand: _Demand, thing: Thing | None
) -> Iterator[tuple[str, CasesProblem]]:
    """Yield ways to give, the smallest first, in words and as a problem."""
    if thing is None:
        words = "Give up this rule." if demand.what == "rule" else "Let them stand apart."
        yield words, _without(problem, [demand])
        return
    if demand.what == "fixed":
        yield f"Let {thing.id} stand elsewhere.", _without(problem, [demand])
        return
    for words, looser in _looser(problem, demand.what, thing):
        things = list(problem.objects)
        things[demand.place] = looser
        yield words, replace(problem, objects=tuple(things), previous=None, moves_at_most=None)


def _looser(problem: CasesProblem, what: str, thing: Thing) -> Iterator[tuple[str, Thing]]:
    if what == "light":
        levels = sorted({lux for kind in problem.kinds for lux in kind.lux})
        for lux in levels:
            if thing.max_lux is not None and lux > thing.max_lux:
                yield f"Let {thing.id} have {lux} lx.", replace(thing, max_lux=lux)
        for lux in reversed(levels):
            if thing.min_lux is not None and lux < thing.min_lux:
                yield f"Let {thing.id} have only {lux} lx.", replace(thing, min_lux=lux)
    elif what == "security":
        classes = {kind.security for kind in problem.kinds if kind.security < thing.security}
        for level in sorted(classes, reverse=True):
            yield f"Let {thing.id} stand in class {level}.", replace(thing, security=level)
    elif thing.climate is not None:
        band = thing.climate
        wider = {
            Climate(
                min(band.low_percent, one.low_percent), max(band.high_percent, one.high_percent)
            )
            for kind in problem.kinds
            for one in kind.climates
        } - {band}
        for one in sorted(wider, key=lambda c: (c.high_percent - c.low_percent, c.low_percent)):
            yield f"Let {thing.id} have {one}.", replace(thing, climate=one)


def _works(problem: CasesProblem, clock: Clock, seed: int) -> bool:
    """Solve with a relaxation applied, and verify what comes out."""
    from layouts.cases.checks import check_cases
    from layouts.cases.solve import finish

    task = Task(problem)
    if next(iter(impossible(task)), None) is not None:
        return False
    found = Search(task, seed, Clock.of(clock.left, clock.cancelled)).free()
    return found.plan is not None and not check_cases(problem, finish(task, found, clock))


def _more_cases(problem: CasesProblem, clock: Clock, seed: int, names: tuple[str, ...]) -> Reason:
    """Find the kind of which the fewest more cases would do."""
    have = sum(kind.count for kind in problem.kinds)
    bare = replace(problem, previous=None, moves_at_most=None)
    for more in range(1, MOST_MORE_CASES + 1):
        for n, kind in enumerate(problem.kinds):
            if clock.stop():
                break
            kinds = list(problem.kinds)
            kinds[n] = replace(kind, count=kind.count + more)
            if _works(replace(bare, kinds=tuple(kinds)), clock, seed):
                return Reason(
                    "cases",
                    names,
                    f"The {have} cases there are cannot hold all objects with every demand kept.",
                    f"Add {more} {kind.id}.",
                    True,
                )
    return Reason(
        "cases",
        names,
        f"The {have} cases there are cannot hold all objects with every demand kept.",
        f"Up to {MOST_MORE_CASES} more cases of one kind were not found to be enough.",
    )
