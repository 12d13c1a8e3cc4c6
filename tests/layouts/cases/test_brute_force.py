"""Tiny showcases against every way to fill them: up to six objects and two cases."""

import itertools
from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from layouts.cases import CasesProblem, check_cases, solve_cases
from tests.layouts.cases.examples import few
from tests.layouts.cases.problems import problem

CLIMATES = [{"low_percent": 30, "high_percent": 40}, {"low_percent": 45, "high_percent": 55}]


@st.composite
def tiny(draw):
    count = draw(st.integers(1, 6))
    names = [f"O{n}" for n in range(count)]
    objects = [
        {
            "id": name,
            "width_mm": draw(st.integers(1, 3)),
            "depth_mm": draw(st.integers(1, 2)),
            "height_mm": draw(st.integers(1, 3)),
            "mass_g": draw(st.integers(0, 3)),
            "turns": draw(st.booleans()),
            "max_lux": draw(st.sampled_from([None, None, 50])),
            "min_lux": draw(st.sampled_from([None, None, None, 200])),
            "climate": draw(st.sampled_from([None, None, *CLIMATES])),
            "tags": draw(st.sampled_from([[], ["a"], ["b"]])),
        }
        for name in names
    ]
    for row in objects:
        if row["max_lux"] is not None:
            row["min_lux"] = None
    shelf = {
        "depth_mm": draw(st.integers(2, 3)),
        "lowest_mm": 2,
        "highest_mm": draw(st.integers(2, 3)),
        "thickness_mm": draw(st.integers(0, 1)),
        "max_g": draw(st.sampled_from([None, 3])),
    }
    case = {
        "id": "K",
        "count": 2,
        "width_mm": draw(st.integers(3, 4)),
        "depth_mm": 3,
        "height_mm": draw(st.integers(3, 5)),
        "glazed": [],
        "lux": draw(st.sampled_from([[], [50, 200]])),
        "climates": CLIMATES,
        "max_g": draw(st.sampled_from([None, 8])),
        "shelves": [shelf] if shelf["highest_mm"] < 3 and draw(st.booleans()) else [],
    }
    gap = draw(st.integers(0, 1))
    together = [names[:2]] if count > 2 and draw(st.booleans()) else []
    return problem(
        [case],
        objects,
        conflicts=[{"tags": ["a", "b"]}] if draw(st.booleans()) else [],
        together=together,
        clearances={"between_mm": gap, "glass_mm": 0, "above_mm": draw(st.integers(0, 1))},
    )


def fewest_cases(data):
    """Try every split over the cases, every setting, every surface, and every place on a grid."""
    task = CasesProblem.from_dict(data)
    case = task.kinds[0]
    objects = task.objects

    def bears(one, lux, band):
        return (
            (lux is None or one.max_lux is None or lux <= one.max_lux)
            and (lux is None or one.min_lux is None or lux >= one.min_lux)
            and (one.climate is None or one.climate == band)
        )

    def lie(boxes, depth, gap, placed):
        if not boxes:
            return True
        one, *rest = boxes
        for wide, deep in {
            (one.width_mm, one.depth_mm),
            (one.depth_mm, one.width_mm) if one.turns else (one.width_mm, one.depth_mm),
        }:
            for x in range(case.width_mm - wide + 1):
                for y in range(depth - deep + 1):
                    if all(
                        x + wide + gap <= a
                        or a + w + gap <= x
                        or y + deep + gap <= b
                        or b + d + gap <= y
                        for a, b, w, d in placed
                    ) and lie(rest, depth, gap, [*placed, (x, y, wide, deep)]):
                        return True
        return False

    @cache
    def on_surface(group, depth):
        chosen = sorted((objects[n] for n in group), key=lambda o: -o.width_mm * o.depth_mm)
        return lie(chosen, depth, task.clearances.between_mm, [])

    def stands(group):
        if case.max_g is not None and sum(objects[n].mass_g for n in group) > case.max_g:
            return False
        above = task.clearances.above_mm
        for up in (
            itertools.product((False, True), repeat=len(group))
            if case.shelves
            else [(False,) * len(group)]
        ):
            low = tuple(n for n, high in zip(group, up, strict=True) if not high)
            high = tuple(n for n, high in zip(group, up, strict=True) if high)
            need_low = max((objects[n].height_mm + above for n in low), default=0)
            if not on_surface(low, case.depth_mm):
                continue
            if not high:
                if need_low <= case.height_mm:
                    return True
                continue
            shelf = case.shelves[0]
            if shelf.max_g is not None and sum(objects[n].mass_g for n in high) > shelf.max_g:
                continue
            need_high = max(objects[n].height_mm + above for n in high)
            heights = range(shelf.lowest_mm, shelf.highest_mm + 1)
            if any(
                need_low + shelf.thickness_mm <= z and z + need_high <= case.height_mm
                for z in heights
            ) and on_surface(high, shelf.depth_mm):
                return True
        return False

    @cache
    def fits(group):
        for a, b in itertools.combinations(group, 2):
            for rule in task.conflicts:
                pair = {objects[a].tags, objects[b].tags}
                if pair == {(rule.tags[0],), (rule.tags[1],)}:
                    return False
        names = {objects[n].id for n in group}
        if any(0 < len(names & set(tied)) < len(tied) for tied in task.together):
            return False
        settings_there = itertools.product(case.lux or (None,), case.climates)
        return any(
            all(bears(objects[n], lux, band) for n in group) for lux, band in settings_there
        ) and stands(group)

    numbers = tuple(range(len(objects)))
    if fits(numbers):
        return 1
    for size in range(1, len(numbers) // 2 + 1):
        for group in itertools.combinations(numbers, size):
            rest = tuple(n for n in numbers if n not in group)
            if fits(group) and fits(rest):
                return 2
    return None


@few(50)
@given(tiny())
def test_search_agrees_with_every_way_to_fill(data):
    best = fewest_cases(data)
    answer = solve_cases(data, seconds=20)
    if best is None:
        assert answer.status == "infeasible"
        assert answer.reasons
    else:
        assert (answer.status, answer.measures.cases) == ("optimal", best)
        assert check_cases(CasesProblem.from_dict(data), answer) == []
