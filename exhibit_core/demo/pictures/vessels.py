"""Rain gauges, bottles and other vessels."""

from exhibit_core.demo.pictures.sheet import (
    BLUE,
    BRASS,
    COPPER,
    GLASS,
    INK,
    MERCURY,
    OAK,
    PAPER,
    RED,
    WALNUT,
    WHITE,
    ZINC,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)


def rain_gauge(sheet: Sheet, title: str) -> None:
    """A funnel with a sharp rim on a cylinder, or a banded pot, jar or pan."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    if "ottery" in title:
        _pot(sheet)
        return
    colour = COPPER if "opper" in title else GLASS if "children" in title else ZINC
    body = [(w * 0.06, h * 0.27), (w * 0.94, h * 0.27), (w * 0.94, h * 0.98), (w * 0.06, h * 0.98)]
    sheet.shape(body, colour, width=1.5)
    sheet.turned(body)
    funnel = mirrored(
        [(sheet.px, h * 0.03), (w * 0.05, h * 0.2), (w * 0.06, h * 0.27), (cx, h * 0.27)], cx
    )
    sheet.shape(funnel, mix(colour, BRASS, 0.3))
    sheet.turned(funnel, share=0.4)
    sheet.oval(cx, h * 0.03, w * 0.49, h * 0.022, mix(colour, INK, 0.45))
    sheet.line(arc(cx, h * 0.03, w * 0.49, h * 0.022, 0, 360), 2.2, mix(BRASS, INK, 0.15))
    for y in (0.3, 0.62, 0.94):
        sheet.line([(w * 0.06, h * y), (w * 0.94, h * y)], 0.9)
    if "recorder" in title:
        sheet.box(w * 0.24, h * 0.4, w * 0.76, h * 0.58, PAPER)
        for i in range(1, 6):
            sheet.line(
                [(w * 0.24, h * (0.4 + 0.03 * i)), (w * 0.76, h * (0.4 + 0.03 * i))], 0.4, BLUE
            )
        steps = [(w * (0.26 + 0.05 * i), h * (0.56 - 0.013 * (i // 2) * 2)) for i in range(10)]
        sheet.line(steps, 1.2, mix(BLUE, INK, 0.3))
    elif "children" in title:
        sheet.box(w * 0.08, h * 0.7, w * 0.92, h * 0.97, mix(BLUE, WHITE, 0.6), width=0.7)
        sheet.box(w * 0.2, h * 0.42, w * 0.8, h * 0.6, PAPER, width=0.8)
        for i in range(3):
            sheet.lettering(w * 0.26, h * (0.47 + 0.05 * i), w * 0.74, h * 0.03)


def _pot(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    pot = mirrored(
        curve(
            [
                (w * 0.1, h * 0.02),
                (w * 0.14, h * 0.1),
                (w * 0.03, h * 0.36),
                (w * 0.04, h * 0.62),
                (w * 0.2, h * 0.94),
                (cx, h * 0.985),
            ]
        ),
        cx,
    )
    sheet.shape(pot, mix(WHITE, PAPER, 0.6), width=1.5)
    for i in range(7):
        y = h * (0.2 + 0.1 * i)
        reach = w * (0.37, 0.42, 0.45, 0.45, 0.44, 0.40, 0.34)[i]
        sheet.line(arc(cx, y, reach, h * 0.025, 178, 2), 2.6, BLUE)
    sheet.turned(pot, share=0.35)
    sheet.oval(cx, h * 0.03, w * 0.39, h * 0.024, mix(WALNUT, INK, 0.4))


def glass_vessel(sheet: Sheet, title: str) -> None:
    """A spouted ball, a sealed bottle or a sand glass."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    if "ourglass" in title:
        _sand_glass(sheet)
        return
    bottle = "ottle" in title
    neck = w * (0.16 if bottle else 0.1)
    if not bottle:
        w, cx = w * 0.84, w * 0.42
    body = mirrored(
        curve(
            [
                (cx - neck, h * 0.04),
                (cx - neck, h * 0.3),
                (cx - w * 0.42, h * 0.46),
                (cx - w * 0.46, h * 0.72),
                (cx - w * 0.38, h * 0.95),
                (cx, h * 0.985),
            ]
        ),
        cx,
    )
    sheet.shape(body, GLASS, width=1.5)
    fill = mirrored(
        curve(
            [
                (cx - w * 0.4, h * 0.5),
                (cx - w * 0.44, h * 0.72),
                (cx - w * 0.36, h * 0.94),
                (cx, h * 0.97),
            ]
        ),
        cx,
    )
    sheet.shape(fill, MERCURY if bottle else mix(RED, PAPER, 0.5), width=0.6)
    sheet.turned(body, share=0.3)
    if bottle:
        sheet.box(cx - neck * 1.2, h * 0.01, cx + neck * 1.2, h * 0.1, RED, radius=w * 0.04)
        sheet.box(w * 0.22, h * 0.6, w * 0.78, h * 0.8, PAPER, width=0.7)
        sheet.lettering(w * 0.3, h * 0.73, w * 0.7, h * 0.06)
    else:
        spout = curve(
            [
                (cx + w * 0.36, h * 0.9),
                (sheet.w * 0.97, h * 0.74),
                (sheet.w * 0.9, h * 0.4),
                (sheet.w * 0.95, h * 0.08),
            ]
        )
        sheet.line(spout, 7)
        sheet.line(spout, 5, mix(RED, PAPER, 0.6))
    sheet.line(arc(cx - w * 0.2, h * 0.68, w * 0.14, h * 0.16, 160, 250), 2, WHITE)


def _sand_glass(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    for y in (0.01, 0.91):
        sheet.box(w * 0.04, h * y, w * 0.96, h * (y + 0.08), WALNUT, radius=w * 0.03, width=1.4)
    for x in (0.14, 0.86):
        sheet.box(w * (x - 0.03), h * 0.09, w * (x + 0.03), h * 0.91, WALNUT)
    half = curve(
        [
            (cx - w * 0.24, h * 0.1),
            (cx - w * 0.28, h * 0.25),
            (cx - w * 0.2, h * 0.4),
            (cx - w * 0.02, h * 0.5),
            (cx - w * 0.2, h * 0.6),
            (cx - w * 0.28, h * 0.75),
            (cx - w * 0.24, h * 0.9),
        ]
    )
    glass = mirrored(half, cx)
    sheet.shape(glass, GLASS, width=1.4)
    sheet.shape([(cx - w * 0.2, h * 0.9), (cx, h * 0.7), (cx + w * 0.2, h * 0.9)], OAK, width=0.6)
    sheet.shape(
        [(cx - w * 0.16, h * 0.4), (cx + w * 0.16, h * 0.4), (cx, h * 0.49)], OAK, width=0.6
    )
    sheet.turned(glass, share=0.3)
