"""Tight groups of up to eight pieces against every way there is to pack them.

Sizes are whole steps of 100 mm once the gap is added, so that every packing may be tried on squared
paper: the first free square, row by row, is left blank or takes a piece's lower left corner.
"""

import math
from functools import cache
from itertools import combinations, product

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from layouts.clustering import lowest_band
from tests.layouts.problems import piece, problem, wall

WANDERING = not settings.default.derandomize
"""Few in the usual run; `--hypothesis-profile=wander` tries thousands."""


def brute(usually: int) -> settings:
    return settings(
        max_examples=settings.default.max_examples if WANDERING else usually,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )


STEP = 100
Size = tuple[int, int]


def fits(sizes: tuple[Size, ...], width: int, height: int) -> bool:
    """Tell whether rectangles, not turned, fit a box, by trying every packing on squared paper."""

    @cache
    def fill(taken: int, left: tuple[Size, ...]) -> bool:
        if not left:
            return True
        free = width * height - taken.bit_count()
        if free < sum(w * h for w, h in left):
            return False
        at = (~taken & (taken + 1)).bit_length() - 1
        for n, (w, h) in enumerate(left):
            if at % width + w > width or at // width + h > height or left[n] in left[:n]:
                continue
            shape = sum(((1 << w) - 1) << (at + row * width) for row in range(h))
            if not taken & shape and fill(taken | shape, left[:n] + left[n + 1 :]):
                return True
        return fill(taken | 1 << at, left)

    return fill(0, tuple(sorted(sizes, reverse=True)))


sides = st.integers(1, 4)
few_sizes = st.lists(st.tuples(sides, sides), min_size=1, max_size=8)


def in_mm(size: Size, gap: int) -> Size:
    return size[0] * STEP - gap, size[1] * STEP - gap


@brute(30)
@given(few_sizes, st.integers(4, 7), st.sampled_from([0, 10, 60]))
def test_no_band_is_lower_than_the_lowest_and_none_is_bounded_above_it(sizes, across, gap):
    width = across * STEP - gap
    band = lowest_band([in_mm(size, gap) for size in sizes], gap, width, trials=300)
    least = next(h for h in range(1, 40) if fits(tuple(sizes), across, h))
    event(f"proved {band.proved}")
    assert band.height_mm >= least * STEP - gap
    assert band.bound_mm <= least * STEP - gap
    if band.proved:
        assert band.height_mm == least * STEP - gap


@st.composite
def groups(draw):
    """Generate tight groups on up to three walls that differ in light and strength."""
    gap = draw(st.sampled_from([0, 10, 60]))
    things = []
    for n, size in enumerate(draw(few_sizes)):
        wide, high = in_mm(size, gap)
        label = None
        if wide > 300 and draw(st.booleans()):
            side = draw(st.sampled_from(["left", "right"]))
            label = {"width_mm": 100, "height_mm": 30, "side": side, "gap_mm": 40}
            wide -= 140
        more = {"max_lux": draw(st.sampled_from([None, None, None, 50]))}
        more |= {"mass_g": draw(st.sampled_from([0, 0, 9000])), "label": label}
        things.append(piece(f"P{n}", wide, high, **more))
    walls = []
    for name in "NES"[: draw(st.integers(1, 3 if len(things) < 6 else 2))]:
        length = draw(st.integers(2, 14)) * STEP - gap
        lux, strong = draw(st.sampled_from([50, 50, 200])), draw(st.sampled_from([20, 20, 5]))
        zones = [{"from_mm": 0, "to_mm": length, "lux": lux}]
        fixings = [{"from_mm": 0, "to_mm": length, "max_kg_per_object": strong}]
        walls.append(wall(name, length, zones=zones, fixings=fixings))
    names = st.sampled_from([p["id"] for p in things])
    pair = st.lists(names, min_size=2, max_size=2, unique=True)
    apart = draw(st.lists(pair, max_size=1)) if len(things) > 1 else []
    return problem(
        walls,
        things,
        apart=[{"pieces": two, "at_least_mm": 2000} for two in apart],
        kind="cluster",
        min_gap_mm=gap,
        datum_mm=draw(st.sampled_from([300, 900, 1800])),
    )


def box(one, gap: int) -> Size:
    """Return the steps that a piece takes with its label and its gap."""
    label = one.label
    wide = one.width_mm + (label.gap_mm + label.width_mm if label else 0)
    return (wide + gap) // STEP, (max(one.height_mm, 30 if label else 0) + gap) // STEP


def some_hang(task: Problem) -> bool:
    """Tell whether the pieces can be shared out so that each wall's pieces fit a group there.

    A group is at most 1.3 times as high as the side of a square of all pieces' area, or as the
    longest wall asks for, and as there is room about the datum; what must part hangs on different
    walls.
    """
    gap, datum = task.arrangement.min_gap_mm, task.arrangement.datum_mm
    boxes = {one.id: box(one, gap) for one in task.pieces}
    area = sum(w * h for w, h in boxes.values()) * STEP**2
    longest = max(place.length_mm for place in task.walls)
    high = math.ceil(1.3 * max(math.sqrt(area), area / longest))
    high = max(high, *(h * STEP - gap for _, h in boxes.values()))
    parted = [set(two) for rule in task.apart for two in combinations(rule.pieces, 2)]
    for chosen in product(task.walls, repeat=len(task.pieces)):
        groups = [
            [one for one, home in zip(task.pieces, chosen, strict=True) if home is place]
            for place in task.walls
        ]
        if any(pair <= {one.id for one in some} for some in groups for pair in parted):
            continue
        if all(
            _bears(place, some)
            and fits(
                tuple(boxes[one.id] for one in some),
                (place.length_mm + gap) // STEP,
                (min(high, 2 * datum, 2 * (place.height_mm - datum)) + gap) // STEP,
            )
            for place, some in zip(task.walls, groups, strict=True)
        ):
            return True
    return False


def _bears(place, some) -> bool:
    lux, strong = place.zones[0].lux, place.fixings[0].max_kg_per_object * 1000
    return all(one.mass_g <= strong and (one.max_lux or lux) >= lux for one in some)


@brute(4)
@given(groups())
def test_tight_groups_are_called_impossible_or_perfect_only_where_they_are(data):
    task = Problem.from_dict(data)
    answer = solve(task, seconds=20)
    event(answer.status if answer.placements else str({c.rule for c in answer.conflicts}))
    if not answer.placements:
        if {c.rule for c in answer.conflicts} != {"not_found"}:
            assert not some_hang(task)
        return
    assert check(task, answer) == []
    if answer.status == "optimal":
        gap = task.arrangement.min_gap_mm
        boxes = [box(one, gap) for one in task.pieces]
        lead = {one.id: 140 if one.label and one.label.side == "left" else 0 for one in task.pieces}
        left = min(p.x_mm - lead[p.id] for p in answer.placements)
        low = min(p.y_mm for p in answer.placements)
        size = {one.id: box(one, gap) for one in task.pieces}
        right = max(p.x_mm - lead[p.id] + size[p.id][0] * STEP for p in answer.placements)
        top = max(p.y_mm + size[p.id][1] * STEP for p in answer.placements)
        assert (right - left) * (top - low) == sum(w * h for w, h in boxes) * STEP**2
