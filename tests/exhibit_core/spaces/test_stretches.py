from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.spaces.stretches import Held, covered_mm, holding


def test_holding_takes_strictest_where_stretches_overlap():
    stated = [(0, 6000, 50), (4000, 9000, 150)]
    assert holding(10_000, stated, max) == [
        Held(0, 4000, 50),
        Held(4000, 9000, 150),
        Held(9000, 10_000, None),
    ]
    assert [part.value for part in holding(9000, stated, min)] == [50, 150]


def test_holding_of_nothing_stated():
    assert holding(10, [(2, 4, None)], min) == [Held(0, 10, None)]


SPANS = st.lists(
    st.tuples(st.integers(0, 60), st.integers(0, 60), st.integers(1, 9)).filter(
        lambda span: span[0] < span[1]
    )
)


@given(SPANS)
def test_holding_agrees_with_counting_every_millimetre(spans):
    held = holding(60, spans, max)
    for mm in range(60):
        values = [value for start, end, value in spans if start <= mm < end]
        (part,) = [part for part in held if part.from_mm <= mm < part.to_mm]
        assert part.value == (max(values) if values else None)
    taken = {mm for start, end, _ in spans for mm in range(start, end)}
    assert covered_mm(60, [(start, end) for start, end, _ in spans]) == len(taken)
