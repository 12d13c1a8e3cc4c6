"""What a person must decide, said with every answer that touches it."""

from __future__ import annotations

from layouts.floor.problem import Floor, Piece
from layouts.floor.rules import RuleSet

ALWAYS = (
    "The program computes from what it was told; it certifies nothing. Local codes, the authority "
    "and licensed practice decide."
)
ESCAPE = (
    "Escape routes: widths, distances and numbers of people are not computed here. The fire "
    "officer and the local code decide, also on what may stand near the way out."
)
LOAD = (
    "Floor load: the footprint's pressure is compared with one figure for the whole floor. Joists, "
    "raised floors, ways of delivery and neighbouring loads need a structural engineer."
)
GLASS = "Glass: safety glazing, its edges and its fixing need a specialist's word."
OVERHEAD = "What hangs overhead and its fixings need a licensed rigger or engineer."
SEISMIC = "Tall and narrow pieces may topple; stability and anchoring are not computed here."


def cautions(floor: Floor, rules: RuleSet) -> tuple[str, ...]:
    """Return the cautions that this floor calls for; escape routes are among them always."""
    pieces = floor.pieces
    rows = [ALWAYS, ESCAPE]
    if any(piece.mass_g for piece in pieces):
        rows.append(LOAD)
    if any(piece.glass or piece.kind == "showcase" for piece in pieces):
        rows.append(GLASS)
    if any(piece.kind == "suspended" for piece in pieces):
        rows.append(OVERHEAD)
    if any(_slender(piece) for piece in pieces):
        rows.append(SEISMIC)
    if heavy := [piece.id for piece in pieces if _for_two(piece, rules)]:
        named = ", ".join(heavy[:6]) + (f" and {len(heavy) - 6} more" if len(heavy) > 6 else "")
        rows.append(
            f"Lifting: {named} over {rules.value('lift_g') / 1000:g} kg "
            f"({rules.cite('lift_g')}) or {rules.value('lift_side_mm')} mm long "
            f"({rules.cite('lift_side_mm').strip(', ')}): two people or more, or a device; "
            "a trained person decides how."
        )
    return tuple(rows)


def _slender(piece: Piece) -> bool:
    """Return whether a standing piece is over three times as high as deep: habit, no source."""
    on_floor = piece.wall is None and piece.bottom_mm == 0 and piece.kind != "column"
    return on_floor and piece.height_mm > 3 * min(piece.width_mm, piece.depth_mm)


def _for_two(piece: Piece, rules: RuleSet) -> bool:
    if piece.kind in ("column", "barrier", "screen"):
        return False
    longest = max(piece.width_mm, piece.depth_mm, piece.height_mm)
    return piece.mass_g > rules.value("lift_g") or longest > rules.value("lift_side_mm")
