"""Elevations of several rows, of tight groups, and of places kept: every word can be read."""

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from lxml import etree

from layouts import Problem, solve
from layouts.drawing import Caption, Elevation, View, draw, extent, paper_plan, paper_view
from layouts.drawing.canvas import text_width
from layouts.problem import Arrangement, Piece, Wall
from layouts.solution import Placement, Solution
from tests.layouts.problems import piece, problem, wall

SVG = "{http://www.w3.org/2000/svg}"
LABEL = {"width_mm": 150, "height_mm": 100, "side": "right", "gap_mm": 40}
KINDS = ("rows", "cluster")


def hung(kind: str, count: int = 20, length: int = 7000, **more) -> Elevation:
    pieces = [
        piece(
            f"1904.{n}",
            200 + 53 * n % 350,
            200 + 67 * n % 250,
            mass_g=30_000 if n == 3 else 2000,
            label=LABEL if n % 4 == 0 and kind == "rows" else None,
            reserve=n == 5,
        )
        for n in range(count)
    ]
    rule = {"rows": 3, "row_gap_mm": 60} if kind == "rows" else {"min_gap_mm": 50}
    task = Problem.from_dict(
        problem([wall(length=length)], pieces, kind=kind, datum_mm=1550, **rule, **more)
    )
    answer = solve(task)
    assert answer.placements
    captions = {p.id: Caption(p.id, picture="/media/a.jpg") for p in task.pieces}
    return Elevation.of(task, answer, task.walls[0], captions=captions)


@pytest.fixture(scope="module", params=KINDS)
def elevation(request) -> Elevation:
    return hung(request.param)


def drawn(elevation: Elevation, view: View) -> etree._Element:
    return etree.fromstring(draw(elevation, view))


def box(text: etree._Element) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of a text, y upwards; figures are 0.7 of their size."""
    size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
    long, high = text_width(text.text, size), 0.7 * size
    anchor = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor")]
    if "rotate" in (text.get("transform") or ""):
        return x - high, -y - anchor * long, x, -y + (1 - anchor) * long
    return x - anchor * long, -y, x + (1 - anchor) * long, -y + high


def meet(a, b) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("text_mm", [60, 75, 120])
def test_no_words_fall_on_each_other(elevation, text_mm):
    words = list(drawn(elevation, View(text_mm=text_mm)).iter(f"{SVG}text"))
    assert len(words) > 100
    for a, b in combinations(words, 2):
        assert not meet(box(a), box(b)), (a.text, b.text)


def test_words_stay_on_the_sheet(elevation):
    for text_mm in (60, 120):
        view = View(text_mm=text_mm)
        left, bottom, width, height = extent(elevation, view)
        for text in drawn(elevation, view).iter(f"{SVG}text"):
            x, low, right, top = box(text)
            assert left <= x < right <= left + width, text.text
            assert bottom <= low < top <= bottom + height, text.text


def test_every_piece_is_numbered_inside_and_listed_with_its_places(elevation):
    texts = [e.text for e in drawn(elevation, View(text_mm=60)).iter(f"{SVG}text")]
    for one in elevation.hung:
        at = texts.index("no.")
        line = next(
            texts[n : n + 6]
            for n in range(at, len(texts) - 5)
            if texts[n : n + 2] == [str(one.order), one.piece.id]
        )
        assert line[2:4] == [str(one.x_mm), str(one.y_mm)]
        if one.piece.reserve:
            assert line[4] == "place kept"
        else:
            assert line[4:] == [" · ".join(map(str, one.hooks_mm)), str(one.hook_mm)]


def test_rows_count_from_the_top_and_tell_their_gaps():
    elevation = hung("rows")
    rows = elevation.rows
    assert [one.order for row in rows for one in row] == list(range(1, 21))
    assert all(a[0].y_mm > b[0].y_mm for a, b in pairwise(rows))
    texts = [e.text for e in drawn(elevation, View(text_mm=60)).iter(f"{SVG}text")]
    assert [t for t in texts if t.endswith(", gap")] == [f"row {n}, gap" for n in (1, 2, 3)]


def test_place_kept_is_dashed_and_has_no_hooks(elevation):
    root = drawn(elevation, View(text_mm=60))
    dashed = [e for e in root.iter(f"{SVG}rect") if e.get("stroke-dasharray")]
    (kept,) = [one for one in elevation.hung if one.piece.reserve]
    assert [float(dashed[0].get(name)) for name in ("x", "width")] == [
        kept.x_mm,
        kept.piece.width_mm,
    ]
    assert len(dashed) == 1
    hooks = [e for e in root.iter(f"{SVG}path") if e.get("class") == "hook"]
    assert len(hooks) == sum(len(one.hooks_mm) for one in elevation.hung if one is not kept)


def test_place_kept_is_named_by_what_stands_in_it(elevation):
    root = drawn(elevation, View(text_mm=60, links=True))
    (kept,) = [one for one in elevation.hung if one.piece.reserve]
    (link,) = [e for e in root.iter(f"{SVG}a") if e.get("data-piece") == kept.piece.id]
    size = f"{kept.piece.height_mm} × {kept.piece.width_mm} mm"
    assert link.get("aria-label") == (
        f"{kept.order}: place kept {kept.piece.id}, {size}, left edge at {kept.x_mm} mm, lower "
        f"edge {kept.y_mm} mm from the floor"
    )


def test_wall_with_its_own_datum_is_drawn_at_it(elevation):
    own = replace(elevation, wall=replace(elevation.wall, datum_mm=1400))
    texts = [e.text for e in drawn(own, View(text_mm=60)).iter(f"{SVG}text")]
    assert {"1400", "middle"} <= set(texts)
    assert "1550" not in texts


def test_sheets_of_a_long_wall_list_what_they_show():
    elevation = hung("rows", count=60, length=16_000)
    plan = paper_plan(elevation, scale=20)
    assert len(plan.windows) > 1
    listed = []
    for window in plan.windows:
        span = (window.from_mm, window.to_mm)
        root = drawn(elevation, paper_view(20, window=span))
        texts = [e.text for e in root.iter(f"{SVG}text")]
        shown = [one for one in elevation.hung if span[0] <= one.x_mm < span[1]]
        numbers = {one.piece.id for one in shown}
        listed += [text for text in texts[texts.index("no.") :] if text in numbers]
    assert sorted(listed) == sorted(one.piece.id for one in elevation.hung)


def test_rows_at_one_end_of_a_long_wall_are_listed_as_large_as_elsewhere():
    pieces = tuple(Piece(f"1904.{n}", 400, 300) for n in range(16))
    places = tuple(
        Placement(p.id, "N", 28_000 + 900 * (n // 2), 1700 - 600 * (n % 2), n % 2, 2000)
        for n, p in enumerate(pieces)
    )
    task = Problem((Wall("N", 36_000, 3_600),), pieces, Arrangement(kind="rows", rows=2))
    elevation = Elevation.of(task, Solution("optimal", places), task.walls[0])
    view = paper_view(20, window=(27_000, 36_000))
    sizes = {float(e.get("font-size")) for e in drawn(elevation, view).iter(f"{SVG}text")}
    assert min(sizes) >= 0.8 * view.text_mm
