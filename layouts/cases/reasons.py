"""Say by arithmetic alone why no arrangement can exist, in sentences with figures."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from layouts.cases.answer import Reason
from layouts.cases.opencase import room
from layouts.cases.problem import Kind, Thing
from layouts.cases.surfaces import headroom_mm
from layouts.cases.task import Task


def impossible(task: Task) -> Iterator[Reason]:
    """Yield reasons that no arrangement can answer, single objects first."""
    found = [*_single(task), *_tied(task)]
    yield from found
    if found or not task.items:
        return
    yield from _clique(task)
    yield from _sums(task)


def _single(task: Task) -> Iterator[Reason]:
    for n, thing in enumerate(task.things):
        item = task.items[task.item_of[n]]
        if len(item.things) > 1 and any(item.masks):
            continue
        if reason := _alone(task, thing):
            yield reason


def _alone(task: Task, thing: Thing) -> Reason | None:
    """Name the first limit that leaves no kind of case for one object."""
    kinds = [k for k in range(len(task.kinds)) if task.kinds[k].count]
    name = thing.id
    if thing.case is not None:
        kinds = [k for k in kinds if thing.case in task.case_names[k]]
    steps: tuple[tuple[str, Callable[[int], bool], Callable[[list[int]], tuple[str, str]]], ...] = (
        ("size", lambda k: _bare(task, k, thing), lambda ks: _size_words(task, thing, ks)),
        ("load", lambda k: _carried(task, k, thing), lambda ks: _load_words(task, thing, ks)),
        (
            "security",
            lambda k: task.kinds[k].security >= thing.security,
            lambda ks: (
                f"{name} needs security class {thing.security}; the cases that hold it have at "
                f"most {max(task.kinds[k].security for k in ks)}.",
                f"Find a case of class {thing.security}, or let {name} stand in a lower class.",
            ),
        ),
        ("climate", lambda k: _climate(task, k, thing), lambda ks: _climate_words(task, thing, ks)),
        ("light", lambda k: _light(task, k, thing), lambda ks: _light_words(task, thing, ks)),
    )
    for rule, passes, words in steps:
        left = [k for k in kinds if passes(k)]
        if not left:
            if not kinds:
                return Reason(rule, (name,), f"There is no case for {name}.", "Add cases.")
            sentence, cure = words(kinds)
            return Reason(rule, (name,), sentence, cure)
        kinds = left
    if any(task.items[task.item_of[task.number[name]]].masks):
        return None
    sentence = f"No kind of case keeps the light and the climate of {name} at once."
    return Reason("settings", (name,), sentence, "Add a setting to a kind of case.")


def _bare(task: Task, k: int, thing: Thing) -> bool:
    surfaces = task.surfaces[k]
    if thing.shelf is not None:
        surfaces = [s for s in surfaces if s.number == thing.shelf]
    ways = [thing.footprint_mm(t) for t in ((False, True) if thing.turns else (False,))]
    return any(
        thing.height_mm <= s.tallest_mm
        and any(w <= s.width_mm and d <= s.depth_mm for w, d in ways)
        for s in surfaces
    )


def _carried(task: Task, k: int, thing: Thing) -> bool:
    limit = task.kinds[k].max_g
    return (limit is None or thing.mass_g <= limit) and any(
        s.holds(thing) for s in task.surfaces[k] if thing.shelf in (None, s.number)
    )


def _climate(task: Task, k: int, thing: Thing) -> bool:
    band = thing.climate
    return band is None or any(one.within(band) for one in task.kinds[k].climates)


def _light(task: Task, k: int, thing: Thing) -> bool:
    return any(setting.bears(thing) for setting in task.settings[k])


def _size_words(task: Task, thing: Thing, kinds: Sequence[int]) -> tuple[str, str]:
    size = f"{thing.width_mm:,} × {thing.depth_mm:,} × {thing.height_mm:,} mm"
    above = task.problem.clearances.above_mm
    tallest = max(headroom_mm(task.kinds[k], task.problem) - above for k in kinds)
    if thing.height_mm > tallest:
        short = thing.height_mm - tallest
        words = f"{thing.id} is {thing.height_mm:,} mm high; with {above} mm above it the tallest "
        return (
            f"{words}case leaves {tallest:,} mm: short by {short:,} mm.",
            f"Find a case at least {short:,} mm higher inside.",
        )
    widest = max(s.width_mm for k in kinds for s in task.surfaces[k])
    deepest = max(s.depth_mm for k in kinds for s in task.surfaces[k])
    return (
        f"{thing.id} ({size}) stands on no surface: after glass and label strip the widest is "
        f"{widest:,} mm and the deepest {deepest:,} mm.",
        f"Find a larger case for {thing.id}, or lessen the room kept to the glass.",
    )


def _load_words(task: Task, thing: Thing, kinds: Sequence[int]) -> tuple[str, str]:
    limits = [s.max_g for k in kinds for s in task.surfaces[k] if s.max_g is not None]
    limits += [limit for k in kinds if (limit := task.kinds[k].max_g) is not None]
    most = max(limits, default=0)
    return (
        f"{thing.id} weighs {thing.mass_g:,} g; no surface that holds its size bears more than "
        f"{most:,} g.",
        f"Find a case that bears {thing.mass_g:,} g where {thing.id} can stand.",
    )


def _climate_words(task: Task, thing: Thing, kinds: Sequence[int]) -> tuple[str, str]:
    bands = sorted({str(band) for k in kinds for band in task.kinds[k].climates})
    kept = "; ".join(bands) or "no band at all"
    return (
        f"{thing.id} needs {thing.climate}; the cases that hold it keep {kept}.",
        f"Set a case to a band within {thing.climate}.",
    )


def _light_words(task: Task, thing: Thing, kinds: Sequence[int]) -> tuple[str, str]:
    levels = sorted({lux for k in kinds for lux in task.kinds[k].lux})
    shown = ", ".join(f"{lux} lx" for lux in levels)
    bears = (
        f"{thing.min_lux or 0} to {thing.max_lux} lx"
        if thing.max_lux is not None
        else (f"at least {thing.min_lux} lx")
    )
    return (
        f"{thing.id} bears {bears}; the cases that hold it can be set to {shown}.",
        f"Set a case to a level of {bears}.",
    )


def _tied(task: Task) -> Iterator[Reason]:
    for item in task.items:
        if len(item.things) < 2:
            continue
        names = tuple(task.things[n].id for n in item.things)
        clash = [(a, b) for a, b in combinations(item.things, 2) if (a, b) in task.pairs]
        for a, b in clash[:1]:
            rule = task.pairs[a, b]
            one, other = task.things[a].id, task.things[b].id
            why = f" ({rule.reason})" if rule.reason else ""
            yield Reason(
                "together",
                names,
                f"{one} and {other} must stay together, directly or through others, and must not "
                f"share a case{why}.",
                f"Let {one} and {other} stand in different cases.",
            )
        single = any(_alone(task, task.things[n]) for n in item.things)
        if not clash and not any(item.masks) and not single:
            yield Reason(
                "together",
                names,
                f"{', '.join(names)} must stay together, and no kind of case keeps the limits of "
                "all of them at once.",
                f"Let {', '.join(names)} stand in different cases.",
            )


def _clique(task: Task) -> Iterator[Reason]:
    clique = task.clique
    have = sum(kind.count for kind in task.kinds)
    if len(clique) > have:
        names = tuple(task.things[task.items[i].things[0]].id for i in clique)
        short = len(clique) - have
        yield Reason(
            "conflicts",
            names,
            f"{', '.join(names)} cannot share cases with each other: they need {len(clique)} cases "
            f"and there are {have}: short by {short}.",
            f"Add {short} case{'s' if short > 1 else ''}.",
        )


def _sums(task: Task) -> Iterator[Reason]:
    """Compare ground and load asked with those there, for objects that only some kinds take."""
    supports = sorted({tuple(map(bool, item.masks)) for item in task.items})
    gap = task.problem.clearances.between_mm
    for support in supports:
        kinds = [k for k, may in enumerate(support) if may]
        items = [
            item
            for item in task.items
            if not any(mask and not support[k] for k, mask in enumerate(item.masks))
        ]
        things = [task.things[n] for item in items for n in item.things]
        names = tuple(thing.id for thing in things)
        where = ", ".join(f"{task.kinds[k].count} {task.kinds[k].id}" for k in kinds)
        need = sum(item.area for item in items)
        have = sum(task.kinds[k].count * room(task, k) for k in kinds)
        if need > have:
            yield Reason(
                "area",
                names,
                f"{len(things)} objects that only {where} can take need {need / 1e6:.2f} m² with "
                f"{gap} mm between them; there are {have / 1e6:.2f} m²: short by "
                f"{(need - have) / 1e6:.2f} m².",
                f"Add at least {(need - have) / 1e6:.2f} m² of surface to these cases.",
            )
        yield from _floors(task, things, kinds, where)
        limits = [_limit_g(task.kinds[k]) for k in kinds]
        mass = sum(thing.mass_g for thing in things)
        if None not in limits and mass > sum(limit or 0 for limit in limits):
            most = sum(limit or 0 for limit in limits)
            yield Reason(
                "load",
                names,
                f"{len(things)} objects that only {where} can take weigh {mass:,} g; these cases "
                f"bear {most:,} g: short by {mass - most:,} g.",
                f"Find cases that bear {mass - most:,} g more.",
            )


def _limit_g(kind: Kind) -> int | None:
    return None if kind.max_g is None else kind.max_g * kind.count


def _floors(
    task: Task, things: Sequence[Thing], kinds: Sequence[int], where: str
) -> Iterator[Reason]:
    """Compare the ground of objects too tall for any shelf with that of the floors."""
    gap = task.problem.clearances.between_mm
    tall = [
        thing
        for thing in things
        if not any(s.holds(thing) for k in kinds for s in task.surfaces[k] if s.number)
    ]
    need = sum((t.width_mm + gap) * (t.depth_mm + gap) for t in tall)
    floors = [task.surfaces[k][0] for k in kinds]
    have = sum(
        task.kinds[k].count * (s.width_mm + gap) * (s.depth_mm + gap)
        for k, s in zip(kinds, floors, strict=True)
    )
    total = sum(task.kinds[k].count * room(task, k) for k in kinds)
    if need > have and have < total:
        yield Reason(
            "height",
            tuple(thing.id for thing in tall),
            f"{len(tall)} objects fit no shelf for their height, size or mass and need "
            f"{need / 1e6:.2f} m² of floor in {where}; there are {have / 1e6:.2f} m²: short by "
            f"{(need - have) / 1e6:.2f} m².",
            "Take shelves out of more cases, or add cases with a free floor.",
        )
