"""What cannot be read is refused with sentences that name field, value and cure."""

from __future__ import annotations

import copy
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layouts.floor import Floor, InvalidFloor, solve_floor
from tests.layouts.floor.rooms import box, two_plinths

GOOD = two_plinths(1000, 500)


def spoilt(path: tuple, value: object) -> dict:
    problem = copy.deepcopy(GOOD)
    at = problem
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return problem


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("outline",), [[0, 0], [1, 1]], "at least three"),
        (("outline",), [[0, 0], [4000, 0], [4000, 8000], [0, 8000]], "clockwise"),
        (("outline",), [[0, 0], [4000, 8000], [4000, 0], [0, 8000]], "outline"),
        (("outline",), [[0, 0], [0, 9], [9, 9], [9, 5], [0, 5], [9, 0]], "crosses or touches"),
        (("outline", 0), [0.5, 0], "outline[0] is [0.5, 0]"),
        (("outline", 1), [0, 0], "repeats a corner"),
        (("doors", 0, "wall"), 9, "wall 9 is not among the 4 walls"),
        (("doors", 0, "along_mm"), 3900, "wall 4 is 4000 mm long"),
        (("doors", 0, "role"), "in", "use one of entrance"),
        (("doors", 1, "id"), "in", "'in' stands 2 times"),
        (("pieces", 0, "width_mm"), 0, "pieces[0].width_mm is 0"),
        (("pieces", 0, "width_mm"), 10.5, "give a whole number"),
        (("pieces", 0, "width_mm"), True, "give a whole number"),
        (("pieces", 0, "colour"), "red", "unknown field 'colour'"),
        (("pieces", 0, "x_mm"), None, "has no place"),
        (("pieces", 0, "section"), "9", "section '9' is not among"),
        (("pieces", 0, "shape"), "round", "is round"),
        (("pieces", 0, "kind"), "wall_piece", "without a wall"),
        (("pieces", 0, "wall"), 2, "give along_mm"),
        (("pieces", 0, "sides"), "front", "give a list"),
        (("pieces", 1, "id"), "A", "'A' stands 2 times"),
        (("pieces",), {}, "list of at most"),
        (("sections",), [{"id": "1"}], "has no area and no piece"),
        (
            ("sections",),
            [{"id": "1", "area": [[0, 0], [9, 9], [9, 0], [0, 9]]}],
            "without crossing",
        ),
        (("rules",), "none", "use one of din_18040_1_2010"),
        (("limits",), {"route_cm": 90}, "limits.route_cm"),
        (("limits",), {"route_mm": -1}, "0 or more"),
        (("arrangement",), {"kind": "axis"}, "give start and end"),
        (("width_mm",), 5, "from 300 to 5000"),
        (("colour",), 1, "unknown field 'colour'"),
    ],
)
def test_fault_is_named(path, value, words):
    problem = spoilt(path, value)
    with pytest.raises(InvalidFloor) as caught:
        Floor.from_dict(problem)
    assert any(words in sentence for sentence in caught.value.faults), caught.value.faults
    report = solve_floor(problem)
    assert report.status == "invalid"
    assert report.faults == tuple(caught.value.faults)


def test_all_faults_are_told_at_once():
    problem = spoilt(("pieces", 0, "width_mm"), -1)
    problem["doors"][0]["role"] = "gate"
    with pytest.raises(InvalidFloor) as caught:
        Floor.from_dict(problem)
    assert len(caught.value.faults) == 2


@pytest.mark.parametrize("data", [None, [], "x", 3])
def test_anything_but_an_object_is_refused(data):
    with pytest.raises(InvalidFloor):
        Floor.from_dict(data)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-9000, 9000) | st.text(max_size=3),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=2)
    ),
    max_leaves=4,
)
PATHS = st.sampled_from(
    [(key,) for key in ("outline", "doors", "pieces", "sections", "limits", "arrangement", "name")]
    + [("pieces", 0, key) for key in box("A", 0, 0, 1, 1)]
    + [("doors", 0, key) for key in GOOD["doors"][0]]
)


@given(path=PATHS, value=VALUES)
def test_any_value_is_read_or_refused(path, value):
    """Nothing but InvalidFloor may come of bad input, and what is read can be written again."""
    try:
        floor = Floor.from_dict(spoilt(path, value))
    except InvalidFloor:
        return
    assert Floor.from_dict(floor.to_dict()) == floor


def test_import_loads_no_heavy_library():
    code = (
        "import sys; import layouts.floor, layouts.floor.command, layouts.floor.drawing; "
        "print([m for m in ('shapely', 'numpy', 'ortools', 'django') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    assert done.stdout.strip() == "[]"
