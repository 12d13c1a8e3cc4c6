"""Reading rooms and walls."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from exhibit_core.spaces.models import Venue, Wall
from exhibit_core.spaces.stretches import covered_mm, holding
from layouts import Problem, Solution
from layouts.drawing import Elevation, View, draw
from layouts.problem import Blocked, Zone
from layouts.problem import Fixing as DrawnFixing
from layouts.problem import Wall as DrawnWall


@dataclass(frozen=True)
class Running:
    """What one reads off a wall at once; lengths in mm, light as (lx, mm) from dim to bright."""

    length_mm: int
    blocked_mm: int
    light: tuple[tuple[int, int], ...]
    unlit_mm: int

    @property
    def clear_mm(self) -> int:
        return self.length_mm - self.blocked_mm


def running(walls: Iterable[Wall]) -> Running:
    """Sum up walls whose parts are fetched already; where zones overlap the brightest counts."""
    length = blocked = unlit = 0
    light: dict[int, int] = {}
    for wall in walls:
        length += wall.length_mm
        spans = [(b.x_mm, b.x_mm + b.width_mm) for b in wall.blocked_areas.all()]
        blocked += covered_mm(wall.length_mm, spans)
        zones = [(zone.from_mm, zone.to_mm, zone.lux) for zone in wall.light_zones.all()]
        for part in holding(wall.length_mm, zones, max):
            width = part.to_mm - part.from_mm
            if part.value is None:
                unlit += width
            else:
                light[int(part.value)] = light.get(int(part.value), 0) + width
    return Running(length, blocked, tuple(sorted(light.items())), unlit)


def venue_walls(venue: Venue) -> list[Wall]:
    return list(
        Wall.objects.filter(room__venue=venue).prefetch_related(
            "blocked_areas", "light_zones", "fixings"
        )
    )


def drawing_of(wall: Wall) -> str:
    """Return the bare wall as an SVG element."""
    drawn = DrawnWall(
        id=wall.name,
        length_mm=wall.length_mm,
        height_mm=wall.height_mm,
        blocked=tuple(
            Blocked(b.x_mm, b.y_mm, b.width_mm, b.height_mm, b.what)
            for b in wall.blocked_areas.all()
        ),
        zones=tuple(Zone(z.from_mm, z.to_mm, z.lux) for z in wall.light_zones.all()),
        fixings=tuple(
            DrawnFixing(f.from_mm, f.to_mm, _float(f.max_kg_per_object), _float(f.max_kg_per_m))
            for f in wall.fixings.all()
        ),
    )
    elevation = Elevation.of(Problem(walls=(drawn,), pieces=()), Solution("optimal"), drawn)
    return draw(elevation, View(text_mm=max(60, wall.length_mm / 120)))


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
