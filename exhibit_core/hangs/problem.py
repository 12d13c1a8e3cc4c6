"""From rows to the problem that `layouts` solves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import F, Prefetch, QuerySet

from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.hangs.bound import Bound, Names, asked_for, piece_of, with_places_kept
from exhibit_core.hangs.kinds import counts
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.hangs.notes import Hung, idle, notes, numbers
from exhibit_core.register.models import Measurement
from exhibit_core.register.sizes import BestSize, best_size
from exhibit_core.spaces.models import Wall
from layouts.problem import (
    Apart,
    Arrangement,
    Blocked,
    Fixing,
    Label,
    Near,
    Piece,
    Problem,
    Zone,
)
from layouts.problem import Wall as AskedWall

NO_SIZE = "its height and width are not known: measure it"
NO_SECTION = "it has no section, and the arrangement is by section: give it one"


@dataclass(frozen=True)
class LeftOut:
    """An object that should hang but cannot be asked for, and why."""

    entry: ListEntry
    reason: str


@dataclass(frozen=True)
class Asked:
    """A hang as `layouts` is asked for it, what it leaves out, and what it does not know."""

    problem: Problem
    captions: dict[str, Any]
    left_out: tuple[LeftOut, ...]
    warnings: tuple[str, ...]


def asked_of(hang: Hang) -> Asked:
    """Read everything a hang depends on, in a constant number of queries.

    Pieces go by their object number and walls by their name, so that the answer's sentences can
    be read as they are.
    """
    walls = _wall_names(hang)
    chosen = list(hang.sections.all())
    entries = list(_entries(hang, chosen))
    fixed = {place.entry_id: place for place in hang.fixed_places.select_related("entry__object")}
    hung: Hung = {}
    left_out: list[LeftOut] = []
    for entry in entries:
        size = best_size(entry.object.measurements.all())
        if size is None:
            left_out.append(LeftOut(entry, NO_SIZE))
        elif hang.kind == Hang.Kind.BY_SECTION and entry.section is None:
            left_out.append(LeftOut(entry, NO_SECTION))
        else:
            hung[entry.pk] = (entry, size)
    rules = list(hang.rules.select_related("section").prefetch_related("entries__object", "walls"))
    tied = _tied(rules, hung)
    bound = Bound.of(rules, {wall.pk: name for wall, name in walls.items()})
    every_place = list(hang.kept_places.select_related("section"))
    come = {entry.object.number for entry, _ in hung.values()}
    kept = [p for p in every_place if p.name not in come and asked_for(p, hang, chosen)]
    pieces = with_places_kept(
        [_piece(hang, entry, size, fixed.get(key), bound) for key, (entry, size) in hung.items()],
        [piece_of(place, _label(hang)) for place in kept],
    )
    sections = {piece.section for piece in pieces}
    datums = dict(hang.wall_datums.values_list("wall", "datum_mm"))
    problem = Problem(
        walls=tuple(_wall(wall, name, datums.get(wall.pk)) for wall, name in walls.items()),
        pieces=tuple(pieces),
        arrangement=_arrangement(hang, [entry for entry, _ in hung.values()], kept, pieces),
        together=tuple(names for _, names in tied[HangRule.Kind.TOGETHER]),
        apart=tuple(
            Apart(names, rule.at_least_mm or 0) for rule, names in tied[HangRule.Kind.APART]
        ),
        near=tuple(Near(names, rule.weight or 1) for rule, names in tied[HangRule.Kind.NEAR]),
        section_walls={name: on for name, on in bound.sections.items() if name in sections},
    )
    return Asked(
        problem=problem,
        captions=_captions(hung.values(), kept),
        left_out=tuple(left_out),
        warnings=(
            *notes(problem, hung, fixed.values(), every_place),
            *idle(rules, hung, bound.names),
        ),
    )


def _entries(hang: Hang, chosen: list[Section]) -> QuerySet[ListEntry]:
    rows = ListEntry.objects.filter(
        exhibition=hang.exhibition_id,
        stage=ListEntry.Stage.SELECTED,
        shown_on=ListEntry.ShownOn.WALL,
    )
    if chosen:
        rows = rows.filter(section__in=chosen)
    story = (F("section__position").asc(nulls_last=True), "position", "object__number_key")
    rows = rows.order_by(*story)
    return rows.select_related("section", "object").prefetch_related(
        Prefetch("object__measurements", Measurement.objects.filter(withdrawn=False)),
        "object__pictures",
    )


def _wall_names(hang: Hang) -> dict[Wall, str]:
    """Name each wall shortly; where two rooms have a wall of one name, say the room too."""
    rows = hang.walls.select_related("room").prefetch_related(
        "blocked_areas", "light_zones", "fixings"
    )
    walls = list(rows)
    uses = Counter(wall.name for wall in walls)
    return {w: w.name if uses[w.name] == 1 else f"{w.name} ({w.room.name})" for w in walls}


def _wall(wall: Wall, name: str, datum_mm: int | None) -> AskedWall:
    return AskedWall(
        datum_mm=datum_mm,
        id=name,
        length_mm=wall.length_mm,
        height_mm=wall.height_mm,
        blocked=tuple(
            Blocked(area.x_mm, area.y_mm, area.width_mm, area.height_mm, area.what)
            for area in wall.blocked_areas.all()
        ),
        zones=tuple(Zone(z.from_mm, z.to_mm, z.lux) for z in wall.light_zones.all()),
        fixings=tuple(
            Fixing(f.from_mm, f.to_mm, _number(f.max_kg_per_object), _number(f.max_kg_per_m))
            for f in wall.fixings.all()
        ),
    )


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _piece(
    hang: Hang,
    entry: ListEntry,
    size: BestSize,
    place: FixedPlace | None,
    bound: Bound,
) -> Piece:
    at = place if place and place.wall_id in bound.names else None
    return Piece(
        id=entry.object.number,
        width_mm=size.width_mm,
        height_mm=size.height_mm,
        depth_mm=size.depth_mm,
        mass_g=size.mass_g or 0,
        section=entry.section.number if entry.section else None,
        max_lux=entry.object.max_lux,
        hang_point_mm=size.hang_point_mm or 0,
        label=_label(hang),
        wall=bound.names[at.wall_id] if at else None,
        walls=() if at else bound.entries.get(entry.pk, ()),
        x_mm=at.x_mm if at else None,
        y_mm=at.y_mm if at else None,
    )


def _label(hang: Hang) -> Label | None:
    if not hang.label_side:
        return None
    return Label(hang.label_width_mm, hang.label_height_mm, hang.label_side, hang.label_gap_mm)


def _arrangement(
    hang: Hang, entries: list[ListEntry], kept: list[KeptPlace], pieces: list[Piece]
) -> Arrangement:
    sections = [row.section for row in (*entries, *kept) if row.section]
    sections.sort(key=lambda section: (section.position, section.pk))
    by_section = hang.kind == Hang.Kind.BY_SECTION
    in_order = hang.keep_order and counts("keep_order", hang.kind)
    order = tuple(piece.id for piece in pieces) if in_order else None
    in_rows = hang.kind == Hang.Kind.ROWS
    return Arrangement(
        kind=hang.kind,
        align=hang.align,
        datum_mm=hang.datum_mm,
        lowest_edge_mm=hang.lowest_edge_mm,
        highest_edge_mm=hang.highest_edge_mm,
        rows=hang.rows if in_rows else 1,
        row_gap_mm=hang.row_gap_mm if in_rows else Arrangement.row_gap_mm,
        min_gap_mm=hang.min_gap_mm,
        max_gap_mm=hang.max_gap_mm if counts("max_gap_mm", hang.kind) else None,
        ends=hang.ends,
        section_gap_mm=hang.section_gap_mm if by_section else None,
        sections=tuple(dict.fromkeys(s.number for s in sections)) if by_section else None,
        order=order or None,
    )


def _tied(rules: Iterable[HangRule], hung: Hung) -> dict[str, list[tuple[HangRule, Names]]]:
    """Return by kind the rules of which at least two objects hang, each with their numbers."""
    kinds = (HangRule.Kind.TOGETHER, HangRule.Kind.APART, HangRule.Kind.NEAR)
    found: dict[str, list[tuple[HangRule, Names]]] = {kind: [] for kind in kinds}
    for rule in rules:
        if rule.kind in found and len(names := numbers(rule, hung)) > 1:
            found[rule.kind].append((rule, names))
    return found


def _captions(
    hung: Iterable[tuple[ListEntry, BestSize]], kept: Iterable[KeptPlace]
) -> dict[str, Any]:
    """Return what sheets and drawings say of pieces and sections, as it is known now."""
    rows = list(hung)
    sections = {entry.section.number: str(entry.section) for entry, _ in rows if entry.section}
    sections |= {place.section.number: str(place.section) for place in kept if place.section}
    pieces = {entry.object.number: _caption(entry, size) for entry, size in rows}
    pieces |= {place.name: {"title": "place kept", "kept": True} for place in kept}
    return {"pieces": pieces, "sections": sections}


def _caption(entry: ListEntry, size: BestSize) -> dict[str, Any]:
    obj = entry.object
    picture = next(iter(obj.pictures.all()), None)
    return {
        "object": obj.pk,
        "entry": entry.pk,
        "title": obj.title,
        "size_source": size.source,
        "weighed": size.mass_g is not None,
        "hazards": obj.hazard_words,
        "hazard_note": obj.hazard_note,
        "restricted": obj.restricted_materials,
        "picture": picture.pk if picture else None,
        "hang_point_known": size.hang_point_mm is not None,
    }
