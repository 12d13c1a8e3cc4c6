"""The demonstration's pictures: each kind draws, in proportion, and always the same."""

import pytest
from PIL import ImageChops

from exhibit_core.demo.pictures import KINDS, draw
from exhibit_core.demo.pictures.sheet import GROUND, LONG_SIDE_PX

SIZES = [(120, 960), (1250, 400), (300, 300)]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("width_mm", "height_mm"), SIZES)
def test_picture_keeps_the_objects_proportions(kind: str, width_mm: int, height_mm: int) -> None:
    picture = draw(kind, width_mm=width_mm, height_mm=height_mm, seed=1)
    longest = max(width_mm, height_mm)
    expected = tuple(round(side * LONG_SIDE_PX / longest) for side in (width_mm, height_mm))
    assert (picture.mode, picture.size) == ("RGB", expected)


@pytest.mark.parametrize("kind", KINDS)
def test_picture_fills_its_sheet_to_the_edges(kind: str) -> None:
    picture = draw(kind, width_mm=300, height_mm=300, seed=2)
    blank = picture.copy()
    blank.paste(GROUND, (0, 0, *picture.size))
    left, top, right, bottom = ImageChops.difference(picture, blank).getbbox() or (0, 0, 0, 0)
    slack = (left, top, picture.width - right, picture.height - bottom)
    assert max(slack) <= LONG_SIDE_PX * 0.1


@pytest.mark.parametrize("kind", KINDS)
def test_picture_is_the_same_for_the_same_seed(kind: str) -> None:
    first, second = (draw(kind, width_mm=400, height_mm=500, seed=7).tobytes() for _ in range(2))
    assert first == second


@pytest.mark.parametrize("kind", ["cloud study", "sea chart", "barograph", "forecasting poster"])
def test_picture_differs_for_another_seed(kind: str) -> None:
    first, second = (draw(kind, width_mm=400, height_mm=500, seed=s).tobytes() for s in (1, 2))
    assert first != second


def test_picture_of_a_work_on_paper_loses_its_frame_when_asked() -> None:
    framed, bare = (
        draw("sea chart", width_mm=800, height_mm=600, seed=3, framed=framed)
        for framed in (True, False)
    )
    assert framed.tobytes() != bare.tobytes()


def test_picture_of_an_unknown_kind_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"No drawing for 'teapot': use one of stick barometer"):
        draw("teapot", width_mm=100, height_mm=100, seed=1)
