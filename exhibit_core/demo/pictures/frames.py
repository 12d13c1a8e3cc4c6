"""Frames, mounts and boards for works on paper and cloth."""

from exhibit_core.demo.pictures.sheet import (
    GROUND,
    INK,
    LINEN,
    OAK,
    PAPER,
    WALNUT,
    WHITE,
    Colour,
    Sheet,
    mix,
)

Inner = tuple[float, float, float, float]
BLACK: Colour = (72, 68, 64)
MOULDINGS: tuple[Colour, ...] = (OAK, WALNUT, BLACK, mix(OAK, WHITE, 0.35))


def frame(sheet: Sheet, *, moulding: float, mount: float, moulding_colour: Colour | None) -> Inner:
    """Draw a mitred frame with a cut mount; return the opening, in mm."""
    colour = moulding_colour or sheet.rng.choice(MOULDINGS)
    w, h, m = sheet.w, sheet.h, moulding
    _rails(sheet, colour, m)
    sheet.box(m, m, w - m, h - m, mix(PAPER, WHITE, 0.6), width=0.8)
    sheet.box(m, m, w - m, m + 4 * sheet.px, mix(PAPER, INK, 0.22), width=0)
    sheet.box(m, m, m + 4 * sheet.px, h - m, mix(PAPER, INK, 0.18), width=0)
    x0, y0, x1, y1 = m + mount, m + mount, w - m - mount, h - m - mount * 1.12
    bevel = 2.5 * sheet.px
    sheet.box(
        x0 - bevel,
        y0 - bevel,
        x1 + bevel,
        y1 + bevel,
        WHITE,
        width=0.5,
        colour=mix(INK, PAPER, 0.55),
    )
    return x0, y0, x1, y1


def _rails(sheet: Sheet, colour: Colour, m: float) -> None:
    w, h = sheet.w, sheet.h
    rails = (
        ([(0, 0), (w, 0), (w - m, m), (m, m)], False, 0.10),
        ([(0, h), (w, h), (w - m, h - m), (m, h - m)], False, -0.10),
        ([(0, 0), (m, m), (m, h - m), (0, h)], True, 0.0),
        ([(w, 0), (w - m, m), (w - m, h - m), (w, h)], True, -0.16),
    )
    for points, upright, light in rails:
        tone = mix(colour, WHITE, light) if light >= 0 else mix(colour, INK, -light)
        sheet.shape(points, tone, width=0.8)
        sheet.grain(points, upright=upright, share=0.16)
    edge = 0.7 * sheet.px
    sheet.box(edge, edge, w - edge, h - edge, None, width=1.4)
    sheet.box(m * 0.7, m * 0.7, w - m * 0.7, h - m * 0.7, None, width=0.5)


def board(sheet: Sheet, margin: float) -> Inner:
    """Draw a cloth-covered board; return the field for the object, in mm."""
    edge = 0.7 * sheet.px
    ground = mix(LINEN, GROUND, 0.3)
    corners = [
        (edge, edge),
        (sheet.w - edge, edge),
        (sheet.w - edge, sheet.h - edge),
        (edge, sheet.h - edge),
    ]
    sheet.shape(corners, ground, width=1.2)
    sheet.hatch(corners, angle=0, gap=3, share=0.08)
    sheet.hatch(corners, angle=90, gap=3, share=0.08)
    return margin, margin, sheet.w - margin, sheet.h - margin
