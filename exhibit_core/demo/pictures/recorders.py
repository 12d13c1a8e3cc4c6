"""Instruments that write or send, and the apparatus around them."""

import math

from exhibit_core.demo.pictures.barometers import draw_dial
from exhibit_core.demo.pictures.sheet import (
    BLUE,
    BRASS,
    COPPER,
    GLASS,
    INK,
    IRON,
    LINEN,
    MAHOGANY,
    OAK,
    PAPER,
    PINE,
    RED,
    SILVER,
    SLATE,
    WALNUT,
    WHITE,
    Points,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)

VIOLET = (110, 84, 128)


def barograph(sheet: Sheet, title: str) -> None:
    """A drum under glass, a stack of chambers and a pen between them."""
    w, h, edge = sheet.w, sheet.h, sheet.px
    case = [(w * 0.05, h * 0.05), (w * 0.95, h * 0.05), (w * 0.95, h * 0.82), (w * 0.05, h * 0.82)]
    sheet.shape(case, mix(GLASS, WHITE, 0.45))
    _drum(sheet, two_pens="thermometer" in title)
    _chambers(sheet)
    for x in (0.05, 0.95):
        sheet.box(w * (x - 0.02), h * 0.04, w * (x + 0.02), h * 0.82, BRASS, width=0.9)
    sheet.box(w * 0.02, edge, w * 0.98, h * 0.07, MAHOGANY)
    for y in (0.8, 0.86):
        plinth = [(edge, h * y), (w - edge, h * y), (w - edge, h * 0.97), (edge, h * 0.97)]
        sheet.shape(plinth, MAHOGANY, width=1.3)
        sheet.grain(plinth, upright=False)
    for x in (0.08, 0.92):
        sheet.oval(w * x, h * 0.975, w * 0.025, h * 0.022, BRASS, width=0.8)
    sheet.line([(w * 0.12, h * 0.7), (w * 0.3, h * 0.14)], 2, WHITE)
    sheet.line([(w * 0.16, h * 0.7), (w * 0.34, h * 0.14)], 0.9, WHITE)


def _drum(sheet: Sheet, *, two_pens: bool) -> None:
    w, h = sheet.w, sheet.h
    x0, x1, top, low = w * 0.54, w * 0.86, h * 0.2, h * 0.74
    sheet.box(x0 - w * 0.01, low, x1 + w * 0.01, h * 0.8, BRASS, width=1)
    sheet.box(x0, top, x1, low, PAPER)
    grid = mix(RED, PAPER, 0.5)
    for i in range(1, 14):
        y = top + (low - top) * i / 14
        sheet.line([(x0, y), (x1, y)], 0.5, grid)
    for i in range(1, 8):
        x = (x0 + x1) / 2 - (x1 - x0) / 2 * math.cos(math.pi * i / 8)
        sheet.line(arc(x - w * 0.1, (top + low) / 2, w * 0.1, (low - top) / 2, -90, 90), 0.5, grid)
    sheet.turned([(x0, top), (x1, top), (x1, low), (x0, low)], share=0.25)
    sheet.oval((x0 + x1) / 2, top, (x1 - x0) / 2, h * 0.018, BRASS, width=0.9)
    _trace(sheet, x0, x1, top + (low - top) * 0.2, (low - top) * 0.5, mix(VIOLET, INK, 0.2))
    if two_pens:
        _trace(sheet, x0, x1, top + (low - top) * 0.45, (low - top) * 0.4, RED)


def _trace(
    sheet: Sheet, x0: float, x1: float, top: float, deep: float, colour: tuple[int, int, int]
) -> None:
    rng, level, trace = sheet.rng, 0.3, []
    drift = rng.uniform(0.8, 1.6)
    for i in range(61):
        level += rng.uniform(-0.035, 0.035) + 0.02 * math.sin(i / 60 * 6.28 * drift)
        level = min(1.0, max(0.0, level))
        trace.append((x0 + (x1 - x0) * i / 60, top + deep * level))
    sheet.line(trace, 1.5, colour)


def _chambers(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w * 0.26
    sheet.box(cx - w * 0.15, h * 0.72, cx + w * 0.22, h * 0.8, BRASS, width=1)
    for i in range(7):
        y = h * (0.7 - 0.055 * i)
        ring = [
            (cx - w * 0.095, y),
            *arc(cx, y - h * 0.02, w * 0.1, h * 0.025, 180, 0),
            *arc(cx, y - h * 0.025, w * 0.1, h * 0.02, 0, -180),
        ]
        sheet.shape(ring, mix(BRASS, WHITE, 0.2), width=0.9)
    sheet.turned(
        [
            (cx - w * 0.1, h * 0.32),
            (cx + w * 0.1, h * 0.32),
            (cx + w * 0.1, h * 0.72),
            (cx - w * 0.1, h * 0.72),
        ],
        share=0.4,
    )
    sheet.box(cx - w * 0.015, h * 0.22, cx + w * 0.015, h * 0.33, BRASS, width=0.9)
    arm = [(cx, h * 0.25), (w * 0.42, h * 0.3), (w * 0.66, h * 0.42)]
    sheet.line(arm, 1.8)
    sheet.shape(
        [(w * 0.65, h * 0.4), (w * 0.69, h * 0.425), (w * 0.655, h * 0.445)], SILVER, width=0.8
    )


def sunshine_recorder(sheet: Sheet, title: str) -> None:
    """A ball of glass in a bowl with slots for the cards."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    base = mirrored([(w * 0.14, h * 0.88), (w * 0.04, h * 0.985), (cx, h * 0.985)], cx)
    sheet.shape(base, SLATE, width=1.5)
    sheet.hatch(base, angle=0, gap=4, share=0.3)
    stem = mirrored(
        curve([(cx - w * 0.07, h * 0.74), (cx - w * 0.05, h * 0.82), (cx - w * 0.16, h * 0.88)]), cx
    )
    sheet.shape(stem, BRASS)
    sheet.turned(stem)
    cy, r = h * 0.4, min(w * 0.48, h * 0.5)
    outer = arc(cx, cy, r, r, -8, 188) + arc(cx, cy, r * 0.76, r * 0.76, 188, -8)
    sheet.shape(outer, BRASS, width=1.5)
    sheet.hatch(outer, angle=70, gap=4, share=0.3)
    for ring in (0.8, 0.87, 0.94):
        sheet.line(arc(cx, cy, r * ring, r * ring, -2, 182), 0.8)
    card = arc(cx, cy, r * 0.86, r * 0.86, 20, 160) + arc(cx, cy, r * 0.8, r * 0.8, 160, 20)
    sheet.shape(card, mix(BLUE, WHITE, 0.2), width=0.7)
    for start in (52, 66, 90, 104, 118):
        sheet.line(
            arc(cx, cy, r * 0.83, r * 0.83, start, start + sheet.rng.uniform(5, 11)),
            3,
            (92, 62, 44),
        )
    _ball(sheet, cx, cy - h * 0.02, r * 0.72)


def _ball(sheet: Sheet, cx: float, cy: float, r: float) -> None:
    sheet.oval(cx, cy, r, None, GLASS, width=1.5)
    for i in range(9):
        inner = r * (0.97 - 0.055 * i)
        sheet.line(arc(cx, cy, inner, inner, 15 + 5 * i, 108 - 5 * i), 0.7)
        sheet.line(arc(cx, cy, inner, inner, 200 + 7 * i, 262 - 6 * i), 0.5, mix(INK, GLASS, 0.4))
    window = [
        (cx - r * 0.5, cy - r * 0.56),
        (cx - r * 0.2, cy - r * 0.68),
        (cx - r * 0.16, cy - r * 0.3),
        (cx - r * 0.48, cy - r * 0.22),
    ]
    sheet.shape(window, WHITE, width=0)
    glow = arc(cx + r * 0.28, cy + r * 0.45, r * 0.22, r * 0.12, 0, 360)
    sheet.shape(glow, mix(WHITE, BRASS, 0.2), width=0)


def radiosonde(sheet: Sheet, title: str) -> None:
    """A light box with a sensor, a cord above and an aerial below."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    for side in (-1, 1):
        sheet.line([(cx, sheet.px), (cx + side * w * 0.26, h * 0.2)], 0.9)
    foam = "foam" in title
    box = [(w * 0.03, h * 0.2), (w * 0.88, h * 0.2), (w * 0.88, h * 0.84), (w * 0.03, h * 0.84)]
    sheet.shape(box, WHITE if foam else LINEN, width=1.5)
    if foam:
        for _ in range(160):
            sheet.oval(
                w * sheet.rng.uniform(0.06, 0.85),
                h * sheet.rng.uniform(0.22, 0.82),
                w * 0.015,
                None,
                None,
                width=0.4,
                colour=mix(INK, WHITE, 0.7),
            )
    else:
        sheet.box(w * 0.03, h * 0.3, w * 0.88, h * 0.34, mix(RED, LINEN, 0.2), width=0.6)
        sheet.hatch(box, angle=88, gap=7, share=0.15)
    sheet.box(w * 0.12, h * 0.42, w * 0.62, h * 0.7, PAPER, width=0.9)
    for i in range(6):
        sheet.lettering(w * 0.16, h * (0.475 + 0.042 * i), w * 0.58, h * 0.022)
    if "vane" in title:
        for i in range(4):
            blade = [
                (w * 0.74, h * 0.14),
                *arc(w * 0.74, h * 0.14, w * 0.2, h * 0.12, 90 * i + 20, 90 * i + 70),
            ]
            sheet.shape(blade, SILVER, width=0.9)
    sheet.line([(w * 0.88, h * 0.36), (w * 0.985, h * 0.3)], 2, SILVER)
    sheet.line([(w * 0.88, h * 0.36), (w * 0.985, h * 0.3)], 0.7)
    coil = [(w * 0.76 + w * 0.04 * math.sin(i), h * 0.46 + h * 0.006 * i) for i in range(40)]
    sheet.line(coil, 0.9, COPPER)
    sheet.line([(w * 0.3, h * 0.84), (w * 0.3, h * 0.99)], 1.2)
    sheet.line([(w * 0.7, h * 0.84), (w * 0.7, h * 0.99)], 1.2)


def camera(sheet: Sheet, title: str) -> None:
    """A wooden box camera, lens towards us."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    outer = [(w * 0.04, h * 0.06), (w * 0.96, h * 0.06), (w * 0.96, h * 0.96), (w * 0.04, h * 0.96)]
    sheet.shape(outer, MAHOGANY, width=1.6)
    sheet.grain(outer)
    sheet.box(w * 0.14, h * 0.14, w * 0.86, h * 0.86, mix(MAHOGANY, INK, 0.3))
    sheet.box(w * 0.2, h * 0.2, w * 0.8, h * 0.8, MAHOGANY)
    r = min(w, h) * 0.24
    for share, tone in (
        (1.0, BRASS),
        (0.82, mix(BRASS, WHITE, 0.3)),
        (0.64, mix(INK, BLUE, 0.3)),
        (0.4, mix(INK, BLUE, 0.5)),
    ):
        sheet.oval(cx, h * 0.5, r * share, None, tone)
    sheet.line(arc(cx, h * 0.5, r * 0.5, r * 0.5, 190, 260), 2, WHITE)
    sheet.box(w * 0.3, h * 0.005, w * 0.7, h * 0.06, BRASS)
    for x in (0.09, 0.91):
        for y in (0.11, 0.91):
            sheet.oval(w * x, h * y, w * 0.022, None, BRASS, width=0.8)


def boxed_set(sheet: Sheet, title: str) -> None:
    """A box seen from in front, with its lid a little raised."""
    w, h, edge = sheet.w, sheet.h, sheet.px
    wood = sheet.rng.choice((OAK, WALNUT, PINE, MAHOGANY))
    lid = [(edge, edge), (w - edge, edge), (w - edge, h * 0.32), (edge, h * 0.32)]
    body = [
        (w * 0.015, h * 0.36),
        (w * 0.985, h * 0.36),
        (w * 0.985, h - edge),
        (w * 0.015, h - edge),
    ]
    for part in (lid, body):
        sheet.shape(part, wood, width=1.5)
        sheet.grain(part, upright=False)
    sheet.box(w * 0.03, h * 0.32, w * 0.97, h * 0.36, mix(INK, wood, 0.4), width=0.6)
    sheet.box(w * 0.46, h * 0.28, w * 0.54, h * 0.46, BRASS, radius=w * 0.01)
    sheet.box(w * 0.2, h * 0.56, w * 0.8, h * 0.84, PAPER, width=0.8)
    for i in range(2):
        sheet.lettering(w * 0.25, h * (0.67 + 0.12 * i), w * 0.75, h * 0.07)


def apparatus(sheet: Sheet, title: str) -> None:
    """A wheel, a horn or a plate on a stand, after the object's proportions."""
    w, h = sheet.w, sheet.h
    if "mirror" in title or "ring" in title:
        _black_ring(sheet)
    elif "Pressure" in title:
        _pressure_plate(sheet)
    elif "drum" in title or "block" in title:
        _winch(sheet)
    elif "cone" in title or "arachute" in title:
        cone = mirrored(
            curve([(w * 0.5, h * 0.02), (w * 0.26, h * 0.52), (w * 0.03, h * 0.97)]), w / 2
        )
        sheet.shape(cone, mix(INK, LINEN, 0.25 if "cone" in title else 0.85), width=1.5)
        sheet.turned(cone, share=0.4)
    else:
        _on_stand(sheet)


def _black_ring(sheet: Sheet) -> None:
    cx, cy, r = sheet.w / 2, sheet.h / 2, min(sheet.w, sheet.h) / 2 - sheet.px
    sheet.oval(cx, cy, r, None, mix(WALNUT, INK, 0.2), width=1.6)
    sheet.oval(cx, cy, r * 0.86, None, mix(INK, BLUE, 0.25))
    for i in range(7):
        sheet.line(
            arc(cx, cy, r * (0.8 - 0.04 * i), r * (0.8 - 0.04 * i), 200 + 6 * i, 260 - 3 * i),
            1.2,
            mix(INK, WHITE, 0.45 - 0.05 * i),
        )


def _on_stand(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    r = min(w * 0.46, h * 0.36)
    top = h * 0.02 + r * 1.9
    foot = mirrored(
        curve(
            [
                (cx - w * 0.05, top),
                (cx - w * 0.08, top + (h - top) * 0.5),
                (cx - w * 0.4, h * 0.93),
                (cx - w * 0.42, h * 0.985),
            ]
        ),
        cx,
    )
    sheet.shape(foot, WALNUT, width=1.5)
    sheet.turned(foot)
    draw_dial(sheet, cx, h * 0.02 + r, r, rim=BRASS, face=SILVER, marks=37)


def _pressure_plate(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    sheet.box(w * 0.1, h * 0.9, w * 0.9, h * 0.985, OAK, width=1.5)
    sheet.box(w * 0.44, h * 0.06, w * 0.56, h * 0.9, IRON, width=1.4)
    plate: Points = [
        (w * 0.18, h * 0.14),
        (w * 0.82, h * 0.14),
        (w * 0.82, h * 0.6),
        (w * 0.18, h * 0.6),
    ]
    sheet.shape(plate, mix(IRON, WHITE, 0.2), width=1.6)
    sheet.hatch(plate, angle=30, gap=5, share=0.25)
    sheet.line([(w * 0.12, h * 0.12), (w * 0.88, h * 0.12)], 4, BRASS)
    scale = arc(w * 0.5, h * 0.42, w * 0.46, h * 0.36, 30, 150)
    sheet.line(scale, 3, BRASS)
    for i, (x, y) in enumerate(scale[::3]):
        sheet.line([(x, y), (x, y + h * (0.03 if i % 2 else 0.05))], 0.9)
    dent = arc(w * 0.64, h * 0.46, w * 0.07, h * 0.05, 0, 360)
    sheet.hatch(dent, angle=-40, gap=3, share=0.5)


def _winch(sheet: Sheet) -> None:
    w, h, cx, cy = sheet.w, sheet.h, sheet.w / 2, sheet.h * 0.45
    for side in (-1, 1):
        leg = [
            (cx + side * w * 0.28, cy),
            (cx + side * w * 0.36, cy),
            (cx + side * w * 0.48, h * 0.985),
            (cx + side * w * 0.38, h * 0.985),
        ]
        sheet.shape(leg, OAK, width=1.4)
    drum = [(w * 0.2, h * 0.14), (w * 0.8, h * 0.14), (w * 0.8, h * 0.76), (w * 0.2, h * 0.76)]
    sheet.shape(drum, IRON, width=1.5)
    sheet.hatch(drum, angle=90, gap=2.4, share=0.5)
    for x in (0.17, 0.83):
        sheet.box(
            w * (x - 0.04), h * 0.06, w * (x + 0.04), h * 0.84, mix(IRON, INK, 0.3), radius=w * 0.03
        )
    sheet.line([(w * 0.87, cy), (w * 0.97, cy), (w * 0.97, h * 0.7)], 4, mix(IRON, INK, 0.4))
