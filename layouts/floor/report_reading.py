"""Read a report back from JSON."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

from layouts.floor.report import (
    Clearance,
    DeadEnd,
    Finding,
    FloorReport,
    Load,
    Narrow,
    Narrowing,
    Place,
    Route,
    Spacing,
    Stop,
    Turn,
    Viewing,
)

T = TypeVar("T")
LISTS: dict[str, type] = {
    "places": Place,
    "findings": Finding,
    "narrow": Narrow,
    "clearances": Clearance,
    "turns": Turn,
    "dead_ends": DeadEnd,
    "loads": Load,
    "viewing": Viewing,
}


def read_report(data: dict[str, Any]) -> FloorReport:
    """Return the report; raises KeyError or TypeError where it is none."""
    rest: dict[str, Any] = {
        key: tuple(_made(kind, row) for row in data.get(key, [])) for key, kind in LISTS.items()
    }
    route, spacing = data.get("route"), data.get("spacing")
    return FloorReport(
        status=data["status"],
        rules=data.get("rules", ""),
        route=_route(route) if route else None,
        spacing=_made(Spacing, spacing) if spacing else None,
        turning_places=_frozen(data.get("turning_places", [])),
        cautions=_frozen(data.get("cautions", [])),
        faults=_frozen(data.get("faults", [])),
        **rest,
    )


def _route(row: dict[str, Any]) -> Route:
    nearest = row["narrowest"]
    return Route(
        **{
            **{f.name: _frozen(row[f.name]) for f in fields(Route)},
            "stops": tuple(_made(Stop, item) for item in row["stops"]),
            "narrowings": tuple(_made(Narrowing, item) for item in row["narrowings"]),
            "narrowest": _made(Narrow, nearest) if nearest else None,
        }
    )


def _made(kind: type[T], row: dict[str, Any]) -> T:
    return kind(**{key: _frozen(value) for key, value in row.items()})


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value
