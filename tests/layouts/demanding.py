"""Small problems that ask for many things at once, for property tests."""

from typing import Any

from hypothesis import strategies as st

from tests.layouts.problems import DOOR, piece, wall

KINDS = ("even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster")
LABELS = [
    {"width_mm": 150, "height_mm": 100, "side": side, "gap_mm": 40}
    for side in ("left", "right", "below")
]
BENCH = {"x_mm": 1000, "y_mm": 0, "width_mm": 900, "height_mm": 1000, "what": "bench"}


def some(draw: st.DrawFn, *choices: Any) -> Any:
    return draw(st.sampled_from(choices))


@st.composite
def demanding(draw: st.DrawFn, *, most: int = 6, kinds: tuple[str, ...] = KINDS) -> dict[str, Any]:
    """Generate hangs whose walls differ in datum, light, hours and load, with every sort of tie."""
    kind = some(draw, *kinds)
    names = ["N", "E", "S"][: draw(st.integers(1, 3))]
    walls = [_wall(draw, name) for name in names]
    pieces = [_piece(draw, n, names) for n in range(draw(st.integers(1, most)))]
    if kind == "by_section":
        pieces.sort(key=lambda row: row["section"])
    ids = [row["id"] for row in pieces]
    if some(draw, True, False, False):
        row = some(draw, *pieces)
        home = some(draw, *walls)
        x_mm = draw(st.integers(0, max(0, home["length_mm"] - row["width_mm"])))
        row |= {"wall": home["id"], "x_mm": x_mm, "y_mm": 1200}
        row.pop("walls", None)
    pairs = st.lists(st.sampled_from(ids), min_size=2, max_size=3, unique=True)
    tied = len(ids) > 1
    together = draw(st.lists(pairs, max_size=1)) if tied else []
    if kind == "by_section":
        section = {row["id"]: row["section"] for row in pieces}
        together = [g for g in together if len({section[name] for name in g}) == 1]
    apart = [
        {"pieces": names, "at_least_mm": draw(st.integers(100, 2000))}
        for names in (draw(st.lists(pairs, max_size=1)) if tied else [])
    ]
    near = [
        {"pieces": names, "weight": draw(st.integers(0, 5))}
        for names in (draw(st.lists(pairs, max_size=2)) if tied and kind == "related" else [])
    ]
    in_order = kind in ("even", "by_section", "related", "rows") and some(draw, True, False, False)
    sections = sorted({row["section"] for row in pieces})
    chosen = some(draw, {}, {}, {sections[0]: [names[-1]]}, {sections[-1]: names[:2]})
    return {
        "walls": walls,
        "pieces": pieces,
        "together": together,
        "apart": apart,
        "near": near,
        "section_walls": chosen,
        "arrangement": {
            "kind": kind,
            "align": some(draw, "centreline", "top", "bottom", "hanging_line"),
            "datum_mm": some(draw, 1500, 1600),
            "ends": some(draw, "same", "half", "free"),
            "min_gap_mm": some(draw, 0, 0, 60),
            "max_gap_mm": some(draw, None, None, 300),
            "section_gap_mm": some(draw, None, 600) if kind == "by_section" else None,
            "rows": some(draw, 2, 3) if kind == "rows" else 1,
            "row_gap_mm": some(draw, 0, 75, 200),
            "lowest_edge_mm": some(draw, None, None, 700),
            "highest_edge_mm": some(draw, None, None, 2600),
            "order": ids if in_order else None,
        },
    }


def _wall(draw: st.DrawFn, name: str) -> dict[str, Any]:
    length = draw(st.integers(2_500, 7_000))
    cut = draw(st.integers(1, length - 1))
    lit = some(draw, True, False)
    zones = [
        {"from_mm": 0, "to_mm": cut, "lux": 50, "hours": some(draw, None, 600)},
        {"from_mm": cut, "to_mm": length, "lux": 150, "hours": some(draw, 100, 600)},
    ]
    fixings = [{"from_mm": 0, "to_mm": length, "max_kg_per_object": 17, "max_kg_per_m": 12}]
    return wall(
        name,
        length,
        height_mm=some(draw, 3600, 3600, 2700),
        datum_mm=some(draw, None, None, 1700),
        blocked=some(draw, [], [], [DOOR], [BENCH]),
        zones=zones if lit else [],
        fixings=fixings if some(draw, True, False) else [],
    )


def _piece(draw: st.DrawFn, number: int, walls: list[str]) -> dict[str, Any]:
    where = some(draw, {}, {}, {}, {"walls": walls[:2]}, {"wall": walls[0]})
    return piece(
        f"P{number}",
        draw(st.integers(100, 900)),
        draw(st.integers(100, 1300)),
        section=some(draw, "1", "2", "3"),
        mass_g=some(draw, 0, 2_000, 4_000, 16_000),
        max_lux=some(draw, None, None, 50, 200),
        max_lux_hours=some(draw, None, None, None, 15_000, 50_000),
        reserve=some(draw, False, False, True),
        hang_point_mm=draw(st.integers(0, 90)),
        label=some(draw, None, None, *LABELS),
        **where,
    )
