"""Problems for tests: small, readable, and generated ones for property tests."""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st


def piece(name: str, width: int, height: int = 400, **more: Any) -> dict[str, Any]:
    return {"id": name, "width_mm": width, "height_mm": height, **more}


def wall(name: str = "N", length: int = 6000, **more: Any) -> dict[str, Any]:
    return {"id": name, "length_mm": length, "height_mm": 3600, **more}


def problem(walls: list, pieces: list, together=(), apart=(), **rule: Any) -> dict[str, Any]:
    return {
        "walls": walls,
        "pieces": pieces,
        "together": list(together),
        "apart": list(apart),
        "arrangement": {"kind": "even", **rule},
    }


DOOR = {"x_mm": 3000, "y_mm": 0, "width_mm": 1200, "height_mm": 2100, "what": "door"}


@st.composite
def hangs(draw: st.DrawFn, *, most: int = 8) -> dict[str, Any]:
    """Generate problems of every kind with labels, doors, light, loads and ties."""
    count = draw(st.integers(1, most))
    kind = draw(
        st.sampled_from(
            ["even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster"]
        )
    )
    section = 1
    pieces = []
    for number in range(count):
        section += draw(st.integers(0, 1))
        pieces.append(
            piece(
                f"P{number}",
                draw(st.integers(100, 900)),
                draw(st.integers(100, 1200)),
                section=str(section),
                mass_g=draw(st.integers(0, 20_000)),
                max_lux=draw(st.sampled_from([None, None, 50, 200])),
                hang_point_mm=draw(st.integers(0, 90)),
                label=draw(
                    st.sampled_from(
                        [
                            None,
                            *(
                                {"width_mm": 150, "height_mm": 100, "side": side, "gap_mm": 40}
                                for side in ("left", "right", "below")
                            ),
                        ]
                    )
                ),
            )
        )
    walls = []
    for name in ["N", "E"][: draw(st.integers(1, 2))]:
        length = draw(st.integers(6_000, 12_000))
        cut = draw(st.integers(1, length - 1))
        zones = draw(
            st.sampled_from(
                [
                    [],
                    [
                        {"from_mm": 0, "to_mm": cut, "lux": 50},
                        {"from_mm": cut, "to_mm": length, "lux": 150},
                    ],
                ]
            )
        )
        fixings = draw(
            st.sampled_from(
                [[], [{"from_mm": 0, "to_mm": length, "max_kg_per_object": 30, "max_kg_per_m": 40}]]
            )
        )
        blocked = draw(st.sampled_from([[], [DOOR]]))
        walls.append(wall(name, length, zones=zones, fixings=fixings, blocked=blocked))
    names = [p["id"] for p in pieces]
    near = []
    if kind == "related" and count > 1:
        pairs = st.lists(st.sampled_from(names), min_size=2, max_size=3, unique=True)
        near = [
            {"pieces": some, "weight": draw(st.integers(0, 5))}
            for some in draw(st.lists(pairs, max_size=4))
        ]
    return {"near": near} | problem(
        walls,
        pieces,
        kind=kind,
        align=draw(st.sampled_from(["centreline", "top", "bottom", "hanging_line"])),
        datum_mm=1600,
        ends=draw(st.sampled_from(["same", "half", "free"])),
        max_gap_mm=draw(st.sampled_from([None, None, 300])),
        section_gap_mm=draw(st.sampled_from([None, 900])) if kind == "by_section" else None,
        rows=draw(st.integers(2, 3)) if kind == "rows" else 1,
        row_gap_mm=draw(st.sampled_from([0, 75, 200])),
    )


def moved(answer, names, **by):
    """Return an answer with some pieces elsewhere, by so much in each of their numbers."""

    def change(p):
        return replace(p, **{key: getattr(p, key) + more for key, more in by.items()})

    return replace(
        answer, placements=tuple(change(p) if p.id in names else p for p in answer.placements)
    )
