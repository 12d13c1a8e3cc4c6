"""Faults to plant in right hangs.

Each takes a right hang and returns it with the fault, or with `by=0` its harmless neighbour.
"""

from dataclasses import replace

from layouts.problem import Apart, Blocked, Fixing, Zone
from tests.layouts.every_stretch import lead, width
from tests.layouts.right_hangs import (
    ask,
    build,
    demand,
    edges,
    gaps,
    hang,
    inside,
    place,
    plain,
    row_of,
    rule,
)


def overlap(hung, by=1):
    a, b = plain(hung)
    _, bottom, at, _ = edges(hung, a)
    return hang(hung, b, x_mm=at - by + lead(hung[0].piece(b)), y_mm=bottom)


def over_label(hung, by=1):
    _, bottom, at, _ = edges(hung, "P1")
    other = next(name for name in ("P0", "P2", "P3") if name in {p.id for p in hung[0].pieces})
    home = place(hung, "P1")
    return hang(hung, other, wall=home.wall, row=home.row, x_mm=at + 190 - by, y_mm=bottom)


def bright(hung, by=1):
    name = row_of(hung)[0]
    edge, home = edges(hung, name)[2] - by, place(hung, name).wall
    zones = (Zone(0, edge, 50), Zone(edge, hung[0].wall(home).length_mm, 51))
    return ask(build(hung, home, zones=zones), name, max_lux=50)


def overdose(hung, by=1):
    name = row_of(hung)[0]
    home = place(hung, name).wall
    zones = (Zone(0, hung[0].wall(home).length_mm, 50, hours=1000),)
    return ask(build(hung, home, zones=zones), name, max_lux_hours=50_000 - by)


def dose_at_border(hung, by=1):
    name = row_of(hung)[0]
    edge, home = edges(hung, name)[2] - by, place(hung, name).wall
    zones = (
        Zone(0, edge, 50, hours=1000),
        Zone(edge, hung[0].wall(home).length_mm, 50, hours=1001),
    )
    return ask(build(hung, home, zones=zones), name, max_lux_hours=50_000)


def blocked_beside(hung, by=1):
    name = row_of(hung)[-1]
    _, bottom, edge, _ = edges(hung, name)
    if label := hung[0].piece(name).label:
        edge += label.gap_mm + label.width_mm
    return _blocked(hung, name, Blocked(edge - by, bottom, 5, 5))


def blocked_above(hung, by=1):
    name = row_of(hung)[0]
    left, _, _, top = edges(hung, name)
    return _blocked(hung, name, Blocked(left, top - by, 5, 50))


def blocked_label(hung, by=1):
    _, bottom, edge, _ = edges(hung, "P1")
    return _blocked(hung, "P1", Blocked(edge + 190 - by, bottom, 5, 5))


def _blocked(hung, name, area):
    home = place(hung, name).wall
    return build(hung, home, blocked=(*hung[0].wall(home).blocked, area))


def off_right(hung, by=1):
    home = place(hung, row_of(hung)[0]).wall
    ends = [edges(hung, p.id)[2] for p in hung[1].placements if p.wall == home]
    ends += [edges(hung, "P1")[2] + 190] if place(hung, "P1").wall == home else []
    return build(hung, home, length_mm=max(ends) - by)


def off_top(hung, by=1):
    home = place(hung, row_of(hung)[0]).wall
    tops = [edges(hung, p.id)[3] for p in hung[1].placements if p.wall == home]
    return build(hung, home, height_mm=max(tops) - by)


def heavy(hung, by=1):
    name = row_of(hung)[0]
    home = place(hung, name).wall
    fixings = (Fixing(0, hung[0].wall(home).length_mm, 12.5),)
    return ask(build(hung, home, fixings=fixings), name, mass_g=12_500 + by)


def heavy_at_border(hung, by=1):
    name = row_of(hung)[0]
    edge, home = edges(hung, name)[2] - by, place(hung, name).wall
    fixings = (Fixing(0, edge, 40), Fixing(edge, hung[0].wall(home).length_mm, 12.5))
    return ask(build(hung, home, fixings=fixings), name, mass_g=13_000)


def heavy_by_metre(hung, by=1):
    """The wall's limit is 12.5 kg/m times its length; one piece takes all that is left of it."""
    name = row_of(hung)[0]
    home = place(hung, name).wall
    length = hung[0].wall(home).length_mm
    others = sum(
        hung[0].piece(p.id).mass_g for p in hung[1].placements if p.wall == home and p.id != name
    )
    fixings = (Fixing(0, length, None, 12.5),)
    rest = length * 25 // 2 - others
    return ask(build(hung, home, fixings=fixings), name, mass_g=rest + by)


def one_between(hung, by=1):
    row = row_of(hung)
    return demand(hung, together=((row[0], row[1 + by]),))


def torn_apart(hung, by=1):
    row = row_of(hung)
    far = next(p.id for p in hung[1].placements if p.id not in row and p.id != "F")
    return demand(hung, together=((row[0], far if by else row[1]),))


def too_near(hung, by=1):
    a, b = sorted(row_of(hung)[:2], key=lambda name: edges(hung, name)[0])
    between = edges(hung, b)[0] - edges(hung, a)[2]
    return demand(hung, apart=(Apart((a, b), between + by),))


def fixed_x(hung, by=1):
    return hang(hung, "F", x_mm=2500 + by)


def fixed_y(hung, by=1):
    return hang(hung, "F", y_mm=1350 + by)


def other_wall(hung, by=1):
    name = row_of(hung)[0]
    home = place(hung, name).wall
    return ask(hung, name, wall={"N": "E", "E": "N"}[home] if by else home)


def none_of_walls(hung, by=1):
    name = row_of(hung)[0]
    home = place(hung, name).wall
    return ask(hung, name, walls=({"N": "E", "E": "N"}[home],) if by else ("N", "E"))


def wall_of_section(hung, by=1):
    chosen = ("N", "E") if not by else tuple({"N", "E"} - {place(hung, "P0").wall})
    return demand(hung, section_walls={"A": chosen})


def swapped_order(hung, by=1):
    task, answer = hung
    at = {w.id: n for n, w in enumerate(task.walls)}
    names = [p.id for p in sorted(answer.placements, key=lambda p: (at[p.wall], p.row, p.x_mm))]
    if by:
        names[2], names[3] = names[3], names[2]
    return rule(hung, order=tuple(names))


def swapped_sections(hung, by=1):
    return rule(hung, sections=("B", "A") if by else ("A", "B"))


def interrupted_section(hung, by=1):
    """The first piece walked past becomes one of the last section."""
    first = min(hung[1].placements, key=lambda p: ("NE".index(p.wall), p.x_mm)).id
    task = rule(hung, sections=None)
    return ask(task, first, section="B" if by else hung[0].piece(first).section)


def uneven(hung, by=2):
    """Move one piece of several by 2 mm: its gaps then differ by 4."""
    name = row_of(hung)[1]
    return hang(hung, name, x_mm=place(hung, name).x_mm + by)


def shifted(hung, by=2):
    """Move a whole run by 2 mm: the gaps stay, the margins part."""
    for name in row_of(hung):
        hung = hang(hung, name, x_mm=place(hung, name).x_mm + by)
    return hung


def over_max(hung, by=1):
    return rule(hung, max_gap_mm=max(gaps(hung)) - by)


def under_min(hung, by=1):
    return rule(hung, min_gap_mm=min(gaps(hung)) + by)


def section_gap(hung, by=1):
    """Let one piece at a run's end be a section of its own, parted by what is not its gap."""
    *_, last, name = row_of(hung)
    wanted = edges(hung, name)[0] - edges(hung, last)[0] - width(hung[0].piece(last))
    for one in hung[0].pieces:
        hung = ask(hung, one.id, section="B" if one.id == name else "A")
    return rule(hung, sections=None, section_gap_mm=wanted + by)


def exchanged(hung, by=1):
    """Let the two pieces of a run that differ most change places, gaps kept equal."""
    row = row_of(hung)
    size = {"mirrored": "width_mm"}.get(hung[0].arrangement.kind, "height_mm")
    sizes = [getattr(hung[0].piece(name), size) for name in row]
    a, b = sizes.index(min(sizes)), sizes.index(max(sizes))
    order = list(row)
    if by:
        order[a], order[b] = order[b], order[a]
    return respaced(hung, order)


def respaced(hung, order):
    """Hang a run's pieces in another order at the run's gaps."""
    run = next(run for run in hung[1].runs if inside(place(hung, order[0]), run))
    pieces = [hung[0].piece(name) for name in order]
    free = run.to_mm - run.from_mm - sum(map(width, pieces))
    taken = 0
    for n, one in enumerate(pieces, 1):
        x_mm = run.from_mm + free * n // (len(pieces) + 1) + taken + lead(one)
        hung = hang(hung, one.id, x_mm=x_mm)
        taken += width(one)
    return hung


def hook(hung, by=1):
    name = row_of(hung)[0]
    return hang(hung, name, hook_mm=place(hung, name).hook_mm + by)


def off_datum(hung, by=1):
    name = row_of(hung)[0]
    return hang(hung, name, y_mm=place(hung, name).y_mm + by)


def wall_datum(hung, by=1):
    return build(hung, place(hung, row_of(hung)[0]).wall, datum_mm=1500 + by)


def off_line(hung, by=1):
    return off_datum(hung, by)


def stack_up(hung, by=1):
    home = place(hung, row_of(hung)[0]).wall
    for p in hung[1].placements:
        if p.wall == home and p.id != "F":
            hung = hang(hung, p.id, y_mm=p.y_mm + by)
    return hung


def stack_along(hung, by=1):
    for name in row_of(hung):
        hung = hang(hung, name, x_mm=place(hung, name).x_mm + by)
    return hung


def row_gap(hung, by=1):
    return rule(hung, row_gap_mm=200 + by)


def row_unknown(hung, by=1):
    name = row_of(hung)[0]
    return hang(hung, name, row=2 if by else place(hung, name).row)


def cluster_gap(hung, by=1):
    return rule(hung, min_gap_mm=60 + by)


def too_low(hung, by=1):
    low = min(edges(hung, p.id)[1] for p in hung[1].placements)
    return rule(hung, lowest_edge_mm=low + by)


def too_high(hung, by=1):
    high = max(edges(hung, p.id)[3] for p in hung[1].placements)
    return rule(hung, highest_edge_mm=high - by)


def missing(hung, by=1):
    return hung[0], replace(hung[1], placements=hung[1].placements[by:])


def twice(hung, by=1):
    return hung[0], replace(hung[1], placements=hung[1].placements + hung[1].placements[:by])


def unknown_piece(hung, by=1):
    added = replace(hung[1].placements[0], id="nobody's", x_mm=0)
    return hung[0], replace(hung[1], placements=hung[1].placements + (added,) * by)


def unknown_wall(hung, by=1):
    return hang(hung, row_of(hung)[0], wall="S") if by else hung


def run_left_out(hung, by=1):
    used = next(run for run in hung[1].runs if inside(place(hung, row_of(hung)[0]), run))
    kept = tuple(run for run in hung[1].runs if run != used) if by else hung[1].runs
    return hung[0], replace(hung[1], runs=kept)


def run_cut_short(hung, by=1):
    runs = tuple(replace(run, to_mm=run.to_mm - by) for run in hung[1].runs)
    return hung[0], replace(hung[1], runs=runs)
