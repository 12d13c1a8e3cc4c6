"""What walls carry, how they are lit, and how long they are."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import permutations
from typing import Any

from layouts.problem import Fixing, Problem, Wall, Zone
from layouts.relaxing.kinds import Amounts, Demand, Kind

ROOM = ("gap", "section_gap", "length", "area", "walls", "light", "dose", "apart")


def _on_wall(problem: Problem, demand: Demand, change: Callable[[Wall], Wall]) -> Problem:
    walls = tuple(change(wall) if wall.id in demand.walls else wall for wall in problem.walls)
    return replace(problem, walls=walls)


def _part(problem: Problem, demand: Demand, field: str, part: Fixing | Zone) -> Problem:
    def change(wall: Wall) -> Wall:
        parts = list(getattr(wall, field))
        parts[demand.number] = part
        changed: dict[str, Any] = {field: tuple(parts)}
        return replace(wall, **changed)

    return _on_wall(problem, demand, change)


def _where(wall: Wall, part: Fixing | Zone) -> str:
    return f"{wall.id} from {part.from_mm} to {part.to_mm} mm"


def _loads(rule: str, field: str, each: str, problem: Problem) -> Iterator[Demand]:
    for wall in problem.walls:
        for number, fixing in enumerate(wall.fixings):
            if (limit := getattr(fixing, field)) is not None:
                words = f"{_where(wall, fixing)} carries {limit:g} kg {each}"
                yield Demand(rule, words, (), (wall.id,), number)


def _fixing(problem: Problem, demand: Demand) -> Fixing:
    return problem.wall(demand.walls[0]).fixings[demand.number]


def _carry(field: str, problem: Problem, demand: Demand, amount: int) -> Problem:
    fixing = _fixing(problem, demand)
    grams = round(getattr(fixing, field) * 1000) + amount
    return _part(problem, demand, "fixings", replace(fixing, **{field: grams / 1000}))


def _heavier(problem: Problem, demand: Demand) -> Amounts:
    """Return what the objects weigh above the limit: between these nothing changes."""
    limit = round((_fixing(problem, demand).max_kg_per_object or 0) * 1000)
    return sorted({p.mass_g - limit for p in problem.pieces if p.mass_g > limit})


def _all_on_it(problem: Problem, demand: Demand) -> Amounts:
    fixing = _fixing(problem, demand)
    metres = (fixing.to_mm - fixing.from_mm) / 1000
    whole = sum(piece.mass_g for piece in problem.pieces)
    return range(1, max(0, int(whole / metres - (fixing.max_kg_per_m or 0) * 1000) + 2))


def _say_load(field: str, each: str, problem: Problem, demand: Demand, amount: int) -> str:
    fixing = _fixing(problem, demand)
    now = getattr(fixing, field)
    where = _where(problem.wall(demand.walls[0]), fixing)
    return (
        f"Let {where} carry {now + amount / 1000:g} kg {each} instead of {now:g} kg, if the "
        "structure's engineer confirms it"
    )


def _lit(rule: str, problem: Problem) -> Iterator[Demand]:
    for wall in problem.walls:
        for number, zone in enumerate(wall.zones):
            words = f"{_where(wall, zone)} is lit with {zone.lux} lx"
            yield Demand(rule, words, (), (wall.id,), number)


def _dimmed(problem: Problem, demand: Demand) -> Amounts:
    zone = problem.wall(demand.walls[0]).zones[demand.number]
    limits = {p.max_lux for p in problem.pieces if p.max_lux is not None}
    return sorted(zone.lux - limit for limit in limits if limit < zone.lux)


def _dim(problem: Problem, demand: Demand, amount: int) -> Problem:
    zone = problem.wall(demand.walls[0]).zones[demand.number]
    return _part(problem, demand, "zones", replace(zone, lux=zone.lux - amount))


def _say_zone(problem: Problem, demand: Demand, amount: int) -> str:
    wall = problem.wall(demand.walls[0])
    zone = wall.zones[demand.number]
    return f"Bring {_where(wall, zone)} down from {zone.lux} lx to {zone.lux - amount} lx"


def _hours_less(problem: Problem, demand: Demand) -> Amounts:
    zone = problem.wall(demand.walls[0]).zones[demand.number]
    limits = {p.max_lux_hours for p in problem.pieces if p.max_lux_hours is not None}
    hours = zone.hours or 0
    return sorted({hours - limit // zone.lux for limit in limits if limit < zone.lux * hours})


def _darken(problem: Problem, demand: Demand, amount: int) -> Problem:
    zone = problem.wall(demand.walls[0]).zones[demand.number]
    return _part(problem, demand, "zones", replace(zone, hours=(zone.hours or 0) - amount))


def _say_hours(problem: Problem, demand: Demand, amount: int) -> str:
    wall = problem.wall(demand.walls[0])
    zone = wall.zones[demand.number]
    hours = zone.hours or 0
    return f"Light {_where(wall, zone)} for {hours - amount:,} hours instead of {hours:,}"


def _borders(problem: Problem) -> Iterator[Demand]:
    """Find where a darker stretch meets a brighter one."""
    for wall in problem.walls:
        zones = list(enumerate(wall.zones))
        for (n, a), (m, b) in permutations(zones, 2):
            if a.lux < b.lux and (a.to_mm == b.from_mm or b.to_mm == a.from_mm):
                words = f"{_where(wall, a)} is lit with {a.lux} lx"
                yield Demand("dark_mm", words, (), (wall.id,), n * len(zones) + m)


def _meeting(problem: Problem, demand: Demand) -> tuple[Wall, int, int]:
    wall = problem.wall(demand.walls[0])
    return wall, *divmod(demand.number, len(wall.zones))


def _bright_mm(problem: Problem, demand: Demand) -> Amounts:
    wall, _, m = _meeting(problem, demand)
    return range(1, wall.zones[m].to_mm - wall.zones[m].from_mm)


def _wider(problem: Problem, demand: Demand, amount: int) -> Problem:
    wall, n, m = _meeting(problem, demand)
    a, b = wall.zones[n], wall.zones[m]
    zones = list(wall.zones)
    if a.to_mm == b.from_mm:
        zones[n] = replace(a, to_mm=a.to_mm + amount)
        zones[m] = replace(b, from_mm=b.from_mm + amount)
    else:
        zones[n] = replace(a, from_mm=a.from_mm - amount)
        zones[m] = replace(b, to_mm=b.to_mm - amount)
    return _on_wall(problem, demand, lambda wall: replace(wall, zones=tuple(zones)))


def _say_wider(problem: Problem, demand: Demand, amount: int) -> str:
    wall, n, m = _meeting(problem, demand)
    a, b = wall.zones[n], wall.zones[m]
    start = b.from_mm if a.to_mm == b.from_mm else b.to_mm - amount
    return (
        f"Bring {amount} mm more of {wall.id}, from {start} to {start + amount} mm, down from "
        f"{b.lux} lx to {a.lux} lx"
    )


def _walls(problem: Problem) -> Iterator[Demand]:
    for wall in problem.walls:
        yield Demand("length", f"{wall.id} is {wall.length_mm} mm long", (), (wall.id,))


def _longer(problem: Problem, demand: Demand, amount: int) -> Problem:
    """Lengthen a wall; what is lit or bears at its end goes on to the new one."""

    def change(wall: Wall) -> Wall:
        end = wall.length_mm
        parts: dict[str, Any] = {
            field: tuple(
                replace(part, to_mm=end + amount) if part.to_mm == end else part
                for part in getattr(wall, field)
            )
            for field in ("zones", "fixings")
        }
        return replace(wall, length_mm=end + amount, **parts)

    return _on_wall(problem, demand, change)


def _all_beside(problem: Problem, demand: Demand) -> Amounts:
    gap = problem.arrangement.min_gap_mm
    whole = gap + sum(piece.block_mm + gap for piece in problem.pieces)
    changes = len({piece.section for piece in problem.pieces})
    return range(1, whole + changes * (problem.arrangement.section_gap_mm or 0) + 1)


OF_LOADS = (
    Kind(
        "load",
        partial(_loads, "load", "max_kg_per_object", "an object"),
        partial(_carry, "max_kg_per_object"),
        partial(_say_load, "max_kg_per_object", "an object"),
        _heavier,
        "g",
    ),
    Kind(
        "load_per_metre",
        partial(_loads, "load_per_metre", "max_kg_per_m", "a metre"),
        partial(_carry, "max_kg_per_m"),
        partial(_say_load, "max_kg_per_m", "a metre"),
        _all_on_it,
        "g/m",
    ),
)

OF_WALLS = (
    Kind("hours", partial(_lit, "hours"), _darken, _say_hours, _hours_less, "h", beside=("dose",)),
    Kind("dark_mm", _borders, _wider, _say_wider, _bright_mm, "mm", beside=("light",)),
    Kind("zone", partial(_lit, "zone"), _dim, _say_zone, _dimmed, "lx", beside=("light",)),
    Kind(
        "length",
        _walls,
        _longer,
        lambda p, d, n: f"Make wall {d.walls[0]} {n} mm longer",
        _all_beside,
        "mm",
        monotone=False,
        beside=ROOM,
    ),
)
