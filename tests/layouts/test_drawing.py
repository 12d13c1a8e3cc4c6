"""The elevation as SVG: to the millimetre, complete, and safe to put on a page."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from layouts.drawing import BETWEEN_WALLS_MM, Caption, Elevation, View, draw, extent, overview
from layouts.drawing.figures import gap_spans
from layouts.drawing.wall import fixing_words, hatching
from layouts.problem import Blocked, Fixing, Problem, Wall
from layouts.solution import Solution
from tests.layouts.conftest import WALL

SVG = "{http://www.w3.org/2000/svg}"


def drawn(elevation: Elevation, **how: object) -> etree._Element:
    return etree.fromstring(draw(elevation, View(**{"text_mm": 60, **how})))


def of_class(root: etree._Element, kind: str) -> list[etree._Element]:
    return [e for e in root.iter() if kind in (e.get("class") or "").split()]


def box(element: etree._Element) -> tuple[float, ...]:
    return tuple(float(element.get(name)) for name in ("x", "y", "width", "height"))


def test_units_are_millimetres_and_y_runs_up_from_the_floor(elevation):
    root = drawn(elevation)
    (wall,) = of_class(root, "wall")
    assert box(wall) == (0, -3600, 9000, 3600)
    left, bottom, width, height = extent(elevation, View(text_mm=60))
    view = [float(number) for number in root.get("viewBox").split()]
    assert view == pytest.approx([left, -bottom - height, width, height], abs=0.01)


def test_every_piece_stands_where_the_solution_puts_it(elevation):
    outlines = sorted(box(e) for e in of_class(drawn(elevation), "piece-outline"))
    assert outlines == sorted(
        (h.x_mm, -h.y_mm - h.piece.height_mm, h.piece.width_mm, h.piece.height_mm)
        for h in elevation.hung
    )
    assert len(outlines) == 6


def test_figures_tell_gaps_left_edges_hooks_and_heights(elevation):
    texts = [e.text for e in drawn(elevation).iter(f"{SVG}text")]
    for hung in elevation.hung:
        assert hung.piece.id in texts
        assert {str(hung.x_mm), str(hung.hook_mm), *map(str, hung.hooks_mm)} <= set(texts)
        assert str(hung.after_mm) in texts
    assert {"50 lx", "150 lx", "40 kg each · 60 kg/m", "door to the stair", "1500", "9000"} <= set(
        texts
    )
    assert {"1 The Weight of the Air", "2 Heat, Damp and Rain"} <= set(texts)


def test_gaps_and_blocks_add_up_to_the_clear_wall(elevation):
    """Common practice of hanging, no source: the sum of widths and gaps is the wall."""
    gaps = sum(right - left for left, right in gap_spans(elevation.hung))
    blocks = sum(hung.piece.block_mm for hung in elevation.hung)
    used = {hung.stretch for hung in elevation.hung}
    assert gaps + blocks == sum(right - left for left, right in used)


def test_screen_has_one_tab_stop_and_names_every_piece(elevation):
    links = list(drawn(elevation, links=True, name="w").iter(f"{SVG}a"))
    assert [link.get("tabindex") for link in links] == ["0", *["-1"] * 5]
    assert [link.get("id") for link in links] == [f"w-{n}" for n in range(1, 7)]
    first = elevation.hung[0]
    assert links[0].get("aria-label") == (
        f"1: {first.piece.id} Study {first.piece.id}, {first.piece.height_mm} × "
        f"{first.piece.width_mm} mm, left edge at {first.x_mm} mm, hook at "
        f"{' and '.join(map(str, first.hooks_mm))} mm, {first.hook_mm} mm from the floor"
    )


def test_paper_has_no_links_and_brings_its_own_rules(elevation):
    root = drawn(elevation, stylesheet=".wall{fill:#fff}")
    assert list(root.iter(f"{SVG}a")) == []
    assert root.find(f"{SVG}style").text == ".wall{fill:#fff}"


def test_screen_has_neither_style_nor_handlers(elevation):
    root = drawn(elevation, links=True)
    assert root.find(f"{SVG}style") is None
    assert {n for e in root.iter() for n in e.attrib if n == "style" or n.startswith("on")} == set()


def test_hostile_words_stay_words(elevation):
    evil = '"><script>alert(1)</script>&'
    captions = {h.piece.id: Caption(evil, evil, link=evil) for h in elevation.hung}
    root = drawn(replace(elevation, captions=captions, sections={"1": evil}), links=True)
    assert list(root.iter(f"{SVG}script")) == []
    assert [e.text for e in of_class(root, "piece-number")] == [evil] * 6


def test_numbers_turn_when_one_is_too_long_for_its_room(elevation):
    def turned(text_mm: float) -> set[bool]:
        numbers = of_class(drawn(elevation, text_mm=text_mm), "piece-number")
        return {"rotate" in (e.get("transform") or "") for e in numbers}

    assert turned(30) == {False}
    assert turned(220) == {True}


def test_picture_is_shown_whole_inside_its_outline(elevation):
    first = elevation.hung[0]
    captions = {first.piece.id: Caption(first.piece.id, picture="/media/a.jpg")}
    (image,) = drawn(replace(elevation, captions=captions)).iter(f"{SVG}image")
    assert image.get("href") == "/media/a.jpg"
    assert image.get("preserveAspectRatio") == "xMidYMid meet"
    assert box(image) == (
        first.x_mm,
        -first.top_mm,
        first.piece.width_mm,
        first.piece.height_mm,
    )


def test_window_draws_only_what_it_shows(elevation):
    cut = next(cut for cut in elevation.cuts_mm() if cut > elevation.hung[1].x_mm)
    left = [h for h in elevation.hung if h.x_mm < cut]
    assert len(of_class(drawn(elevation, window=(0, cut)), "piece-outline")) == len(left)
    right = of_class(drawn(elevation, window=(cut, 9000)), "piece-outline")
    assert len(right) == 6 - len(left)


def test_overview_shows_whole_walls_side_by_side_without_words(elevation):
    low = replace(elevation, wall=Wall("Side wall", 4000, 3000), hung=())
    root = etree.fromstring(overview([elevation, low], ["#w1", "#w2"]))
    assert root.get("viewBox") == f"0 -3600 {9000 + BETWEEN_WALLS_MM + 4000} 3600"
    links = list(root.iter("a"))
    assert [(link.get("href"), link.get("transform")) for link in links] == [
        ("#w1", "translate(0 0)"),
        ("#w2", f"translate({9000 + BETWEEN_WALLS_MM} 0)"),
    ]
    assert [len(of_class(link, "piece")) for link in links] == [6, 0]
    assert "".join(root.itertext()) == ""


@pytest.fixture
def bare(elevation):
    blocked = (*WALL.blocked, Blocked(7000, 3300, 300, 300, "inlet"))
    wall = replace(WALL, blocked=blocked)
    return Elevation.of(Problem((wall,), ()), Solution("optimal"), wall)


def test_bare_wall_tells_where_its_blocked_areas_are(bare):
    texts = [e.text for e in drawn(bare).iter(f"{SVG}text")]
    running = [text for text in texts if text.isdecimal() and text not in {"0"}]
    assert running == ["4000", "5200", "7000", "7300", "9000"]
    assert {"from left", "door to the stair", "inlet", "1 m"} <= set(texts)
    assert set(texts) & {"no.", "gap", "left edge", "hooks", "hook height", "1500"} == set()


def test_bare_wall_names_an_area_outside_where_it_is_too_small(bare):
    words = {e.text: e for e in drawn(bare, text_mm=230).iter(f"{SVG}text")}
    door, inlet = words["door to the stair"], words["inlet"]
    assert -float(door.get("y")) > 2100
    assert -float(inlet.get("y")) < 3300
    assert [float(word.get("x")) for word in (door, inlet)] == [4600, 7150]


def test_fixing_says_what_it_carries():
    assert fixing_words(Fixing(0, 10, 40, 60)) == "40 kg each · 60 kg/m"
    assert fixing_words(Fixing(0, 10, None, 62.5)) == "62.5 kg/m"
    assert fixing_words(Fixing(0, 10)) == ""


sides = st.floats(min_value=10, max_value=5000)


@given(sides, sides, st.floats(min_value=5, max_value=500))
def test_hatching_stays_in_its_rectangle_at_45_degrees(width, height, step):
    for x1, y1, x2, y2 in hatching(100, 200, width, height, step):
        assert 100 - 1e-6 <= x1 <= x2 <= 100 + width + 1e-6
        assert 200 - 1e-6 <= y2 <= y1 <= 200 + height + 1e-6
        assert x2 - x1 == pytest.approx(y1 - y2, abs=1e-6)
