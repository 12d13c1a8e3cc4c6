"""Sections followed along runs as sums of subsets, against every way to hang them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from layouts import Problem
from layouts.blocks import blocks_of
from layouts.geometry import cells_of, clear_runs
from layouts.search.assign import own_gap_mm
from layouts.search.chain import chain_of
from layouts.search.model import Task
from layouts.search.sums import some_bit, some_subset, sums_of, widened, window
from layouts.search.trace import paths
from layouts.search.walk import Walk

WIDTHS = st.integers(1, 60)
ITEMS = st.lists(st.tuples(WIDTHS, st.integers(1, 2)), max_size=7)


@given(ITEMS)
def test_sums_are_those_of_all_subsets(pairs: list[tuple[int, int]]) -> None:
    items = [(n, width, count) for n, (width, count) in enumerate(pairs)]
    most = sum(count for _, count in pairs)
    rows = sums_of(items, most)
    found = {(c, w) for c, row in enumerate(rows) for w in range(row.bit_length()) if row >> w & 1}
    assert found == {
        (sum(c for _, _, c in some), sum(w for _, w, _ in some))
        for size in range(len(items) + 1)
        for some in combinations(items, size)
    }


@given(ITEMS, st.integers(0, 200), st.integers(0, 8), st.integers(0, 5))
def test_a_subset_is_found_where_there_is_one(
    pairs: list[tuple[int, int]], width: int, count: int, seed: int
) -> None:
    items = [(n, wide, many) for n, (wide, many) in enumerate(pairs)]
    found = some_subset(items, width, count, Random(seed))  # noqa: S311
    rows = sums_of(items, count)
    assert (found is not None) == bool(rows[count] >> width & 1)
    if found is not None:
        assert sum(items[n][1] for n in found) == width
        assert sum(items[n][2] for n in found) == count


@given(st.integers(1, 2**40), st.integers(0, 9))
def test_a_row_is_widened_bit_by_bit(row: int, by: int) -> None:
    expected = 0
    for step in range(by + 1):
        expected |= row << step
    assert widened(row, by) == expected
    assert row >> some_bit(row, Random(by)) & 1  # noqa: S311


def test_a_window_has_its_bounds_in_it() -> None:
    assert window(2, 4) == 0b11100
    assert window(-3, 1) == 0b11
    assert window(4, 2) == 0


@st.composite
def problems(draw: st.DrawFn) -> dict[str, object]:
    sections = draw(st.integers(1, 3))
    pieces = []
    for n in range(draw(st.integers(sections, 6))):
        pieces.append(
            {
                "id": f"P{n}",
                "width_mm": draw(st.integers(100, 900)),
                "height_mm": 400,
                "section": str(n % sections),
                "max_lux": draw(st.sampled_from([None, 50, 150])),
            }
        )
    walls = [
        {
            "id": f"W{n}",
            "length_mm": draw(st.integers(900, 3000)),
            "height_mm": 3000,
            "zones": [{"from_mm": 0, "to_mm": 900, "lux": draw(st.sampled_from([40, 100, 200]))}],
        }
        for n in range(draw(st.integers(1, 4)))
    ]
    for wall in walls:
        wall["zones"][0]["to_mm"] = wall["length_mm"]
    together = [["P0", f"P{sections}"]] if len(pieces) > sections and draw(st.booleans()) else []
    rule = {
        "kind": "by_section",
        "sections": [str(n) for n in range(sections)],
        "ends": draw(st.sampled_from(["same", "half", "free"])),
        "section_gap_mm": draw(st.sampled_from([None, 700])),
        "max_gap_mm": draw(st.sampled_from([None, 400])),
    }
    return {"walls": walls, "pieces": pieces, "arrangement": rule, "together": together}


def _ways(task: Task) -> Iterator[list[int]]:
    """Yield every way to share blocks out that keeps light and the order of sections."""
    runs = range(len(task.runs))
    rank = {name: n for n, name in enumerate(task.problem.arrangement.sections or ())}
    for rows in product(runs, repeat=len(task.blocks)):
        spans: dict[int, list[int]] = {}
        for block, r in zip(task.blocks, rows, strict=True):
            spans.setdefault(rank[block.section or ""], []).append(r)
        order = sorted(spans)
        follow = all(max(spans[a]) <= min(spans[b]) for a, b in combinations(order, 2))
        bright = any(
            block.max_lux is not None and task.cells[r].lux > block.max_lux
            for block, r in zip(task.blocks, rows, strict=True)
        )
        if follow and not bright:
            yield list(rows)


def _in_band(task: Task, rows: list[int], band: tuple[int, int]) -> bool:
    for r, run in enumerate(task.runs):
        here = [b for b, x in zip(task.blocks, rows, strict=True) if x == r]
        if not here:
            if band[0] >= task.needed_mm[r]:
                return False
            continue
        wide = task.problem.arrangement.section_gap_mm or 0
        changes = len({b.section for b in here}) - 1
        if sum(b.width_mm for b in here) + wide * changes > run.length_mm:
            return False
        gap = own_gap_mm(task.problem, run, here)
        free = task.problem.arrangement.ends == "free"
        if gap < band[0] or (gap > band[1] and not free):
            return False
    return True


@given(problems(), st.integers(0, 300), st.sampled_from([0, 5, 60, 3000]))
def test_a_band_is_denied_only_where_no_hang_has_its_gaps_there(
    data: dict[str, object], least: int, wide: int
) -> None:
    problem = Problem.from_dict(data)
    runs = clear_runs(problem)
    task = Task(problem, blocks_of(problem), runs, cells_of(runs, problem))
    chain = chain_of(task)
    assert chain is not None
    band = (least, least + wide)
    walk = Walk(chain, band)
    strict = walk.stricter()
    there_is = any(_in_band(task, rows, band) for rows in _ways(task))
    if there_is:
        assert not walk.denied
        assert not strict.denied
    for found in (walk, strict):
        for rows in paths(found, 0):
            assert rows in list(_ways(task))
            assert _in_band(task, rows, band)
