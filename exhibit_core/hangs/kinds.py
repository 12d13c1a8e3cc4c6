"""What each arrangement does, which of a hang's fields count for it, and a sketch of it."""

from collections.abc import Collection
from dataclasses import dataclass

from exhibit_core.hangs.models import Hang

_KIND = Hang.Kind
# Left edge, top edge, width and height of a few pieces, on a stretch of wall 96 long and 40 high.
Boxes = tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True)
class Facts:
    """An arrangement in a sentence, what it uses besides, and how it looks."""

    kind: str
    does: str
    uses: str
    sketch: Boxes


FACTS: tuple[Facts, ...] = (
    Facts(
        _KIND.EVEN,
        "One row with equal gaps; who hangs where is chosen so that the gaps come out alike.",
        "",
        ((8, 12, 12, 16), (28, 8, 16, 24), (52, 15, 10, 10), (70, 10, 18, 20)),
    ),
    Facts(
        _KIND.BY_SECTION,
        "One row with equal gaps, each section in one piece, in the order of the story.",
        "Uses the gap between sections.",
        ((6, 12, 10, 16), (22, 8, 14, 24), (50, 14, 10, 12), (66, 10, 10, 20), (82, 13, 8, 14)),
    ),
    Facts(
        _KIND.MIRRORED,
        "Alike in width from both ends towards the middle of each stretch of wall.",
        "",
        ((6, 14, 8, 12), (22, 10, 14, 20), (44, 6, 8, 28), (60, 10, 14, 20), (82, 14, 8, 12)),
    ),
    Facts(
        _KIND.RISE,
        "From the lowest to the highest, along each stretch of wall.",
        "",
        ((8, 16, 12, 8), (28, 13, 12, 14), (50, 9, 12, 22), (72, 4, 14, 32)),
    ),
    Facts(
        _KIND.CENTRE_HIGH,
        "The highest in the middle of each stretch, falling towards both ends.",
        "",
        ((6, 16, 10, 8), (24, 11, 12, 18), (44, 4, 10, 32), (62, 10, 12, 20), (82, 15, 8, 10)),
    ),
    Facts(
        _KIND.RELATED,
        "What belongs together comes as near as can be; then the gaps are made equal.",
        "Uses the rules that say what belongs near what.",
        ((8, 10, 10, 20), (22, 10, 10, 20), (36, 13, 10, 14), (64, 8, 10, 24), (78, 12, 10, 16)),
    ),
    Facts(
        _KIND.ROWS,
        "Two to six rows, one above the other, with equal gaps; the stack stands about the datum.",
        "Uses the number of rows and the height between them.",
        (
            (8, 3, 16, 14),
            (40, 5, 12, 10),
            (68, 3, 20, 14),
            (8, 25, 12, 10),
            (36, 22, 18, 16),
            (70, 24, 18, 12),
        ),
    ),
    Facts(
        _KIND.CLUSTER,
        "One tight group on each stretch, the smallest gap between neighbours, its middle at the "
        "datum.",
        "Uses the smallest gap alone: no alignment, no largest gap, no margin at the ends.",
        (
            (30, 4, 16, 12),
            (48, 2, 10, 14),
            (30, 18, 10, 18),
            (42, 18, 16, 10),
            (60, 6, 8, 22),
            (42, 30, 12, 8),
        ),
    ),
)

_IN_ORDER = (_KIND.EVEN, _KIND.BY_SECTION, _KIND.ROWS)
_ALIGNED = tuple(kind for kind in _KIND if kind != _KIND.CLUSTER)
ONLY_FOR: dict[str, Collection[str]] = {
    "rows": (_KIND.ROWS,),
    "row_gap_mm": (_KIND.ROWS,),
    "keep_order": _IN_ORDER,
    "align": _ALIGNED,
    "ends": _ALIGNED,
    "max_gap_mm": _ALIGNED,
    "section_gap_mm": (_KIND.BY_SECTION,),
}
"""Fields of a hang that count for some arrangements only."""


def counts(field: str, kind: str) -> bool:
    """True when a field of a hang says something to an arrangement."""
    return kind in ONLY_FOR.get(field, (kind,))


def label_of(kind: str) -> str:
    """Return an arrangement's name as people say it."""
    return str(dict(_KIND.choices).get(kind, kind))
