"""Rotations for tests: small, readable, and generated ones for property tests."""

from typing import Any

from hypothesis import strategies as st


def thing(name: str, **more: Any) -> dict[str, Any]:
    return {"id": name, "set": "prints", **more}


def place(name: str = "case 1", lux: int = 50, **more: Any) -> dict[str, Any]:
    return {"id": name, "set": "prints", "lux": lux, **more}


def rotation(objects: list, places: list, **more: Any) -> dict[str, Any]:
    return {
        "days": 120,
        "every_days": 30,
        "hours_a_day": 8,
        "objects": objects,
        "places": places,
        **more,
    }


@st.composite
def tiny(draw: st.DrawFn) -> dict[str, Any]:
    """Generate up to 5 objects, 3 places and 6 steps with every kind of demand."""
    count = draw(st.integers(1, 6))
    lengths = draw(st.lists(st.sampled_from([10, 20, 30]), min_size=count, max_size=count))
    days = sum(lengths)
    changeovers = [sum(lengths[:n]) for n in range(1, count)]
    spots = draw(st.integers(1, 3 if count <= 4 else 2))
    things = draw(st.integers(spots, 5))
    levels = draw(st.sampled_from([[50], [50, 100]]))
    objects = []
    for number in range(things):
        budgets = []
        if draw(st.booleans()):
            part = draw(st.sampled_from([{}, {"any_days": 40}, {"from_day": 10, "to_day": 50}]))
            if part.get("from_day", 0) < min(part.get("to_day", days), days):
                budgets.append({"lux_hours": draw(st.sampled_from([4000, 12000, 24000])), **part})
        away = []
        if draw(st.integers(0, 4)) == 0:
            start = draw(st.integers(0, days - 1))
            away.append({"from_day": start, "to_day": start + draw(st.integers(1, 30))})
        objects.append(
            thing(
                f"O{number}",
                max_lux=draw(st.sampled_from([None, None, 50])),
                budgets=budgets,
                longest_days=draw(st.sampled_from([None, 30, 50])),
                rest_days=draw(st.sampled_from([0, 0, 15, 40])),
                away=away,
                effort=draw(st.integers(0, 3)),
            )
        )
    places = [
        place(f"P{n}", draw(st.sampled_from(levels)), effort=draw(st.sampled_from([0, 0, 2])))
        for n in range(spots)
    ]
    return {
        "days": days,
        "hours_a_day": draw(st.sampled_from([8, 7.5])),
        "changeovers": changeovers,
        "objects": objects,
        "places": places,
    }
