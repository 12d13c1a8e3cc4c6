"""What is hidden agrees with rays, and with similar triangles by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layouts.cases.sight import Solid, hidden_shares
from tests.layouts.cases.examples import few

N = 40


def by_rays(target, others, *, eye_z, distance):
    """Look at points of the front one by one, and clip each line of sight against each box."""
    eye = ((target.x0 + target.x1) / 2, -distance, eye_z)
    lost = 0
    for i in range(N):
        for j in range(N):
            point = (
                target.x0 + (target.x1 - target.x0) * (i + 0.5) / N,
                target.y0,
                target.z0 + (target.z1 - target.z0) * (j + 0.5) / N,
            )
            lost += any(_cuts(eye, point, box) for box in others)
    return 100 * lost / N / N


def _cuts(eye, point, box):
    start, end = 0.0, 1.0
    for low, high, a, b in zip(
        (box.x0, box.y0, box.z0), (box.x1, box.y1, box.z1), eye, point, strict=True
    ):
        if a == b:
            if not low < a < high:
                return False
            continue
        s, t = sorted(((low - a) / (b - a), (high - a) / (b - a)))
        start, end = max(start, s), min(end, t)
    return start < end - 1e-9


@st.composite
def scenes(draw):
    def box(name, front, back):
        x, z = draw(st.integers(0, 800)), draw(st.integers(0, 300))
        w, h = draw(st.integers(40, 400)), draw(st.integers(40, 400))
        y = draw(st.integers(front, back))
        return Solid(name, x, x + w, y, y + draw(st.integers(20, 150)), z, z + h)

    target = box("T", 200, 400)
    others = [box(f"O{n}", 0, 190) for n in range(draw(st.integers(1, 3)))]
    others = [o for o in others if o.y1 <= target.y0]
    return target, others, draw(st.integers(-200, 900)), draw(st.integers(300, 1500))


@few(25)
@given(scenes())
def test_shares_agree_with_rays(scene):
    target, others, eye_z, distance = scene
    found = hidden_shares(
        [target, *others], [], eye_mm=1000 + eye_z, floor_mm=1000, distance_mm=distance
    )
    share = next((one.percent for one in found if one.id == "T"), 0)
    assert share == pytest.approx(by_rays(target, others, eye_z=eye_z, distance=distance), abs=5)


def test_share_by_similar_triangles():
    """Eye 600 mm before the glass and level with the floor's top: a block at y = 0, 100 high, ends
    at y = 0 + 0; seen on a front at y = 600 its top appears at 100 × 1200 / 600 = 200 mm, its
    width at 200 × 2 = 400 mm: a front 400 wide and 400 high is half hidden."""
    block = Solid("B", 100, 300, 0, 1, 0, 100)
    target = Solid("T", 0, 400, 600, 700, 0, 400)
    found = hidden_shares([target, block], [], eye_mm=900, floor_mm=900, distance_mm=600)
    assert [(one.id, one.percent, one.behind) for one in found] == [("T", 50, ("B",))]


def test_low_before_tall_hides_nothing_from_above():
    """Seen from 712 mm over the case's floor, 600 mm before it: over a block 50 mm high that ends
    at y = 100, the line falls to the floor at y = 100 + 700 × 50 / 662 = 152.9 mm."""
    block, behind = Solid("B", 0, 300, 0, 100, 0, 50), Solid("T", 0, 300, 153, 200, 0, 100)
    assert hidden_shares([block, behind], [], eye_mm=1612, floor_mm=900, distance_mm=600) == []
    near = Solid("T", 0, 300, 120, 200, 0, 100)
    assert hidden_shares([block, near], [], eye_mm=1612, floor_mm=900, distance_mm=600)


def test_opaque_shelf_hides_what_stands_under_it():
    shelf = Solid("", 0, 1000, 0, 500, 300, 310)
    target = Solid("T", 400, 600, 400, 450, 0, 280)
    clear = hidden_shares([target], [], eye_mm=1612, floor_mm=900, distance_mm=600)
    under = hidden_shares([target], [shelf], eye_mm=1612, floor_mm=900, distance_mm=600)
    assert clear == []
    assert under[0].percent > 50
