"""Barometers: stick, wheel and aneroid."""

import math

from exhibit_core.demo.pictures.sheet import (
    BLUE,
    BRASS,
    GLASS,
    INK,
    IVORY,
    MAHOGANY,
    MERCURY,
    PAPER,
    ROSEWOOD,
    SILVER,
    WALNUT,
    WHITE,
    Colour,
    Point,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)

WOODS = (MAHOGANY, WALNUT, ROSEWOOD)


def stick_barometer(sheet: Sheet, title: str) -> None:
    """A trunk with a scale plate above and a turned cistern below."""
    if "Pair" in title:
        half = sheet.w * 0.3
        for middle in (half / 2, sheet.w - half / 2):
            _stick(sheet, middle, half, MAHOGANY)
    elif "Angle" in title:
        _angled(sheet)
    else:
        _stick(sheet, sheet.w / 2, sheet.w, sheet.rng.choice(WOODS))


def _stick(sheet: Sheet, cx: float, w: float, wood: Colour) -> None:
    h, half = sheet.h, w / 2
    trunk = half * 0.52
    _hood(sheet, cx, half, wood)
    body = [
        (cx - trunk, h * 0.27),
        (cx + trunk, h * 0.27),
        (cx + trunk, h * 0.88),
        (cx - trunk, h * 0.88),
    ]
    sheet.shape(body, wood)
    sheet.grain(body)
    sheet.hatch(
        [
            (cx + trunk * 0.62, h * 0.27),
            (cx + trunk, h * 0.27),
            (cx + trunk, h * 0.88),
            (cx + trunk * 0.62, h * 0.88),
        ],
        angle=90,
        gap=1.6,
        share=0.4,
    )
    for inset in (0.8, 0.7):
        sheet.box(cx - trunk * inset, h * 0.28, cx + trunk * inset, h * 0.865, None, width=0.4)
    _scale_plate(sheet, cx, half, sheet.rng.uniform(0.35, 0.55))
    draw_tube(sheet, cx, half * 0.1, h * 0.27, h * 0.86, mercury_from=h * 0.2)
    _cistern(sheet, cx, half, wood)


def _hood(sheet: Sheet, cx: float, half: float, wood: Colour) -> None:
    h = sheet.h
    outline = [
        (cx - half * 0.72, h * 0.29),
        (cx - half * 0.8, h * 0.28),
        (cx - half * 0.8, h * 0.07),
    ]
    style = sheet.rng.choice(("arch", "pediment", "scroll"))
    if style == "arch":
        outline += arc(cx, h * 0.07, half * 0.8, h * 0.055, 180, 270)
    elif style == "pediment":
        outline += [(cx - half * 0.98, h * 0.07), (cx - half * 0.98, h * 0.055), (cx, h * 0.012)]
    else:
        outline += curve(
            [
                (cx - half * 0.95, h * 0.07),
                (cx - half * 0.9, h * 0.03),
                (cx - half * 0.5, h * 0.035),
                (cx - half * 0.22, h * 0.012),
            ]
        )
    shape = mirrored(outline, cx)
    sheet.shape(shape, wood, width=1.4)
    sheet.grain(shape)
    sheet.line([(cx - half * 0.85, h * 0.072), (cx + half * 0.85, h * 0.072)], 0.8)
    ball = min(half * 0.2, h * 0.014)
    sheet.oval(cx, ball + sheet.px, ball, None, BRASS)


def _scale_plate(sheet: Sheet, cx: float, half: float, level: float) -> None:
    h = sheet.h
    top, bottom = h * 0.085, h * 0.265
    sheet.box(cx - half * 0.62, top, cx + half * 0.62, bottom, sheet.rng.choice((SILVER, IVORY)))
    draw_tube(
        sheet, cx, half * 0.1, top + h * 0.006, bottom, mercury_from=top + (bottom - top) * level
    )
    for i in range(31):
        y = top + (bottom - top) * (0.06 + 0.88 * i / 30)
        length = half * (0.3 if i % 10 == 0 else 0.2 if i % 5 == 0 else 0.12)
        sheet.line([(cx + half * 0.16, y), (cx + half * 0.16 + length, y)], 0.6)
        if i % 5 == 0:
            sheet.lettering(cx - half * 0.52, y + h * 0.003, cx - half * 0.16, h * 0.008)
    pointer = top + (bottom - top) * level
    sheet.shape(
        [
            (cx + half * 0.14, pointer),
            (cx + half * 0.5, pointer - h * 0.005),
            (cx + half * 0.5, pointer + h * 0.005),
        ],
        BRASS,
        width=0.7,
    )
    sheet.oval(cx, bottom + h * 0.02, half * 0.1, None, BRASS, width=0.8)


def draw_tube(
    sheet: Sheet, cx: float, r: float, top: float, bottom: float, *, mercury_from: float
) -> None:
    sheet.box(cx - r, top, cx + r, bottom, GLASS, radius=r, width=0.7)
    start = max(top, mercury_from)
    sheet.box(cx - r * 0.6, start, cx + r * 0.6, bottom, MERCURY, width=0.5)
    sheet.line([(cx - r * 0.25, start), (cx - r * 0.25, bottom)], 0.6, WHITE)


def _cistern(sheet: Sheet, cx: float, half: float, wood: Colour) -> None:
    h, top = sheet.h, sheet.h * 0.85
    low = h - sheet.px
    outline = curve(
        [
            (cx - half * 0.6, top),
            (cx - half * 0.86, top + h * 0.012),
            (cx - half * 0.9, top + h * 0.05),
            (cx - half * 0.84, top + h * 0.09),
            (cx - half * 0.5, top + h * 0.115),
            (cx - half * 0.16, top + h * 0.125),
        ]
    )
    shape = mirrored(outline, cx)
    sheet.shape(shape, mix(wood, INK, 0.08), width=1.4)
    sheet.turned(shape)
    for y in (0.018, 0.082):
        sheet.line([(cx - half * 0.87, top + h * y), (cx + half * 0.87, top + h * y)], 0.8)
    sheet.box(cx - half * 0.14, top + h * 0.122, cx + half * 0.14, low, BRASS)


def _angled(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    outer = [
        (sheet.px, h * 0.05),
        (w - sheet.px, h * 0.05),
        (w - sheet.px, h * 0.99),
        (sheet.px, h * 0.99),
    ]
    sheet.shape(outer, MAHOGANY, width=1.6)
    sheet.grain(outer)
    sheet.shape([(w * 0.02, h * 0.05), (w * 0.5, h * 0.004), (w * 0.98, h * 0.05)], MAHOGANY)
    sheet.box(w * 0.14, h * 0.16, w * 0.8, h * 0.95, PAPER)
    for row in range(26):
        y = h * (0.2 + 0.028 * row)
        for column in range(4):
            x = w * (0.17 + 0.155 * column)
            sheet.lettering(x, y, x + w * 0.13, h * 0.009)
    for column in range(1, 4):
        x = w * (0.158 + 0.155 * column)
        sheet.line([(x, h * 0.17), (x, h * 0.94)], 0.5)
    sheet.oval(w * 0.47, h * 0.35, w * 0.17, None, mix(PAPER, WHITE, 0.4))
    for i in range(12):
        a = math.radians(i * 30)
        sheet.line(
            [
                (w * 0.47, h * 0.35),
                (w * (0.47 + 0.17 * math.cos(a)), h * 0.35 + w * 0.17 * math.sin(a)),
            ],
            0.5,
        )
    sheet.line([(w * 0.08, h * 0.95), (w * 0.08, h * 0.13), (w * 0.93, h * 0.085)], 7, INK)
    sheet.line([(w * 0.08, h * 0.95), (w * 0.08, h * 0.13), (w * 0.93, h * 0.085)], 5, GLASS)
    sheet.line([(w * 0.08, h * 0.95), (w * 0.08, h * 0.13), (w * 0.58, h * 0.103)], 2.6, MERCURY)
    sheet.oval(w * 0.08, h * 0.955, w * 0.045, None, MERCURY)
    for i in range(21):
        x = w * (0.2 + 0.034 * i)
        y = h * (0.136 - 0.0018 * i)
        sheet.line([(x, y), (x, y - h * (0.012 if i % 5 == 0 else 0.007))], 0.6)


def wheel_barometer(sheet: Sheet, title: str) -> None:
    """A banjo-shaped case with a large dial, thermometer above and level below."""
    if sheet.w / sheet.h > 0.45:
        _painted_front(sheet)
        return
    wood = sheet.rng.choice((MAHOGANY, ROSEWOOD))
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    dial_y, r = h * 0.66, w * 0.485
    outline = _banjo(sheet, cx, dial_y, r)
    sheet.shape(outline, wood, width=1.6)
    sheet.grain(outline)
    inner = [(cx + (x - cx) * 0.9, h * 0.5 + (y - h * 0.5) * 0.965) for x, y in outline]
    sheet.shape(inner, None, width=0.5, colour=mix(wood, WHITE, 0.6))
    if "unfinished" not in title:
        _wheel_fittings(sheet, cx, dial_y, r, many="five" in title)
    else:
        for share in (0.8, 0.62, 0.1):
            sheet.oval(cx, dial_y, r * share, None, None, width=0.6)
        sheet.line([(cx, h * 0.1), (cx, h * 0.95)], 0.4)
        sheet.line([(cx - r, dial_y), (cx + r, dial_y)], 0.4)


def _banjo(sheet: Sheet, cx: float, dial_y: float, r: float) -> list[Point]:
    w, h = sheet.w, sheet.h
    upper = [
        (cx, h * 0.012),
        (cx - w * 0.1, h * 0.03),
        (cx - w * 0.2, h * 0.055),
        (cx - w * 0.24, h * 0.085),
        (cx - w * 0.25, h * 0.14),
        (cx - w * 0.22, h * 0.3),
        (cx - w * 0.24, dial_y - r * 1.45),
        (cx - w * 0.34, dial_y - r * 0.98),
    ]
    left = curve(upper) + arc(cx, dial_y, r, r, -136, -222)
    foot = curve(
        [
            (cx - w * 0.36, dial_y + r * 0.7),
            (cx - w * 0.24, dial_y + r * 1.2),
            (cx - w * 0.2, h * 0.95),
            (cx - w * 0.11, h * 0.972),
            (cx, h * 0.995),
        ]
    )
    return mirrored(left + foot, cx)


def _wheel_fittings(sheet: Sheet, cx: float, dial_y: float, r: float, *, many: bool) -> None:
    w, h = sheet.w, sheet.h
    draw_dial(sheet, cx, dial_y, r * 0.82, rim=BRASS, face=SILVER)
    top, bottom = h * 0.15, dial_y - r * 1.12
    if many:
        draw_dial(sheet, cx, h * 0.115, w * 0.13, rim=BRASS, face=SILVER)
        sheet.oval(cx, bottom - w * 0.06, w * 0.12, None, GLASS)
        sheet.hatch(arc(cx, bottom - w * 0.06, w * 0.12, w * 0.12, 0, 360), angle=50, gap=3)
        top, bottom = h * 0.19, bottom - w * 0.24
    sheet.box(cx - w * 0.115, top, cx + w * 0.115, bottom, SILVER, radius=w * 0.05)
    draw_tube(
        sheet, cx, w * 0.016, top + h * 0.012, bottom - h * 0.02, mercury_from=(top + bottom) / 2
    )
    sheet.oval(cx, bottom - h * 0.016, w * 0.03, None, MERCURY, width=0.8)
    for i in range(25):
        y = top + (bottom - top) * (0.1 + 0.72 * i / 24)
        for side in (-1, 1):
            end = 0.085 if i % 4 == 0 else 0.06
            sheet.line([(cx + side * w * 0.035, y), (cx + side * w * end, y)], 0.5)
    low = dial_y + r * 1.12
    sheet.box(cx - w * 0.14, low, cx + w * 0.14, low + h * 0.022, SILVER, radius=h * 0.01)
    sheet.box(cx - w * 0.08, low + h * 0.006, cx + w * 0.08, low + h * 0.016, GLASS, width=0.6)


def _painted_front(sheet: Sheet) -> None:
    w, h, cx, gold = sheet.w, sheet.h, sheet.w / 2, BRASS
    body = mirrored(
        curve(
            [
                (cx, h * 0.13),
                (cx - w * 0.3, h * 0.2),
                (cx - w * 0.47, h * 0.38),
                (cx - w * 0.49, h * 0.56),
                (cx - w * 0.42, h * 0.74),
                (cx - w * 0.2, h * 0.88),
                (cx, h * 0.99),
            ]
        ),
        cx,
    )
    sheet.shape(body, gold, width=1.6)
    sheet.hatch(body, angle=60, gap=5, share=0.25)
    for i in range(17):
        a = math.radians(100 + i * 20.5)
        x, y = cx + w * 0.4 * math.cos(a), h * 0.545 + h * 0.285 * math.sin(a)
        sheet.oval(x, y, w * 0.045, h * 0.022, mix(gold, WHITE, 0.25), width=0.8)
    sheet.oval(cx, h * 0.54, w * 0.34, None, mix(BLUE, WHITE, 0.25))
    draw_dial(sheet, cx, h * 0.54, w * 0.26, rim=gold, face=WHITE)
    for side in (-1, 1):
        dove = [
            (cx + side * w * 0.03, h * 0.16),
            (cx + side * w * 0.2, h * 0.075),
            (cx + side * w * 0.42, h * 0.1),
            (cx + side * w * 0.3, h * 0.15),
            (cx + side * w * 0.34, h * 0.2),
            (cx + side * w * 0.14, h * 0.2),
        ]
        wing = curve(dove, closed=True)
        sheet.shape(wing, mix(gold, WHITE, 0.2))
        sheet.hatch(wing, angle=20 * side, gap=3.4, share=0.35)
    crest = mirrored(
        curve([(cx - w * 0.09, h * 0.14), (cx - w * 0.12, h * 0.06), (cx, h * 0.008)]), cx
    )
    sheet.shape(crest, gold)
    sheet.turned(crest, share=0.3)


def draw_dial(
    sheet: Sheet, cx: float, cy: float, r: float, *, rim: Colour, face: Colour, marks: int = 60
) -> None:
    """Draw a round dial with its divisions, a dark hand and a bright one."""
    sheet.oval(cx, cy, r, None, rim, width=1.4)
    sheet.turned(arc(cx, cy, r, r, 0, 360), share=0.35)
    sheet.oval(cx, cy, r * 0.88, None, face, width=0.9)
    for i in range(marks):
        a = math.radians(120 + 300 * i / (marks - 1))
        inner = 0.68 if i % 10 == 0 else 0.73 if i % 5 == 0 else 0.77
        sheet.line(
            [
                (cx + r * inner * math.cos(a), cy + r * inner * math.sin(a)),
                (cx + r * 0.82 * math.cos(a), cy + r * 0.82 * math.sin(a)),
            ],
            0.6,
        )
    for ring in (0.82, 0.6):
        sheet.line(arc(cx, cy, r * ring, r * ring, 120, 420), 0.5)
    for i in range(7):
        a = math.radians(135 + 45 * i)
        x, y = cx + r * 0.5 * math.cos(a), cy + r * 0.5 * math.sin(a)
        sheet.lettering(x - r * 0.11, y + r * 0.03, x + r * 0.13, r * 0.07)
    dark = sheet.rng.uniform(190, 350)
    _hand(sheet, cx, cy, r * 0.74, dark, mix(BLUE, INK, 0.6))
    _hand(sheet, cx, cy, r * 0.7, dark + sheet.rng.uniform(-28, 28), BRASS)
    sheet.oval(cx, cy, r * 0.06, None, BRASS, width=0.9)


def _hand(sheet: Sheet, cx: float, cy: float, r: float, angle: float, colour: Colour) -> None:
    a = math.radians(angle)
    along, across = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
    profile = ((-0.25, 0.05), (0.0, 0.03), (0.55, 0.015), (0.68, 0.06), (0.8, 0.012), (1.0, 0.0))
    edge = [
        (cx + r * (u * along[0] + v * across[0]), cy + r * (u * along[1] + v * across[1]))
        for u, v in (*profile, *((u, -v) for u, v in reversed(profile)))
    ]
    sheet.shape(edge, colour, width=0.6)


def aneroid_barometer(sheet: Sheet, title: str) -> None:
    """A round brass case with a ring above and an open or closed dial."""
    cx, cy = sheet.w / 2, sheet.h / 2
    r = min(sheet.w, sheet.h) / 2 - sheet.px
    pocket = "ocket" in title
    if pocket:
        r *= 0.84
        cy = sheet.h - r - sheet.px
        sheet.oval(cx, r * 0.16, r * 0.15, None, None, width=3.2, colour=mix(BRASS, INK, 0.35))
        sheet.box(cx - r * 0.09, r * 0.26, cx + r * 0.09, r * 0.42, BRASS)
    face = (58, 60, 58) if "luminous" in title else WHITE
    draw_dial(sheet, cx, cy, r, rim=BRASS, face=face if face == WHITE else mix(IVORY, INK, 0.12))
    if "open" in title:
        sheet.oval(cx, cy + r * 0.12, r * 0.34, None, mix(BRASS, INK, 0.45))
        for ring in (0.3, 0.24, 0.18, 0.12):
            sheet.oval(cx, cy + r * 0.12, r * ring, None, mix(BRASS, WHITE, 0.3 - ring), width=0.8)
        _hand(sheet, cx, cy, r * 0.74, 305, mix(BLUE, INK, 0.6))
    if "luminous" in title:
        for i in range(13):
            a = math.radians(135 + 22.5 * i)
            sheet.oval(
                cx + r * 0.66 * math.cos(a),
                cy + r * 0.66 * math.sin(a),
                r * 0.04,
                None,
                (196, 206, 150),
                width=0.6,
            )
