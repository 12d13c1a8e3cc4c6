"""Which size a hang uses: outermost, measured before stated (common practice, no source)."""

from dataclasses import dataclass

import pytest

from exhibit_core.register.sizes import best_size


@dataclass
class Record:
    pk: int
    state: str
    basis: str
    height_mm: int | None = None
    width_mm: int | None = None
    depth_mm: int | None = None
    diameter_mm: int | None = None
    mass_g: int | None = None
    hang_point_mm: int | None = None
    withdrawn: bool = False


BARE = Record(1, "bare", "measured", 300, 200)
FRAMED = Record(2, "framed", "stated", 400, 300)


@pytest.mark.parametrize(
    ("records", "height_mm", "source"),
    [
        ([BARE], 300, "bare, measured"),
        ([FRAMED, BARE], 400, "framed, stated"),
        ([BARE, FRAMED, Record(3, "framed", "measured", 410, 310)], 410, "framed, measured"),
        ([Record(3, "framed", "measured", 410, 310), FRAMED], 410, "framed, measured"),
        ([FRAMED, Record(4, "framed", "stated", 405, 305)], 405, "framed, stated"),
        ([FRAMED, Record(5, "mounted", "stated", 450, 350)], 450, "mounted, stated"),
        ([BARE, Record(6, "framed", "measured", 400, 300, withdrawn=True)], 300, "bare, measured"),
        ([BARE, Record(7, "framed", "measured", 400)], 300, "bare, measured"),
        ([Record(8, "bare", "measured", diameter_mm=120)], 120, "bare, measured"),
    ],
)
def test_best_size_chooses_record(records, height_mm, source):
    for order in (records, records[::-1]):
        size = best_size(order)
        assert (size.height_mm, size.source) == (height_mm, source)


@pytest.mark.parametrize(
    "records",
    [
        [],
        [Record(1, "crated", "measured", 900, 900)],
        [Record(1, "part", "measured", 90, 90)],
        [Record(1, "framed", "measured", mass_g=900)],
        [Record(1, "framed", "measured", 400), Record(2, "framed", "measured", None, 300)],
    ],
)
def test_best_size_unknown(records):
    assert best_size(records) is None


def test_best_size_says_where_weight_comes_from():
    weighed = Record(3, "bare", "stated", mass_g=900)
    size = best_size([BARE, FRAMED, weighed])
    assert (size.source, size.mass_g, size.mass_basis) == ("framed, stated", 900, "bare, stated")


def test_best_size_takes_hanging_point_of_same_record_only():
    bare = Record(1, "bare", "measured", 300, 200, hang_point_mm=40)
    assert best_size([bare]).hang_point_mm == 40
    assert best_size([bare, FRAMED]).hang_point_mm is None


def test_best_size_completes_height_with_diameter():
    size = best_size([Record(1, "bare", "measured", height_mm=80, diameter_mm=120)])
    assert (size.height_mm, size.width_mm) == (80, 120)
