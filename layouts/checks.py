"""Verify a hang against its problem with code that the search does not use."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, islice, pairwise, takewhile

from layouts.cluster_checks import cluster_faults
from layouts.problem import STACKED, Piece, Problem, Wall
from layouts.row_checks import row_faults
from layouts.run_checks import run_faults
from layouts.solution import Placement, Solution


@dataclass(frozen=True)
class Fault:
    """One broken rule, in a sentence."""

    rule: str
    pieces: tuple[str, ...]
    sentence: str


@dataclass(frozen=True)
class _Box:
    name: str
    left: int
    bottom: int
    right: int
    top: int

    def meets(self, other: _Box) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )


def check(problem: Problem, solution: Solution) -> list[Fault]:
    """Return every fault of a solution; an empty list means that all demands are kept."""
    pieces = {piece.id: piece for piece in problem.pieces}
    walls = {wall.id: wall for wall in problem.walls}
    faults = list(_presence(pieces, walls, solution))
    if faults:
        return faults
    placed = [(pieces[p.id], p) for p in solution.placements]
    for wall in problem.walls:
        here = sorted(
            ((piece, place) for piece, place in placed if place.wall == wall.id),
            key=lambda pair: pair[1].x_mm,
        )
        faults += _space(wall, here)
        faults += _limits(wall, here)
        faults += _metres(wall, here)
    faults += _heights(problem, placed)
    faults += _edges(problem, placed)
    faults += _fixed(problem, placed)
    faults += _apart(problem, pieces, solution)
    if problem.arrangement.kind == "cluster":
        return [*faults, *(Fault(*said) for said in cluster_faults(problem, solution))]
    faults += _groups(problem, solution)
    faults += _order(problem, pieces, solution)
    faults += _gaps(problem, pieces, solution)
    faults += _sizes(problem, pieces, solution)
    faults += [Fault(*said) for said in run_faults(problem, solution)]
    if problem.arrangement.kind == "rows":
        faults += [Fault(*said) for said in row_faults(problem, solution)]
    return faults


def _presence(
    pieces: dict[str, Piece], walls: dict[str, Wall], solution: Solution
) -> Iterator[Fault]:
    seen: set[str] = set()
    for place in solution.placements:
        if place.id not in pieces:
            yield Fault("unknown", (place.id,), f"{place.id} is not a piece of this problem.")
        elif place.id in seen:
            yield Fault("twice", (place.id,), f"{place.id} hangs twice.")
        elif place.wall not in walls:
            yield Fault("unknown", (place.id,), f"{place.id} hangs on no wall of this problem.")
        seen.add(place.id)
    for name in pieces.keys() - seen - set(solution.unplaced):
        yield Fault("missing", (name,), f"{name} hangs nowhere and is not said to be left out.")


def _boxes(piece: Piece, place: Placement) -> list[_Box]:
    x, y = place.x_mm, place.y_mm
    boxes = [_Box(piece.id, x, y, x + piece.width_mm, y + piece.height_mm)]
    if label := piece.label:
        if label.side == "below":
            left, bottom = x, y - label.gap_mm - label.height_mm
        elif label.side == "left":
            left, bottom = x - label.gap_mm - label.width_mm, y
        else:
            left, bottom = x + piece.width_mm + label.gap_mm, y
        right, top = left + label.width_mm, bottom + label.height_mm
        boxes.append(_Box(f"the label of {piece.id}", left, bottom, right, top))
    return boxes


def _space(wall: Wall, here: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    boxes = [(piece.id, box) for piece, place in here for box in _boxes(piece, place)]
    for name, box in boxes:
        if box.left < 0 or box.bottom < 0 or box.right > wall.length_mm or box.top > wall.height_mm:
            yield Fault("outside", (name,), f"{box.name} reaches beyond wall {wall.id}.")
        for area in wall.blocked:
            right, top = area.x_mm + area.width_mm, area.y_mm + area.height_mm
            if box.meets(_Box(area.what, area.x_mm, area.y_mm, right, top)):
                what = area.what or "a blocked area"
                yield Fault("blocked", (name,), f"{box.name} hangs over {what} on wall {wall.id}.")
    boxes.sort(key=lambda row: row[1].left)
    for n, (one, a) in enumerate(boxes):
        for other, b in takewhile(lambda row: row[1].left < a.right, islice(boxes, n + 1, None)):  # noqa: B023
            if one != other and a.meets(b):
                yield Fault("overlap", (one, other), f"{a.name} and {b.name} overlap.")


def _limits(wall: Wall, here: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    for piece, place in here:
        left, right = place.x_mm, place.x_mm + piece.width_mm
        for zone in wall.zones:
            touched = zone.from_mm < right and zone.to_mm > left
            if touched and piece.max_lux is not None and zone.lux > piece.max_lux:
                yield Fault(
                    "light",
                    (piece.id,),
                    f"{piece.id} bears {piece.max_lux} lx and hangs under {zone.lux} lx.",
                )
            if touched and piece.max_lux_hours is not None and zone.hours is not None:
                got = zone.lux * zone.hours
                if got > piece.max_lux_hours:
                    yield Fault(
                        "dose",
                        (piece.id,),
                        f"{piece.id} bears {piece.max_lux_hours:,} lx h and would have {got:,} "
                        f"lx h: {zone.lux} lx for {zone.hours:,} h.",
                    )
        for fixing in wall.fixings:
            touched = fixing.from_mm < right and fixing.to_mm > left
            most = fixing.max_kg_per_object
            if touched and most is not None and piece.mass_g > Fraction(str(most)) * 1000:
                yield Fault(
                    "load",
                    (piece.id,),
                    f"{piece.id} weighs {piece.mass_g} g; this wall carries {most} kg an object.",
                )


def _metres(wall: Wall, here: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    """The load of a stretch is each mass by the share of its width that hangs there."""
    for fixing in wall.fixings:
        if fixing.max_kg_per_m is None:
            continue
        total = Fraction(0)
        for piece, place in here:
            right = min(place.x_mm + piece.width_mm, fixing.to_mm)
            shared = max(0, right - max(place.x_mm, fixing.from_mm))
            total += Fraction(piece.mass_g * shared, piece.width_mm)
        limit = Fraction(str(fixing.max_kg_per_m)) * (fixing.to_mm - fixing.from_mm)
        if total > limit:
            yield Fault(
                "load_per_metre",
                tuple(piece.id for piece, _ in here),
                f"Wall {wall.id} from {fixing.from_mm} to {fixing.to_mm} mm carries "
                f"{float(total) / 1000:.1f} kg; its limit is {float(limit) / 1000:.1f} kg.",
            )


def _heights(problem: Problem, placed: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    rule = problem.arrangement
    datums = {wall.id: wall.datum_mm for wall in problem.walls}
    for piece, place in placed:
        datum = datums[place.wall]
        datum = rule.datum_mm if datum is None else datum
        top = place.y_mm + piece.height_mm
        if place.hook_mm != top - piece.hang_point_mm:
            yield Fault("hook", (piece.id,), f"The hook of {piece.id} is not at its hanging point.")
        if piece.y_mm is not None or rule.kind in STACKED:
            continue
        off = {
            "top": abs(top - datum),
            "bottom": abs(place.y_mm - datum),
            "hanging_line": abs(place.hook_mm - datum),
            "centreline": abs(place.y_mm + top - 2 * datum) // 2,
        }[rule.align]
        if off:
            yield Fault("datum", (piece.id,), f"{piece.id} is {off} mm off the {rule.align}.")


def _edges(problem: Problem, placed: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    """Rows and groups keep within the edges with their labels, single rows with their pieces."""
    rule = problem.arrangement
    for piece, place in placed:
        boxes = _boxes(piece, place)
        if rule.kind not in STACKED or piece.x_mm is not None:
            boxes = boxes[:1]
        for box in boxes:
            if rule.lowest_edge_mm is not None and box.bottom < rule.lowest_edge_mm:
                yield Fault(
                    "height",
                    (piece.id,),
                    f"The lower edge of {box.name} is at {box.bottom} mm; {rule.lowest_edge_mm} mm "
                    "is the least allowed.",
                )
            if rule.highest_edge_mm is not None and box.top > rule.highest_edge_mm:
                yield Fault(
                    "height",
                    (piece.id,),
                    f"The upper edge of {box.name} is at {box.top} mm; {rule.highest_edge_mm} mm "
                    "is allowed.",
                )


def _fixed(problem: Problem, placed: list[tuple[Piece, Placement]]) -> Iterator[Fault]:
    for piece, place in placed:
        of_section = problem.section_walls.get(piece.section, ()) if piece.section else ()
        for chosen, whose in ((piece.walls, piece.id), (of_section, f"section {piece.section}")):
            if chosen and place.wall not in chosen:
                yield Fault(
                    "fixed",
                    (piece.id,),
                    f"{piece.id} hangs on {place.wall}; {whose} may hang on {', '.join(chosen)}.",
                )
        for wanted, got, what in (
            (piece.wall, place.wall, "wall"),
            (piece.x_mm, place.x_mm, "x_mm"),
            (piece.y_mm, place.y_mm, "y_mm"),
        ):
            if wanted is not None and wanted != got:
                yield Fault(
                    "fixed", (piece.id,), f"{piece.id}: {what} is {got}, fixed at {wanted}."
                )


def _sequence(problem: Problem, solution: Solution) -> list[Placement]:
    place = {wall.id: n for n, wall in enumerate(problem.walls)}
    return sorted(solution.placements, key=lambda p: (place[p.wall], p.row, p.x_mm))


def _groups(problem: Problem, solution: Solution) -> Iterator[Fault]:
    sequence = _sequence(problem, solution)
    stretches = {
        p.id: (run.wall, run.from_mm)
        for run in solution.runs
        for p in sequence
        if p.wall == run.wall and run.from_mm <= p.x_mm < run.to_mm
    }
    for group in problem.together:
        walls = {p.wall for p in sequence if p.id in group}
        rows = [p for p in sequence if p.wall in walls]
        at = [n for n, p in enumerate(rows) if p.id in group]
        one_row = len({(p.wall, p.row) for p in rows if p.id in group}) <= 1
        if at and (not one_row or at[-1] - at[0] != len(at) - 1):
            yield Fault("together", group, f"{', '.join(group)} do not hang together.")
        elif len({stretches.get(name) for name in group if problem.piece(name).x_mm is None}) > 1:
            yield Fault("together", group, f"{', '.join(group)} hang on stretches that are parted.")


def _apart(problem: Problem, pieces: dict[str, Piece], solution: Solution) -> Iterator[Fault]:
    places = {p.id: p for p in solution.placements}
    for rule in problem.apart:
        for one, other in combinations([n for n in rule.pieces if n in places], 2):
            first, second = sorted((places[one], places[other]), key=lambda p: p.x_mm)
            between = second.x_mm - first.x_mm - pieces[first.id].width_mm
            if first.wall == second.wall and between < rule.at_least_mm:
                yield Fault(
                    "apart",
                    (one, other),
                    f"{one} and {other} are {between} mm apart, not {rule.at_least_mm} mm.",
                )


def _order(problem: Problem, pieces: dict[str, Piece], solution: Solution) -> Iterator[Fault]:
    names = [p.id for p in _sequence(problem, solution)]
    rule = problem.arrangement
    if rule.order and names != [name for name in rule.order if name in names]:
        yield Fault("order", tuple(names), "The pieces do not hang in the order asked for.")
    if rule.kind != "by_section":
        return
    sections = [pieces[name].section for name in names]
    met = [s for n, s in enumerate(sections) if n == 0 or sections[n - 1] != s]
    if len(met) != len(set(met)):
        yield Fault("sections", tuple(names), "A section is interrupted by another.")
    elif rule.sections and met != [s for s in rule.sections if s in met]:
        yield Fault("sections", tuple(names), "The sections do not follow in the order asked for.")


def _gaps(problem: Problem, pieces: dict[str, Piece], solution: Solution) -> Iterator[Fault]:
    rule = problem.arrangement
    for run in solution.runs:
        here = []
        for place in solution.placements:
            piece = pieces[place.id]
            if (place.wall, place.row) != (run.wall, run.row):
                continue
            if not run.from_mm <= place.x_mm < run.to_mm:
                continue
            left = place.x_mm
            if piece.label and piece.label.side == "left":
                left -= piece.label.width_mm + piece.label.gap_mm
            here.append((left, left + piece.block_mm, piece))
        here.sort(key=lambda block: block[0])
        shared = []
        for (_, end, a), (start, _, b) in pairwise(here):
            names = (a.id, b.id)
            if start - end < rule.min_gap_mm:
                yield Fault("gap", names, f"{a.id} and {b.id} are {start - end} mm apart.")
            if rule.section_gap_mm is None or a.section == b.section:
                shared.append(start - end)
            elif start - end != rule.section_gap_mm:
                yield Fault("gap", names, f"Sections part by {start - end} mm at {a.id}, {b.id}.")
        if here and rule.ends == "same" and rule.max_gap_mm is None:
            shared += [here[0][0] - run.from_mm, run.to_mm - here[-1][1]]
        if shared and max(shared) - min(shared) > 1:
            yield Fault(
                "uneven",
                tuple(piece.id for _, _, piece in here),
                f"Gaps from {run.from_mm} mm on wall {run.wall} run from {min(shared)} to "
                f"{max(shared)} mm.",
            )
        if shared and rule.max_gap_mm is not None and max(shared) > rule.max_gap_mm:
            yield Fault("gap", (), f"A gap on wall {run.wall} is over {rule.max_gap_mm} mm.")


def _sizes(problem: Problem, pieces: dict[str, Piece], solution: Solution) -> Iterator[Fault]:
    """In a rise no piece is lower than the one before it; centre-high rows rise, then fall.

    What hangs together counts as one, by its highest.
    """
    kind = problem.arrangement.kind
    if kind not in ("rise", "centre_high"):
        return
    tied = [set(group) for group in problem.together]
    for run in solution.runs:
        row = sorted(
            (
                p
                for p in solution.placements
                if p.wall == run.wall
                and run.from_mm <= p.x_mm < run.to_mm
                and pieces[p.id].x_mm is None
            ),
            key=lambda p: p.x_mm,
        )
        heights: list[int] = []
        names: list[str] = []
        for place in row:
            high = pieces[place.id].height_mm
            if names and any({names[-1], place.id} <= group for group in tied):
                heights[-1], names[-1] = max(heights[-1], high), place.id
            else:
                heights.append(high)
                names.append(place.id)
        top = heights.index(max(heights)) if heights and kind == "centre_high" else len(heights)
        falls = [n for n, (a, b) in enumerate(pairwise(heights)) if a > b and n < top]
        rises = [n for n, (a, b) in enumerate(pairwise(heights)) if a < b and n >= top]
        for n in [*falls, *rises]:
            a, b = names[n], names[n + 1]
            yield Fault("sizes", (a, b), f"{a} and {b} do not stand by size in their {kind} row.")
