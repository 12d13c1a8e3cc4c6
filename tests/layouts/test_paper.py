"""Elevations on paper: true to scale, on few sheets, no piece torn."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layouts.drawing import (
    MARGIN_MM,
    PAPERS,
    SCALES,
    TITLE_BLOCK_MM,
    draw,
    extent,
    paper_plan,
    paper_view,
    sheets,
)
from tests.pdfs import scale_bar_mm

# The reduction scales of ISO 5455:1979 between 1:10 and 1:50.
ISO_5455 = {10, 20, 50}


def test_scales_hold_those_of_iso_5455():
    assert set(SCALES) >= ISO_5455
    assert set(SCALES) - ISO_5455 == {25}


def test_papers_are_iso_216_landscape():
    """ISO 216: A0 is 841 × 1189 mm, each next one half of it."""
    assert [(p.name, p.width_mm, p.height_mm) for p in PAPERS] == [
        ("A3", 420, 297),
        ("A2", 594, 420),
        ("A1", 841, 594),
        ("A0", 1189, 841),
    ]


@pytest.mark.parametrize("scale", SCALES)
def test_scale_bar_measures_a_metre_on_paper(elevation, scale):
    from weasyprint import HTML

    view = paper_view(scale, window=(0, 3000))
    _, _, width, height = extent(elevation, view)
    view = replace(view, width=f"{width / scale}mm", height=f"{height / scale}mm")
    page = "<style>@page{size:1200mm 900mm;margin:10mm}svg{display:block}</style>"
    pdf = HTML(string=page + draw(elevation, view)).write_pdf()
    assert scale_bar_mm(pdf, scale) == pytest.approx(1000 / scale, abs=0.005)


def test_no_sheet_tears_a_piece(elevation):
    for scale in SCALES:
        ends = [window.to_mm for window in paper_plan(elevation, scale=scale).windows[:-1]]
        for hung in elevation.hung:
            left, right = hung.block_mm
            assert [end for end in ends if left < end < right] == []


def test_asked_scale_takes_the_paper_that_holds_the_height(elevation):
    plan = paper_plan(elevation, scale=10)
    _, _, _, height = extent(elevation, paper_view(10))
    room = plan.paper.height_mm - 2 * MARGIN_MM - TITLE_BLOCK_MM
    smaller = [p for p in PAPERS if p.height_mm < plan.paper.height_mm]
    assert height / 10 <= room
    assert [p for p in smaller if p.height_mm - 2 * MARGIN_MM - TITLE_BLOCK_MM >= height / 10] == []


def test_chosen_scale_is_the_largest_on_few_a3_sheets(elevation):
    plan = paper_plan(elevation)
    assert (plan.scale, plan.paper.name, len(plan.windows)) == (20, "A3", 2)


def test_wall_too_high_for_any_paper_is_refused(elevation):
    tower = replace(elevation, wall=replace(elevation.wall, height_mm=30_000))
    with pytest.raises(ValueError, match=r"At 1:10 the drawing is 3[0-9]{3} mm high"):
        paper_plan(tower, scale=10)


@given(
    st.integers(1, 60_000),
    st.integers(500, 20_000),
    st.lists(st.integers(1, 59_999), max_size=60),
)
def test_sheets_cover_the_wall_once_and_fit(length, span, cuts):
    windows = sheets(length, span, [cut for cut in cuts if cut < length])
    assert (windows[0].from_mm, windows[-1].to_mm) == (0, length)
    assert all(a.to_mm == b.from_mm for a, b in pairwise(windows))
    assert all(0 < w.to_mm - w.from_mm <= span for w in windows)
    assert [(w.number, w.of) for w in windows] == [
        (n, len(windows)) for n in range(1, len(windows) + 1)
    ]
