"""Thermometers, hygrometers and weather houses."""

import math

from exhibit_core.demo.pictures.barometers import draw_dial, draw_tube
from exhibit_core.demo.pictures.sheet import (
    BLUE,
    BRASS,
    GLASS,
    GREEN,
    INK,
    IVORY,
    MAHOGANY,
    MERCURY,
    OAK,
    PAPER,
    PINE,
    RED,
    SILVER,
    SLATE,
    WALNUT,
    WHITE,
    Colour,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)


def thermometer(sheet: Sheet, title: str) -> None:
    """A tube on a divided back board; long thin ones are glass alone."""
    if sheet.w / sheet.h > 1.3:
        _afloat(sheet)
    elif "piral" in title:
        _spiral(sheet)
    elif "bucket" in title:
        _bucket(sheet)
    elif sheet.w / sheet.h < 0.11:
        draw_tube(
            sheet,
            sheet.w / 2,
            sheet.w * 0.36,
            sheet.px,
            sheet.h - sheet.px,
            mercury_from=sheet.h * 0.5,
        )
    else:
        _board(sheet, title)


def _board(sheet: Sheet, title: str) -> None:
    w, h, cx, edge = sheet.w, sheet.h, sheet.w / 2, sheet.px
    colour = _board_colour(sheet, title)
    top = arc(cx, min(w / 2, h * 0.1) + edge, w / 2 - edge, min(w / 2, h * 0.1), 180, 360)
    board = [*top, (w - edge, h - edge), (edge, h - edge)]
    sheet.shape(board, colour, width=1.5)
    if colour != SLATE:
        sheet.grain(board)
    else:
        sheet.hatch(board, angle=8, gap=7, share=0.2)
    sheet.oval(cx, h * 0.035, min(w * 0.05, h * 0.012), None, INK, width=0)
    pale = mix(colour, WHITE, 0.7)
    sheet.box(w * 0.16, h * 0.13, w * 0.84, h * 0.9, pale, width=0.8)
    rival = "rival" in title
    tubes = (cx - w * 0.16, cx + w * 0.16) if "aximum" in title else (cx,)
    for tube in tubes:
        fill = mix(RED, INK, 0.1) if "reenhouse" in title else MERCURY
        _degree_tube(sheet, tube, w * 0.035, fill, level=sheet.rng.uniform(0.35, 0.6))
    _degrees(
        sheet, (BLUE, RED, INK) if rival else (INK, INK), gap=w * (0.24 if len(tubes) > 1 else 0.07)
    )
    sheet.lettering(w * 0.24, h * 0.118, w * 0.78, h * 0.012, colour=mix(INK, colour, 0.2))


def _board_colour(sheet: Sheet, title: str) -> Colour:
    if "slate" in title:
        return SLATE
    if "reenhouse" in title:
        return mix(GREEN, WHITE, 0.2)
    return sheet.rng.choice((OAK, MAHOGANY, PINE))


def _degree_tube(sheet: Sheet, cx: float, r: float, fill: Colour, *, level: float) -> None:
    h = sheet.h
    draw_tube(sheet, cx, r, h * 0.15, h * 0.86, mercury_from=h * 2)
    sheet.box(cx - r * 0.45, h * (0.15 + 0.7 * level), cx + r * 0.45, h * 0.855, fill, width=0)
    sheet.oval(cx, h * 0.865, r * 1.9, None, fill)
    sheet.line(arc(cx, h * 0.865, r * 1.1, r * 1.1, 180, 260), 0.9, WHITE)


def _degrees(sheet: Sheet, inks: tuple[Colour, ...], *, gap: float) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    for column, ink in enumerate(inks):
        side = -1 if column % 2 == 0 else 1
        start = gap if column < 2 else gap + w * 0.16
        count = 40 + 12 * column
        for i in range(count + 1):
            y = h * (0.18 + 0.64 * i / count)
            length = w * (0.09 if i % 10 == 0 else 0.06 if i % 5 == 0 else 0.04)
            sheet.line([(cx + side * start, y), (cx + side * (start + length), y)], 0.5, ink)
            if i % 10 == 0 and len(inks) < 3:
                near, far = sorted((cx + side * (start + w * 0.1), cx + side * (start + w * 0.2)))
                sheet.lettering(near, y + h * 0.004, far, min(h * 0.012, w * 0.05), colour=ink)


def _afloat(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    hull = curve(
        [
            (w * 0.01, h * 0.32),
            (w * 0.16, h * 0.86),
            (w * 0.5, h * 0.97),
            (w * 0.84, h * 0.86),
            (w * 0.99, h * 0.32),
        ]
    )
    hull += [(w * 0.86, h * 0.4), (w * 0.14, h * 0.4)]
    sheet.shape(hull, OAK, width=1.5)
    sheet.grain(hull, upright=False)
    sheet.box(w * 0.2, h * 0.1, w * 0.8, h * 0.38, IVORY)
    sheet.line([(w * 0.23, h * 0.25), (w * 0.76, h * 0.25)], 4, GLASS)
    sheet.line([(w * 0.23, h * 0.25), (w * 0.5, h * 0.25)], 2.4, MERCURY)
    sheet.oval(w * 0.23, h * 0.25, h * 0.06, None, MERCURY)
    for i in range(31):
        x = w * (0.28 + 0.016 * i)
        sheet.line([(x, h * 0.3), (x, h * (0.37 if i % 5 == 0 else 0.34))], 0.5)


def _spiral(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    turns, rise = 9, h * 0.62
    for i in range(turns):
        y = h * 0.8 - rise * i / turns
        back = arc(cx, y, w * 0.42, h * 0.03, 180, 360)
        front = [
            (x, v - rise / turns * t / 46)
            for t, (x, v) in enumerate(arc(cx, y, w * 0.42, h * 0.03, 180, 0))
        ]
        for part, ink in ((back, mix(INK, WHITE, 0.4)), (front, INK)):
            sheet.line(part, 6, ink)
            sheet.line(part, 4.4, GLASS)
            sheet.line(part, 1.6, mix(RED, PAPER, 0.45 if i < 5 else 0.9))
    sheet.line([(cx, h * 0.18), (cx, h * 0.03)], 6)
    sheet.line([(cx, h * 0.18), (cx, h * 0.03)], 4.4, GLASS)
    sheet.oval(cx, h * 0.9, w * 0.22, h * 0.09, mix(RED, PAPER, 0.45))
    sheet.turned(arc(cx, h * 0.9, w * 0.22, h * 0.09, 0, 360))


def _bucket(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    sheet.line(arc(cx, h * 0.42, w * 0.42, h * 0.38, 180, 360), 3.4, mix(OAK, INK, 0.3))
    tub = mirrored([(w * 0.04, h * 0.42), (w * 0.13, h * 0.98), (cx, h * 0.99)], cx)
    sheet.shape(tub, OAK, width=1.5)
    for i in range(1, 8):
        x = w * (0.04 + 0.115 * i)
        sheet.line([(x, h * 0.42), (cx + (x - cx) * 0.8, h * 0.985)], 0.6)
    sheet.turned(tub, share=0.4)
    for y in (0.54, 0.84):
        inset = w * (0.05 + 0.09 * (y - 0.42) / 0.56)
        sheet.box(inset, h * y, w - inset, h * (y + 0.045), mix(SLATE, INK, 0.2))
    sheet.box(cx - w * 0.05, h * 0.12, cx + w * 0.05, h * 0.42, BRASS)
    draw_tube(sheet, cx, w * 0.018, h * 0.14, h * 0.4, mercury_from=h * 0.27)


def hygrometer(sheet: Sheet, title: str) -> None:
    """A round dial on wood, a hair on a painted board, or a whirling frame."""
    ratio = sheet.w / sheet.h
    if ratio < 0.4:
        _whirling(sheet)
    elif ratio > 0.93 and "Dew" not in title:
        _beard_dial(sheet)
    elif "Dew" in title:
        _dew_point(sheet)
    else:
        _hair_board(sheet)


def _beard_dial(sheet: Sheet) -> None:
    cx, cy, r = sheet.w / 2, sheet.h / 2, min(sheet.w, sheet.h) / 2 - sheet.px
    sheet.oval(cx, cy, r, None, MAHOGANY, width=1.6)
    sheet.grain(arc(cx, cy, r, r, 0, 360))
    draw_dial(sheet, cx, cy, r * 0.84, rim=BRASS, face=PAPER, marks=72)
    beard = curve(
        [(cx - r * 0.05, cy), (cx + r * 0.2, cy - r * 0.25), (cx + r * 0.3, cy - r * 0.62)]
    )
    sheet.line(beard, 1.6, mix(OAK, INK, 0.4))


def _hair_board(sheet: Sheet) -> None:
    w, h, edge = sheet.w, sheet.h, sheet.px
    board = [(edge, edge), (w - edge, edge), (w - edge, h - edge), (edge, h - edge)]
    sheet.shape(board, mix(PAPER, BLUE, 0.12), width=1.5)
    sheet.box(w * 0.05, h * 0.04, w * 0.95, h * 0.96, None, width=0.6)
    sheet.box(w * 0.42, h * 0.08, w * 0.58, h * 0.13, BRASS)
    sheet.line([(w * 0.5, h * 0.12), (w * 0.5, h * 0.66)], 0.8, RED)
    fan = arc(w * 0.5, h * 0.68, w * 0.38, h * 0.24, 200, 340)
    sheet.line(fan, 1.2)
    for i, (x, y) in enumerate(arc(w * 0.5, h * 0.68, w * 0.38, h * 0.24, 200, 340)[::2]):
        length = 0.12 if i % 4 == 0 else 0.07
        sheet.line([(x, y), (x + (x - w * 0.5) * length, y + (y - h * 0.68) * length)], 0.7)
    angle = math.radians(sheet.rng.uniform(215, 325))
    tip = (w * 0.5 + w * 0.36 * math.cos(angle), h * 0.68 + h * 0.22 * math.sin(angle))
    sheet.line([(w * 0.5, h * 0.68), tip], 2, mix(BLUE, INK, 0.5))
    sheet.oval(w * 0.5, h * 0.68, w * 0.05, None, BRASS)
    sheet.lettering(w * 0.12, h * 0.8, w * 0.4, h * 0.04)
    sheet.lettering(w * 0.62, h * 0.8, w * 0.9, h * 0.04)
    sheet.words("HYGROMETER", w * 0.5, h * 0.88, width=w * 0.6, height=h * 0.06)


def _whirling(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    sheet.box(w * 0.36, h * 0.72, w * 0.64, h * 0.99, PINE, radius=w * 0.12)
    sheet.turned(arc(w * 0.5, h * 0.855, w * 0.14, h * 0.135, 0, 360), share=0.3)
    sheet.box(w * 0.04, h * 0.01, w * 0.96, h * 0.72, PINE, radius=w * 0.06, width=1.5)
    for x in (0.3, 0.7):
        draw_tube(sheet, w * x, w * 0.05, h * 0.04, h * 0.64, mercury_from=h * 0.34)
        sheet.oval(w * x, h * 0.645, w * 0.08, None, MERCURY if x < 0.5 else LINEN_WICK)
        for i in range(28):
            y = h * (0.08 + 0.018 * i)
            sheet.line([(w * (x + 0.08), y), (w * (x + (0.18 if i % 5 == 0 else 0.13)), y)], 0.5)


LINEN_WICK: Colour = mix(WHITE, PAPER, 0.5)


def _dew_point(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    sheet.box(w * 0.1, h * 0.9, w * 0.9, h * 0.99, WALNUT)
    sheet.box(w * 0.47, h * 0.14, w * 0.53, h * 0.9, BRASS)
    sheet.line([(w * 0.2, h * 0.16), (w * 0.8, h * 0.16)], 4, mix(BRASS, INK, 0.2))
    for x in (0.22, 0.78):
        draw_tube(sheet, w * x, w * 0.02, h * 0.01, h * 0.6, mercury_from=h * 0.35)
        sheet.box(w * (x - 0.1), h * 0.2, w * (x + 0.1), h * 0.55, GLASS, width=1)
        cup = [
            (w * (x - 0.1), h * 0.55),
            *arc(w * x, h * 0.68, w * 0.1, h * 0.1, 180, 0),
            (w * (x + 0.1), h * 0.55),
        ]
        sheet.shape(cup, SILVER)
        sheet.turned(cup, share=0.6)


def weather_house(sheet: Sheet, title: str) -> None:
    """A gabled house with two doors, and a figure at each."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    wall = [(w * 0.08, h * 0.42), (w * 0.92, h * 0.42), (w * 0.92, h * 0.94), (w * 0.08, h * 0.94)]
    sheet.shape(wall, mix(GREEN, WHITE, 0.35), width=1.4)
    sheet.hatch(wall, angle=0, gap=6, share=0.25)
    sheet.shape([(w * 0.12, h * 0.42), (cx, h * 0.06), (w * 0.88, h * 0.42)], PINE)
    for side in (-1, 1):
        roof = [
            (cx, h * 0.005),
            (cx + side * w * 0.5, h * 0.43),
            (cx + side * w * 0.5, h * 0.48),
            (cx, h * 0.075),
        ]
        sheet.shape(roof, mix(WALNUT, INK, 0.1))
        sheet.hatch(roof, angle=90, gap=4, share=0.4)
        x = cx + side * w * 0.21
        sheet.shape(
            [
                (x - w * 0.12, h * 0.94),
                (x - w * 0.12, h * 0.66),
                *arc(x, h * 0.66, w * 0.12, h * 0.1, 180, 360),
                (x + w * 0.12, h * 0.94),
            ],
            mix(INK, WALNUT, 0.35),
        )
        _figure(
            sheet,
            x,
            h * 0.93,
            h * (0.24 if side < 0 else 0.2),
            RED if side > 0 else BLUE,
            umbrella=side < 0,
        )
    sheet.oval(cx, h * 0.3, w * 0.07, None, WHITE)
    sheet.line([(cx, h * 0.3), (cx + w * 0.03, h * 0.27)], 1)
    sheet.box(sheet.px, h * 0.94, w - sheet.px, h - sheet.px, PINE)


def _figure(
    sheet: Sheet, x: float, foot: float, tall: float, coat: Colour, *, umbrella: bool
) -> None:
    skirt = tall * (0.16 if umbrella else 0.26)
    sheet.shape(
        [
            (x - skirt, foot),
            (x - tall * 0.08, foot - tall * 0.68),
            (x + tall * 0.08, foot - tall * 0.68),
            (x + skirt, foot),
        ],
        coat,
        width=0.9,
    )
    sheet.oval(x, foot - tall * 0.8, tall * 0.11, None, IVORY, width=0.9)
    if umbrella:
        top = foot - tall * 1.02
        sheet.line([(x + tall * 0.2, foot - tall * 0.4), (x + tall * 0.2, top)], 1)
        sheet.shape(
            [*arc(x + tall * 0.06, top, tall * 0.36, tall * 0.2, 180, 360)], SLATE, width=0.9
        )
