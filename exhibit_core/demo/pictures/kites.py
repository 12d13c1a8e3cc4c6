"""Kites: cells of cloth on spars, or a single sail with a keel."""

from exhibit_core.demo.pictures.sheet import (
    BLUE,
    INK,
    LINEN,
    OAK,
    PINE,
    WHITE,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)


def kite(sheet: Sheet, title: str) -> None:
    """Cells of cloth on spars, seen from in front; a small one has a single sail."""
    ratio = sheet.w / sheet.h
    if "eel" in title:
        _keel_kite(sheet)
    else:
        _cells(sheet, 3 if ratio < 1 else 2)


def _cells(sheet: Sheet, count: int) -> None:
    w, h = sheet.w, sheet.h
    for x in (0.04, 0.34, 0.66, 0.96):
        sheet.line([(w * x, h * 0.01), (w * x, h * 0.99)], 4.4)
        sheet.line([(w * x, h * 0.01), (w * x, h * 0.99)], 2.6, PINE)
    deep = 0.9 / (count + (count - 1) * 0.62)
    for i in range(count):
        y = 0.05 + i * deep * 1.62
        _cell(sheet, h * y, h * (y + deep))
    gap = 0.05 + deep
    wire = mix(INK, WHITE, 0.35)
    for i in range(count - 1):
        top, low = h * (gap + i * deep * 1.62), h * (gap + i * deep * 1.62 + deep * 0.62)
        for a, b in ((0.04, 0.34), (0.34, 0.66), (0.66, 0.96)):
            sheet.line([(w * a, top), (w * b, low)], 0.7, wire)
            sheet.line([(w * b, top), (w * a, low)], 0.7, wire)


def _cell(sheet: Sheet, top: float, low: float) -> None:
    w = sheet.w
    sag = (low - top) * 0.03
    back = [
        (w * 0.06, top + sag * 2),
        (w * 0.94, top + sag * 2),
        (w * 0.94, low - sag * 2),
        (w * 0.06, low - sag * 2),
    ]
    sheet.shape(back, mix(LINEN, INK, 0.2))
    panels = ((0.01, 0.34), (0.34, 0.66), (0.66, 0.99))
    for a, b in panels:
        upper = curve([(w * a, top), (w * (a + b) / 2, top + sag), (w * b, top)])
        lower = curve([(w * b, low), (w * (a + b) / 2, low - sag), (w * a, low)])
        cloth = [*upper, *lower]
        sheet.shape(cloth, mix(LINEN, WHITE, sheet.rng.uniform(0.1, 0.5)), width=1.4)
        sheet.hatch(cloth, angle=sheet.rng.uniform(60, 85), gap=9, share=0.14)
        for i in range(5):
            x = w * (a + (b - a) * (i + 0.5) / 5)
            sheet.line(
                [
                    (x, top + sag),
                    (x + sheet.rng.uniform(-1, 1) * w * 0.01, top + (low - top) * 0.22),
                ],
                0.4,
            )
    for y in (top + (low - top) * 0.07, low - (low - top) * 0.07):
        sheet.line([(w * 0.01, y), (w * 0.99, y)], 0.5)


def _keel_kite(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    sail = mirrored(
        curve([(cx, h * 0.01), (cx - w * 0.34, h * 0.16), (cx - w * 0.49, h * 0.36)])
        + curve([(cx - w * 0.49, h * 0.36), (cx - w * 0.3, h * 0.68), (cx, h * 0.99)]),
        cx,
    )
    sheet.shape(sail, mix(LINEN, WHITE, 0.25), width=1.5)
    sheet.hatch(sail, angle=78, gap=8, share=0.14)
    for _ in range(9):
        x, y = cx + sheet.rng.uniform(-0.24, 0.24) * w, sheet.rng.uniform(0.22, 0.62) * h
        side = sheet.rng.uniform(0.03, 0.06) * w
        sheet.box(
            x - side,
            y - side * 0.8,
            x + side,
            y + side * 0.8,
            mix(LINEN, sheet.rng.choice((OAK, BLUE, WHITE, PINE)), 0.35),
            width=0.7,
        )
    keel = [(cx, h * 0.1), (cx + w * 0.1, h * 0.46), (cx, h * 0.92)]
    sheet.shape(keel, mix(LINEN, INK, 0.12))
    sheet.hatch(keel, angle=60, gap=4, share=0.25)
    for spar in ([(cx, h * 0.01), (cx, h * 0.99)], arc(cx, h * 0.52, w * 0.5, h * 0.2, 200, 340)):
        sheet.line(spar, 3.4)
        sheet.line(spar, 1.8, PINE)
