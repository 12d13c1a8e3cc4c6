"""What a floor answers. Lengths in mm; points are [x, y] on the plan."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

Spot = tuple[int, int]


@dataclass(frozen=True)
class Finding:
    """One thing to mend: what was measured, what was wanted, and whose limit that is."""

    rule: str
    things: tuple[str, ...]
    at: Spot | None
    measured: int | None
    wanted: int | None
    sentence: str
    cure: str = ""
    source: str = ""


@dataclass(frozen=True)
class Narrow:
    """A narrow place: the clear line between two things.

    `start` lies on the first, `end` on the second, rounded to whole mm; `on_route` says whether
    the route crosses it.
    """

    things: tuple[str, str]
    clear_mm: int
    start: Spot
    end: Spot
    on_route: bool


@dataclass(frozen=True)
class Narrowing:
    """A stretch of the route narrower than the route's width; `at_mm` from the route's start."""

    things: tuple[str, ...]
    clear_mm: int
    length_mm: int
    from_mm: int
    to_mm: int
    at: Spot


@dataclass(frozen=True)
class Stop:
    """Where the route comes to the entrance, a section or the exit, and how far it came."""

    id: str
    kind: str
    at: Spot
    along_mm: int


@dataclass(frozen=True)
class Route:
    """The way from the entrance through the sections to the exit.

    `found` says that a way for `width_mm` keeps every rule; `widest_mm` is the widest disc that
    gets through at all, doors aside (not exact: that much or more), `narrowest` the place that
    stops a wider one; its `on_route` is of the widest way, not of the one drawn. `points` in mm,
    to the hundredth, so that they keep clear.
    """

    found: bool
    width_mm: int
    widest_mm: int
    widest_is_exact: bool
    points: tuple[tuple[float, float], ...]
    length_mm: int
    stops: tuple[Stop, ...]
    narrowings: tuple[Narrowing, ...]
    narrowest: Narrow | None


@dataclass(frozen=True)
class Clearance:
    """How much of the floor a disc of a width may touch; areas in mm2.

    `reached_mm2` counts what it reaches from the entrance.
    """

    width_mm: int
    area_mm2: int
    reached_mm2: int


@dataclass(frozen=True)
class Turn:
    """A 180° turn round an element: widths beside it and at its end, None where wide open."""

    element: str
    element_mm: int
    approach_mm: int | None
    end_mm: int | None
    leaving_mm: int | None
    at: Spot


@dataclass(frozen=True)
class DeadEnd:
    """A way that ends without room to turn; `depth_mm` from where one could still turn."""

    depth_mm: int
    at: Spot


@dataclass(frozen=True)
class Load:
    """What a piece puts on the floor; the spreader is the area that brings it to the limit."""

    id: str
    n_per_m2: int
    limit_n_per_m2: int
    spreader_mm2: int


@dataclass(frozen=True)
class Viewing:
    """How far one may step back from a face before something as high as an eye stands behind."""

    id: str
    side: str
    wanted_mm: int
    there_mm: int | None


@dataclass(frozen=True)
class Place:
    """Where the centre of a piece stands."""

    id: str
    x_mm: int
    y_mm: int
    turn_deg: int


@dataclass(frozen=True)
class Spacing:
    """How evenly pieces stand: distance to the nearest other thing, least and greatest.

    `gap_mm` is the equal gap of an arrangement along a line.
    """

    least_mm: int
    greatest_mm: int
    gap_mm: int | None = None


@dataclass(frozen=True)
class FloorReport:
    """`status` is passes, fails (with findings) or invalid (with sentences in `faults`)."""

    status: str
    rules: str = ""
    places: tuple[Place, ...] = ()
    findings: tuple[Finding, ...] = ()
    route: Route | None = None
    narrow: tuple[Narrow, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    turns: tuple[Turn, ...] = ()
    turning_places: tuple[Spot, ...] = ()
    dead_ends: tuple[DeadEnd, ...] = ()
    loads: tuple[Load, ...] = ()
    viewing: tuple[Viewing, ...] = ()
    spacing: Spacing | None = None
    cautions: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract: lists for tuples, nothing else changed."""
        data: dict[str, Any] = _plain(asdict(self))
        return data

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> FloorReport:
        """Read the JSON contract back; raises KeyError or TypeError for anything else."""
        from layouts.floor.report_reading import read_report

        return read_report(data)


def spot(point: tuple[float, float]) -> Spot:
    return round(point[0]), round(point[1])


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value
