"""Choose how a case shows what it holds: which surface bears what, in rows, with little hidden."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from layouts.cases.answer import Hidden
from layouts.cases.packing import Layout, Spot
from layouts.cases.problem import Kind
from layouts.cases.sight import Solid, hidden_shares
from layouts.cases.surfaces import Surface, lay_shelves
from layouts.cases.task import Task
from layouts.cases.tidy import in_rows, on_line

HIDDEN_FROM_PERCENT = 10
MOST_WAYS = 40


def show(task: Task, k: int, layout: Layout) -> Layout:
    """Return the tidiest way found for a case's objects to stand; every demand stays kept.

    Fewest surfaces without lines, then fewest objects hidden, then gaps as even as can be, then the
    least share hidden, then the fewest rows.
    """
    ways = [*_tidied(task, k, layout), *_shared_out(task, k, layout)]
    return min([*ways[:MOST_WAYS], layout], key=lambda way: _worth(task, k, way))


def heights(task: Task, k: int, layout: Layout) -> dict[int, int]:
    """Return the height of each surface in use, and of the floor."""
    laid = lay_shelves(task.kinds[k], task.problem, _tallest(task, layout))
    if laid is None:
        raise ValueError("The shelves of a case cannot be laid as its objects stand.")
    return laid


def hidden_in(task: Task, k: int, layout: Layout, z_mm: dict[int, int]) -> list[Hidden]:
    """Return what is hidden from the eyes asked about."""
    kind, viewing = task.kinds[k], task.problem.viewing
    targets = [_solid(task, spot, z_mm[spot.surface]) for spot in layout]
    opaque = _opaque(kind, z_mm)
    return [
        one
        for eye in viewing.eyes_mm
        for one in hidden_shares(
            targets,
            opaque,
            eye_mm=eye,
            floor_mm=kind.floor_mm,
            distance_mm=viewing.distance_mm,
        )
    ]


def uneven_lines(task: Task, layout: Layout) -> int:
    """Count surfaces where objects stand on no common line."""
    return sum(not on_line(task, spots) for spots in _by_surface(layout).values())


def _worth(task: Task, k: int, layout: Layout) -> tuple[int, int, int, int, int]:
    hidden = hidden_in(task, k, layout, heights(task, k, layout))
    much = {one.id for one in hidden if one.percent > HIDDEN_FROM_PERCENT}
    rows = len({(spot.surface, spot.y_mm) for spot in layout})
    lost = sum(one.percent for one in hidden)
    return uneven_lines(task, layout), len(much), _uneven_gaps(task, k, layout), lost, rows


def _uneven_gaps(task: Task, k: int, layout: Layout) -> int:
    """Return the sum over all rows of the widest gap less the narrowest, and of how far the row
    stands off the middle, to 5 mm."""
    rows: dict[tuple[int, int], list[Spot]] = {}
    for spot in layout:
        rows.setdefault((spot.surface, spot.y_mm), []).append(spot)
    total = 0
    for row in rows.values():
        row.sort(key=lambda spot: spot.x_mm)
        ends = [s.x_mm + task.things[s.thing].footprint_mm(s.turned)[0] for s in row]
        gaps = [b.x_mm - end for end, b in zip(ends, row[1:], strict=False)]
        total += max(gaps, default=0) - min(gaps, default=0)
        surface = task.surfaces[k][row[0].surface]
        ends_mm = row[0].x_mm + ends[-1]
        total += abs(ends_mm - 2 * surface.left_mm - surface.width_mm) // 2
    return total // 5


def _by_surface(layout: Layout) -> dict[int, list[Spot]]:
    found: dict[int, list[Spot]] = {}
    for spot in layout:
        found.setdefault(spot.surface, []).append(spot)
    return found


def _tallest(task: Task, layout: Layout) -> dict[int, int]:
    return {
        at: max(task.things[spot.thing].height_mm for spot in spots)
        for at, spots in _by_surface(layout).items()
    }


def _tidied(task: Task, k: int, layout: Layout) -> Iterator[Layout]:
    """Keep every object on its surface, and put in rows what can be."""
    spots: list[Spot] = []
    for at, here in _by_surface(layout).items():
        rows = in_rows(task, task.surfaces[k][at], [spot.thing for spot in here])
        spots += here if rows is None else rows
    yield tuple(spots)


def _shared_out(task: Task, k: int, layout: Layout) -> Iterator[Layout]:
    """Share the objects, sorted by height, out over the surfaces about evenly by width."""
    numbers = [spot.thing for spot in layout]
    if any(task.things[n].shelf is not None for n in numbers):
        return
    surfaces = task.surfaces[k]
    order = sorted(numbers, key=lambda n: (-task.things[n].height_mm, n))
    for count in range(1, min(len(surfaces), len(order)) + 1):
        for chosen in combinations(range(len(surfaces)), count):
            for turn in range(count):
                seats = chosen[turn:] + chosen[:turn]
                if (way := _seat(task, k, order, [surfaces[at] for at in seats])) is not None:
                    yield way


def _seat(task: Task, k: int, order: Sequence[int], seats: Sequence[Surface]) -> Layout | None:
    total = sum(task.things[n].width_mm for n in order)
    shares: list[list[int]] = [[] for _ in seats]
    reach = 0
    for n in order:
        middle = reach + task.things[n].width_mm / 2
        shares[min(len(seats) - 1, int(middle * len(seats) / total))].append(n)
        reach += task.things[n].width_mm
    tallest = {
        surface.number: max(task.things[n].height_mm for n in share)
        for surface, share in zip(seats, shares, strict=True)
        if share
    }
    if lay_shelves(task.kinds[k], task.problem, tallest) is None:
        return None
    spots: list[Spot] = []
    for surface, share in zip(seats, shares, strict=True):
        load = sum(task.things[n].mass_g for n in share)
        if surface.max_g is not None and load > surface.max_g:
            return None
        rows = in_rows(task, surface, share) if share else []
        if rows is None:
            return None
        spots += rows
    return tuple(spots)


def _solid(task: Task, spot: Spot, z: int) -> Solid:
    thing = task.things[spot.thing]
    wide, deep = thing.footprint_mm(spot.turned)
    x, y = spot.x_mm, spot.y_mm
    return Solid(thing.id, x, x + wide, y, y + deep, z, z + thing.height_mm)


def _opaque(kind: Kind, z_mm: dict[int, int]) -> list[Solid]:
    """Return the floor of the case and opaque shelves, which hide like objects do."""
    floor = Solid("", 0, kind.width_mm, 0, kind.depth_mm, -60, 0)
    shelves = [
        Solid(
            "",
            0,
            kind.width_mm,
            kind.depth_mm - shelf.depth_mm,
            kind.depth_mm,
            z_mm[number] - shelf.thickness_mm,
            z_mm[number],
        )
        for number, shelf in enumerate(kind.shelves, 1)
        if shelf.opaque and number in z_mm
    ]
    return [floor, *shelves]
