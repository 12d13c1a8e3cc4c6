"""Sheets for the public: rules in print, signal tables, weather maps and posters."""

import math

from exhibit_core.demo.pictures.paper import AGED, Field, sheet_of_paper
from exhibit_core.demo.pictures.sheet import (
    BLUE,
    GREEN,
    INK,
    MAHOGANY,
    OAK,
    PAPER,
    RED,
    SLATE,
    WHITE,
    Colour,
    Point,
    Points,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)

INKS: tuple[tuple[Colour, Colour, Colour], ...] = (
    ((54, 84, 112), (226, 182, 92), (240, 230, 204)),
    ((164, 74, 56), (240, 214, 150), (240, 232, 212)),
    ((74, 104, 96), (232, 200, 128), (238, 230, 210)),
    ((88, 92, 112), (214, 122, 88), (236, 226, 202)),
    ((150, 104, 48), (240, 206, 122), (244, 236, 214)),
)


def forecasting_poster(sheet: Sheet, title: str, *, framed: bool) -> None:
    """Draw the sheet that the title tells of; without a hint, a poster in three inks."""
    if " map" in title or "weather map" in title:
        _weather_map(sheet, title, framed=framed)
    elif "Signals" in title:
        _signal_table(sheet, framed=framed)
    elif "Pattern" in title:
        _patterns(sheet, framed=framed)
    elif "Scale" in title or "How to" in title:
        _broadside(sheet, title, framed=framed)
    else:
        _poster(sheet, title or "WEATHER", framed=framed)


def _poster(sheet: Sheet, title: str, *, framed: bool) -> None:
    dark, bright, pale = sheet.rng.choice(INKS)
    x0, y0, x1, y1 = sheet_of_paper(sheet, pale, framed=framed, moulding=(78, 74, 70))
    w, h = x1 - x0, y1 - y0
    pad = min(w, h) * 0.05
    field = (x0 + pad, y0 + pad, x1 - pad, y1 - h * 0.2)
    sheet.box(*field, dark, width=0)
    draw = {
        "Rain": _umbrellas,
        "Telephone": _waves,
        "Six": _waves,
        "Seaweed": _seaweed,
        "Fair": _sun,
        "Everyone": _isobar_sun,
    }
    hint = next((word for word in draw if word in title), None)
    draw[hint or sheet.rng.choice(list(draw))](sheet, field, bright, pale)
    _headline(sheet, title, (x0 + pad, y1 - h * 0.18, x1 - pad, y1 - h * 0.05), dark)


def _headline(sheet: Sheet, title: str, box: Field, ink: Colour) -> None:
    x0, y0, x1, y1 = box
    words = title.upper().replace(":", "").replace(",", "")
    sheet.words(
        words,
        (x0 + x1) / 2,
        y0 + (y1 - y0) * 0.36,
        width=x1 - x0,
        height=(y1 - y0) * 0.62,
        colour=ink,
    )
    sheet.lettering(
        x0 + (x1 - x0) * 0.2,
        y1 + (y1 - y0) * 0.05,
        x1 - (x1 - x0) * 0.2,
        (y1 - y0) * 0.13,
        colour=ink,
    )


def _sun(sheet: Sheet, field: Field, bright: Colour, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h, cx, cy = x1 - x0, y1 - y0, (x0 + x1) / 2, y0 + (y1 - y0) * 0.42
    r = min(w, h) * 0.22
    for i in range(24):
        a = math.radians(15 * i)
        ray = [
            (cx + r * 1.12 * math.cos(a - 0.06), cy + r * 1.12 * math.sin(a - 0.06)),
            (
                cx + r * (1.7 if i % 2 else 1.45) * math.cos(a),
                cy + r * (1.7 if i % 2 else 1.45) * math.sin(a),
            ),
            (cx + r * 1.12 * math.cos(a + 0.06), cy + r * 1.12 * math.sin(a + 0.06)),
        ]
        sheet.shape(ray, bright, width=0)
    sheet.oval(cx, cy, r, None, bright, width=0)
    _hills(sheet, field, pale)


def _hills(sheet: Sheet, field: Field, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h = x1 - x0, y1 - y0
    for share, tone in ((0.0, mix(pale, SLATE, 0.45)), (0.5, pale)):
        ridge = curve(
            [
                (
                    x0 + w * i / 5,
                    y1 - h * (0.1 + 0.1 * abs(math.sin(i * 1.3 + share * 3))) * (1.3 - share),
                )
                for i in range(6)
            ]
        )
        sheet.shape([(x0, y1), *ridge, (x1, y1)], tone, width=0)


def _isobar_sun(sheet: Sheet, field: Field, bright: Colour, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h = x1 - x0, y1 - y0
    cx, cy = x0 + w * 0.5, y0 + h * 0.5
    for i in range(9, 0, -1):
        r = 0.044 * i
        ring = [
            (
                cx + w * r * (1 + 0.12 * math.sin(2 * a + i / 3)) * math.cos(a),
                cy + h * r * (1 + 0.1 * math.cos(3 * a + i / 4)) * math.sin(a),
            )
            for a in (math.radians(15 * k) for k in range(24))
        ]
        sheet.shape(
            curve(ring, closed=True),
            bright if i == 1 else None,
            width=3.4,
            colour=bright if i % 2 else pale,
        )


def _umbrellas(sheet: Sheet, field: Field, bright: Colour, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h = x1 - x0, y1 - y0
    for i in range(10):
        row = 0 if i < 3 else 1 if i < 7 else 2
        place, count = (i, 3) if row == 0 else (i - 3, 4) if row == 1 else (i - 7, 3)
        cx, cy = x0 + w * (place + 0.5) / count, y0 + h * (0.17 + 0.3 * row)
        r = min(w * 0.11, h * 0.11)
        if i in (2, 4, 8):
            sheet.line([(cx, cy), (cx, cy + r * 1.1)], 3, bright)
            sheet.line(arc(cx + r * 0.14, cy + r * 1.1, r * 0.14, r * 0.14, 180, 0), 3, bright)
            canopy = arc(cx, cy + r * 0.3, r, r * 0.9, 180, 360)
            scallops = [
                p
                for k in range(3, -1, -1)
                for p in arc(cx - r + r * (2 * k + 1) / 4, cy + r * 0.3, r / 4, r * 0.13, 0, -180)
            ]
            sheet.shape([*canopy, *scallops], bright, width=0)
        else:
            furled = [
                (cx, cy - r * 0.7),
                (cx - r * 0.14, cy + r * 0.4),
                (cx, cy + r * 0.7),
                (cx + r * 0.14, cy + r * 0.4),
            ]
            sheet.shape(furled, pale, width=0)
            sheet.line([(cx, cy + r * 0.6), (cx, cy + r * 1.1)], 3, pale)


def _waves(sheet: Sheet, field: Field, bright: Colour, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h, cx, cy = x1 - x0, y1 - y0, (x0 + x1) / 2, y0 + (y1 - y0) * 0.36
    for i in range(1, 7):
        r = min(w, h) * 0.07 * i
        sheet.line(arc(cx, cy, r, r, 205, 335), 5, pale)
        sheet.line(arc(cx, cy, r, r, 25, 155), 5, pale)
    mast = [(cx - w * 0.13, y1), (cx - w * 0.012, cy), (cx + w * 0.012, cy), (cx + w * 0.13, y1)]
    sheet.shape(mast, bright, width=0)
    for i in range(1, 6):
        y = cy + (y1 - cy) * i / 6
        reach = w * (0.012 + 0.118 * i / 6)
        sheet.line([(cx - reach, y), (cx + reach, y)], 2.4, pale)
    sheet.oval(cx, cy, w * 0.045, None, bright, width=0)


def _seaweed(sheet: Sheet, field: Field, bright: Colour, pale: Colour) -> None:
    x0, y0, x1, y1 = field
    w, h, cx = x1 - x0, y1 - y0, (x0 + x1) / 2
    sheet.oval(cx, y0 + h * 0.07, w * 0.025, None, pale, width=0)
    for i in range(-3, 4):
        strand = curve(
            [
                (cx, y0 + h * 0.07),
                (cx + w * 0.05 * i, y0 + h * 0.3),
                (cx + w * (0.085 * i + 0.03), y0 + h * 0.55),
                (cx + w * 0.12 * i, y0 + h * (0.92 - 0.05 * abs(i))),
            ]
        )
        sheet.line(strand, 9, bright)
        for k in range(6, len(strand) - 1, 5):
            x, y = strand[k]
            sheet.oval(
                x + w * 0.022 * (1 if k % 2 else -1), y, w * 0.016, h * 0.014, bright, width=0
            )
    sheet.line([(x0 + w * 0.08, y1 - h * 0.06), (x1 - w * 0.08, y0 + h * 0.06)], 10, pale)


def _weather_map(sheet: Sheet, title: str, *, framed: bool) -> None:
    by_hand = "and-drawn" in title
    tone = mix(WHITE, PAPER, 0.6) if by_hand else AGED
    x0, y0, x1, y1 = sheet_of_paper(sheet, tone, framed=framed, moulding=None)
    w, h, rng = x1 - x0, y1 - y0, sheet.rng
    pad = min(w, h) * 0.05
    left, top, right, low = x0 + pad, y0 + pad, x1 - pad, y1 - pad * 2.4
    shore = curve(
        [
            (
                left + (right - left) * (0.6 + 0.12 * math.sin(i * 1.2) + rng.uniform(-0.04, 0.04)),
                top + (low - top) * i / 12,
            )
            for i in range(13)
        ]
    )
    sheet.shape([*shore, (right, low), (right, top)], mix(tone, GREEN, 0.16), width=1)
    centre = (
        left + (right - left) * rng.uniform(0.34, 0.46),
        top + (low - top) * rng.uniform(0.4, 0.55),
    )
    _isobars(sheet, centre, (left, top, right, low), INK if not by_hand else mix(INK, BLUE, 0.3))
    _fronts(sheet, centre, right - left, low - top, by_hand)
    for _ in range(34):
        x, y = rng.uniform(left, right), rng.uniform(top, low)
        _station(sheet, x, y, w * 0.012)
    sheet.box(left, top, right, low, None, width=1.2)
    sheet.lettering(left, y1 - pad, left + w * 0.5, h * 0.018)
    sheet.words("L", *centre, width=w * 0.05, height=h * 0.05, colour=RED)


def _isobars(sheet: Sheet, centre: Point, field: Field, ink: Colour) -> None:
    left, top, right, low = field
    w, h = right - left, low - top
    for i in range(1, 11):
        ring: Points = []
        for k in range(25):
            a = math.radians(14.4 * k)
            r = (0.045 + 0.055 * i) * (
                1 + 0.16 * math.sin(a + 0.6) * i / 6 + 0.05 * math.cos(3 * a)
            )
            x, y = centre[0] + w * r * 1.1 * math.cos(a), centre[1] + h * r * math.sin(a)
            ring.append((x, y))
        smooth = curve(ring[:-1], closed=True)
        for part in _inside([*smooth, smooth[0]], field):
            sheet.line(part, 1.1, ink)


def _inside(points: Points, field: Field) -> list[Points]:
    """Return the stretches of a line that lie within the field."""
    parts: list[Points] = [[]]
    for x, y in points:
        if field[0] <= x <= field[2] and field[1] <= y <= field[3]:
            parts[-1].append((x, y))
        elif parts[-1]:
            parts.append([])
    return [part for part in parts if len(part) > 1]


def _fronts(sheet: Sheet, centre: Point, w: float, h: float, by_hand: bool) -> None:
    cx, cy = centre
    lines = (
        (RED, [(cx, cy), (cx + w * 0.16, cy + h * 0.04), (cx + w * 0.34, cy + h * 0.2)]),
        (BLUE, [(cx, cy), (cx + w * 0.06, cy + h * 0.16), (cx - w * 0.06, cy + h * 0.42)]),
    )
    for colour, points in lines:
        path = curve(points)
        sheet.line(path, 2.6 if by_hand else 2, colour)
        if by_hand:
            sheet.line(
                [(x + w * 0.006, y + h * 0.004) for x, y in path], 1, mix(colour, WHITE, 0.5)
            )


def _station(sheet: Sheet, x: float, y: float, r: float) -> None:
    sheet.oval(x, y, r * 0.4, None, sheet.rng.choice((WHITE, INK)), width=0.6)
    a = sheet.rng.uniform(0, 6.28)
    tip = (x + r * 1.6 * math.cos(a), y + r * 1.6 * math.sin(a))
    sheet.line([(x, y), tip], 0.6)
    sheet.line([tip, (tip[0] + r * 0.5 * math.cos(a + 2), tip[1] + r * 0.5 * math.sin(a + 2))], 0.6)


def _signal_table(sheet: Sheet, *, framed: bool) -> None:
    x0, y0, x1, y1 = sheet_of_paper(sheet, PAPER, framed=framed, moulding=OAK)
    w, h = x1 - x0, y1 - y0
    sheet.words("STORM SIGNALS", x0 + w / 2, y0 + h * 0.08, width=w * 0.8, height=h * 0.06)
    for row in range(3):
        for column in range(3):
            left, top = x0 + w * (0.07 + 0.3 * column), y0 + h * (0.15 + 0.26 * row)
            sheet.box(
                left,
                top,
                left + w * 0.27,
                top + h * 0.2,
                mix(PAPER, BLUE, 0.12 + 0.3 * (row == 2)),
                width=0.8,
            )
            _signal(sheet, left + w * 0.135, top + h * 0.1, min(w * 0.1, h * 0.075), row, column)
            sheet.lettering(left + w * 0.02, top + h * 0.235, left + w * 0.25, h * 0.018)


def _signal(sheet: Sheet, cx: float, cy: float, r: float, row: int, column: int) -> None:
    sheet.line([(cx, cy - r * 1.3), (cx, cy + r * 1.3)], 0.8)
    if row == 2:
        for i in range(column + 1):
            a = math.radians(-90 + 120 * i)
            sheet.oval(cx + r * 0.5 * math.cos(a), cy + r * 0.5 * math.sin(a), r * 0.22, None, RED)
    elif column == 2:
        sheet.box(cx - r * 0.55, cy - r * 0.45, cx + r * 0.55, cy + r * 0.45, INK)
    else:
        up = -1 if column == 0 else 1
        sheet.shape(
            [
                (cx - r * 0.7, cy - up * r * 0.6),
                (cx + r * 0.7, cy - up * r * 0.6),
                (cx, cy + up * r * 0.7),
            ],
            INK if row == 0 else RED,
        )


def _patterns(sheet: Sheet, *, framed: bool) -> None:
    x0, y0, x1, y1 = sheet_of_paper(sheet, AGED, framed=framed, moulding=MAHOGANY)
    w, h = x1 - x0, y1 - y0
    for i in range(9):
        cx, cy = x0 + w * (0.2 + 0.3 * (i % 3)), y0 + h * (0.18 + 0.31 * (i // 3))
        r, tall = w * (0.055 + 0.006 * (i % 4)), h * 0.12
        outline = mirrored(
            curve(
                [
                    (cx, cy - tall),
                    (cx - r * 0.5, cy - tall * 0.86),
                    (cx - r * 0.42, cy - tall * 0.2),
                    (cx - r, cy + tall * 0.35),
                    (cx - r * 0.5, cy + tall * 0.78),
                    (cx, cy + tall),
                ]
            ),
            cx,
        )
        sheet.shape(outline, mix(MAHOGANY, AGED, 0.25 + 0.06 * (i % 5)), width=0.9)
        sheet.oval(cx, cy + tall * 0.34, r * 0.74, None, mix(AGED, WHITE, 0.5), width=0.8)
        sheet.line([(cx, cy - tall * 0.7), (cx, cy - tall * 0.05)], 0.8)
        if i in (2, 5, 7):
            sheet.line([(cx - r, cy - tall), (cx + r, cy + tall)], 1.2, mix(INK, RED, 0.3))
        sheet.lettering(cx - r, cy + tall * 1.22, cx + r, h * 0.014)


def _broadside(sheet: Sheet, title: str, *, framed: bool) -> None:
    x0, y0, x1, y1 = sheet_of_paper(sheet, AGED, framed=framed, moulding=OAK)
    w, h = x1 - x0, y1 - y0
    sheet.words(title.upper(), x0 + w / 2, y0 + h * 0.085, width=w * 0.84, height=h * 0.055)
    sheet.line([(x0 + w * 0.08, y0 + h * 0.13), (x1 - w * 0.08, y0 + h * 0.13)], 1.2)
    rows = 12
    for i in range(rows):
        y = y0 + h * (0.2 + 0.062 * i)
        bar = w * (0.03 + 0.2 * (i / rows))
        sheet.box(
            x0 + w * 0.09,
            y - h * 0.022,
            x0 + w * 0.09 + bar,
            y,
            mix(BLUE, AGED, 0.75 - 0.6 * i / rows),
            width=0.6,
        )
        sheet.lettering(x0 + w * 0.36, y, x0 + w * sheet.rng.uniform(0.78, 0.9), h * 0.026)
    sheet.line([(x0 + w * 0.08, y1 - h * 0.075), (x1 - w * 0.08, y1 - h * 0.075)], 0.8)
    sheet.lettering(x0 + w * 0.3, y1 - h * 0.035, x1 - w * 0.3, h * 0.016)
