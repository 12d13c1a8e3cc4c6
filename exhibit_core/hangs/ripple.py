"""Say in words what made a hang out of date: what was asked then, and what would be asked now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from exhibit_core.hangs.kinds import label_of
from exhibit_core.hangs.models import HangRule

Data = Mapping[str, Any]

_PIECE = {
    "width_mm": ("{} mm wide", 0),
    "height_mm": ("{} mm high", 0),
    "depth_mm": ("{} mm deep", 0),
    "hang_point_mm": ("hung {} mm below its top edge", 0),
    "max_lux": ("limited to {} lx", None),
}
_WALL = {"length_mm": "{} mm long", "height_mm": "{} mm high"}
_RULE = {
    "kind": "arrangement",
    "rows": "number of rows",
    "row_gap_mm": "height between rows",
    "align": "alignment",
    "datum_mm": "datum",
    "lowest_edge_mm": "lowest edge",
    "highest_edge_mm": "highest edge",
    "min_gap_mm": "smallest gap",
    "max_gap_mm": "largest gap",
    "ends": "ends of the runs",
    "section_gap_mm": "gap between sections",
}
_STACK = ("rows", "row_gap_mm")
_PARTS = {"blocked": "blocked areas", "zones": "light", "fixings": "fixings"}


def reasons(before: Data, now: Data, whereabouts: Mapping[str, str]) -> list[str]:
    """Compare two problems in the JSON contract; `whereabouts` says why a piece left the hang."""
    return [
        *_walls(_by_id(before["walls"]), _by_id(now["walls"])),
        *_pieces(_by_id(before["pieces"]), _by_id(now["pieces"]), whereabouts),
        *_rules(before, now),
    ]


def _by_id(rows: list[Data]) -> dict[str, Data]:
    return {row["id"]: row for row in rows}


def _walls(before: dict[str, Data], now: dict[str, Data]) -> Iterator[str]:
    for name in [name for name in before if name not in now]:
        yield f"{name} is no longer one of the walls."
    for name in [name for name in now if name not in before]:
        yield f"{name} is now one of the walls."
    for name in [name for name in before if name in now]:
        then, wall = before[name], now[name]
        for field, words in _WALL.items():
            if then[field] != wall[field]:
                yield f"{name} is now {words.format(_mm(wall[field]))}, was {_mm(then[field])}."
        if then.get("datum_mm") != wall.get("datum_mm"):
            was, is_now = _datum(then), _datum(wall)
            yield f"{name} now has {is_now}, had {was}."
        for field, words in _PARTS.items():
            if then[field] != wall[field]:
                yield f"{name}: {words} changed{_part_words(field, then[field], wall[field])}."
    if list(before) != list(now) and before.keys() == now.keys():
        yield "The walls stand in another order."


def _datum(wall: Data) -> str:
    own = wall.get("datum_mm")
    return "the hang's datum" if own is None else f"a datum of its own at {_mm(own)} mm"


def _part_words(field: str, then: list[Data], now: list[Data]) -> str:
    say = {"blocked": _area, "zones": _zone, "fixings": _fixing}[field]
    gone = [say(row) for row in then if row not in now]
    come = [say(row) for row in now if row not in then]
    if not gone and not come:
        return ""
    return (
        f": now {', '.join(come) or 'without'}{', was' if gone else ''} {', '.join(gone)}".rstrip()
    )


def _area(row: Data) -> str:
    size = f"{row['width_mm']} × {row['height_mm']} mm"
    return f"{row['what'] or 'area'} {size} at {_mm(row['x_mm'])} mm"


def _zone(row: Data) -> str:
    return f"{row['lux']} lx from {_mm(row['from_mm'])} to {_mm(row['to_mm'])} mm"


def _fixing(row: Data) -> str:
    limits = (row["max_kg_per_object"], "kg each"), (row["max_kg_per_m"], "kg/m")
    said = " and ".join(f"{value:g} {unit}" for value, unit in limits if value is not None)
    return f"{said or 'no limit'} from {_mm(row['from_mm'])} to {_mm(row['to_mm'])} mm"


def _pieces(
    before: dict[str, Data], now: dict[str, Data], whereabouts: Mapping[str, str]
) -> Iterator[str]:
    for number in before:
        if number not in now:
            gone = "no longer has a place kept" if before[number].get("reserve") else ""
            yield f"{number} {gone or whereabouts.get(number, 'is no longer on the list')}."
    for number in now:
        if number not in before:
            yield f"{number} now hangs too{_kept(now[number])}."
    for number in [number for number in before if number in now]:
        yield from _piece(number, before[number], now[number])


def _kept(piece: Data) -> str:
    return ": a place is kept for it" if piece.get("reserve") else ""


def _piece(number: str, then: Data, piece: Data) -> Iterator[str]:
    if then.get("reserve") and not piece.get("reserve"):
        yield f"{number} hangs itself now, where a place was kept for it."
    for field, (words, nothing) in _PIECE.items():
        old, new = then[field], piece[field]
        if old == new:
            continue
        if new == nothing:
            yield f"{number} is no longer known to be {words.format(_mm(old))}."
        elif old == nothing:
            yield f"{number} is now {words.format(_mm(new))}."
        else:
            yield f"{number} is now {words.format(_mm(new))}, was {_mm(old)}."
    if then["mass_g"] != piece["mass_g"]:
        yield f"{number} now weighs {_kg(piece['mass_g'])}, was {_kg(then['mass_g'])}."
    if then["section"] != piece["section"]:
        was, here = _section(then["section"]), _section(piece["section"])
        yield f"{number} is now in {here}, was in {was}."
    walls = [tuple(row.get("walls", ())) for row in (then, piece)]
    if walls[0] != walls[1]:
        yield f"{number} may now hang {_only_on(walls[1])}, before {_only_on(walls[0])}."
    place = [[row[key] for key in ("wall", "x_mm", "y_mm")] for row in (then, piece)]
    if place[0] != place[1]:
        yield f"{number} is now {_place(*place[1])}, was {_place(*place[0])}."


def _rules(before: Data, now: Data) -> Iterator[str]:
    then, rule = before["arrangement"], now["arrangement"]
    for field, words in _RULE.items():
        if field in _STACK and then["kind"] != rule["kind"]:
            continue
        was, is_now = then.get(field), rule.get(field)
        if was != is_now:
            yield f"The {words} is now {_value(field, is_now)}, was {_value(field, was)}."
    yield from _sections(before, now)
    labels = [_label(data["pieces"]) for data in (before, now)]
    if labels[0] and labels[1] and labels[0] != labels[1]:
        yield f"Labels are now {labels[1]}, were {labels[0]}."
    if _order(then["order"], now) != _order(rule["order"], before):
        yield "The order of the list changed."
    old, new = then["sections"] or [], rule["sections"] or []
    if [name for name in old if name in new] != [name for name in new if name in old]:
        yield "The order of the sections changed."
    for field, say in (("together", _together), ("apart", _apart), ("near", _near)):
        asked, asks = ([say(row) for row in data.get(field, [])] for data in (before, now))
        yield from (f"Now asked: {words}." for words in asks if words not in asked)
        yield from (f"No longer asked: {words}." for words in asked if words not in asks)


def _sections(before: Data, now: Data) -> Iterator[str]:
    """Say which sections are bound to other walls; those on one side only come and go as such."""
    known = [{row["section"] for row in data["pieces"]} for data in (before, now)]
    then, is_now = before.get("section_walls", {}), now.get("section_walls", {})
    for name in sorted({*then, *is_now}):
        walls = [tuple(bound.get(name, ())) for bound in (then, is_now)]
        if walls[0] != walls[1] and all(name in sections for sections in known):
            yield (
                f"Section {name} may now hang {_only_on(walls[1])}, before {_only_on(walls[0])}."
            )


def _together(numbers: list[str]) -> str:
    return f"{', '.join(numbers)} together"


def _apart(row: Data) -> str:
    return f"{', '.join(row['pieces'])} at least {_mm(row['at_least_mm'])} mm apart"


def _near(row: Data) -> str:
    weight = HangRule.Weight(row["weight"]).label
    return f"{', '.join(row['pieces'])} near each other, which matters {weight}"


def _order(order: list[str] | None, other: Data) -> list[str] | None:
    """Keep only what both know, so that one more or less object is no other order."""
    known = {row["id"] for row in other["pieces"]}
    return None if order is None else [number for number in order if number in known]


def _label(pieces: list[Data]) -> str:
    if not pieces:
        return ""
    label = pieces[0]["label"]
    if label is None:
        return "left out"
    return (
        f"{label['width_mm']} × {label['height_mm']} mm, {label['gap_mm']} mm away, {label['side']}"
    )


def _only_on(walls: tuple[str, ...]) -> str:
    return f"only on {', '.join(walls)}" if walls else "on any wall"


def _place(wall: str | None, x_mm: int | None, y_mm: int | None) -> str:
    if wall is None:
        return "free to hang anywhere"
    along = f" with its left edge at {_mm(x_mm)} mm" if x_mm is not None else ""
    high = f" with its bottom edge at {_mm(y_mm)} mm" if y_mm is not None else ""
    return f"fixed on {wall}{along}{high}"


def _section(section: str | None) -> str:
    return f"section {section}" if section else "no section"


def _kg(mass_g: int) -> str:
    return f"{mass_g / 1000:g} kg" if mass_g else "unknown"


def _value(field: str, value: Any) -> str:
    if value is None:
        return "open"
    if field == "kind":
        return label_of(value)
    if field == "rows":
        return str(value)
    return f"{_mm(value)} mm" if isinstance(value, int) else str(value).replace("_", " ")


def _mm(value: Any) -> str:
    """Write a length with a comma between thousands from 10,000 on."""
    return f"{value:,}" if isinstance(value, int) and value > 9999 else str(value)
