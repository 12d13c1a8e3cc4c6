"""Weather vanes, anemometers, signal flags and lamps."""

import math
from random import Random

from PIL import Image

from exhibit_core.demo.pictures.frames import board
from exhibit_core.demo.pictures.sheet import (
    BLUE,
    BRASS,
    COPPER,
    GLASS,
    INK,
    IRON,
    LINEN,
    RED,
    VERDIGRIS,
    WHITE,
    Colour,
    Points,
    Sheet,
    arc,
    curve,
    mirrored,
    mix,
)

FORMS: dict[str, Points] = {
    "herring": [
        (0.02, 0.3),
        (0.1, 0.2),
        (0.24, 0.13),
        (0.42, 0.1),
        (0.58, 0.14),
        (0.72, 0.22),
        (0.82, 0.28),
        (0.97, 0.1),
        (0.91, 0.31),
        (0.98, 0.52),
        (0.82, 0.36),
        (0.7, 0.42),
        (0.5, 0.47),
        (0.28, 0.45),
        (0.12, 0.39),
    ],
    "fox": [
        (0.02, 0.3),
        (0.1, 0.2),
        (0.15, 0.06),
        (0.19, 0.18),
        (0.3, 0.22),
        (0.5, 0.24),
        (0.64, 0.22),
        (0.78, 0.16),
        (0.9, 0.08),
        (0.985, 0.12),
        (0.93, 0.22),
        (0.8, 0.28),
        (0.68, 0.34),
        (0.72, 0.46),
        (0.8, 0.56),
        (0.74, 0.57),
        (0.64, 0.47),
        (0.58, 0.4),
        (0.4, 0.42),
        (0.3, 0.46),
        (0.2, 0.58),
        (0.14, 0.57),
        (0.22, 0.46),
        (0.24, 0.36),
        (0.14, 0.34),
        (0.06, 0.35),
    ],
    "cockerel": [
        (0.08, 0.2),
        (0.16, 0.14),
        (0.2, 0.04),
        (0.28, 0.02),
        (0.32, 0.12),
        (0.34, 0.24),
        (0.5, 0.34),
        (0.64, 0.28),
        (0.7, 0.08),
        (0.84, 0.02),
        (0.97, 0.14),
        (0.94, 0.4),
        (0.84, 0.28),
        (0.82, 0.46),
        (0.66, 0.58),
        (0.5, 0.64),
        (0.32, 0.58),
        (0.2, 0.42),
        (0.18, 0.26),
    ],
    "quill": [
        (0.02, 0.4),
        (0.2, 0.36),
        (0.34, 0.22),
        (0.6, 0.12),
        (0.84, 0.1),
        (0.985, 0.2),
        (0.86, 0.3),
        (0.7, 0.36),
        (0.5, 0.42),
        (0.24, 0.43),
    ],
}


def weather_vane(sheet: Sheet, title: str) -> None:
    """A beaten silhouette that turns on a spindle."""
    known = [name for name in FORMS if name in title]
    name = known[0] if known else sheet.rng.choice(list(FORMS))
    w, h = sheet.w, sheet.h
    tall = h / w > 0.8
    _spindle(sheet, 0.44 if tall else 0.5)
    reach = 1.0 if tall else 1.42
    outline = curve([(x * w, min(0.99, y * reach) * h) for x, y in FORMS[name]], closed=True)
    metal = IRON if name == "quill" else mix(COPPER, VERDIGRIS, sheet.rng.uniform(0.35, 0.75))
    sheet.shape(outline, metal, width=1.8)
    sheet.hatch(outline, angle=sheet.rng.uniform(20, 40), gap=4.5, share=0.3)
    sheet.hatch(outline, angle=-8, gap=9, share=0.25)
    _details(sheet, name, reach)


def _spindle(sheet: Sheet, top: float) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    sheet.box(cx - w * 0.014, h * top, cx + w * 0.014, h * 0.97, IRON)
    if top > 0.45:
        return
    for side in (-1, 1):
        scroll = curve(
            [
                (cx, h * 0.62),
                (cx + side * w * 0.1, h * 0.57),
                (cx + side * w * 0.19, h * 0.64),
                (cx + side * w * 0.13, h * 0.7),
                (cx + side * w * 0.09, h * 0.66),
            ]
        )
        sheet.line(scroll, 4.4)
        sheet.line(scroll, 2.4, IRON)
        sheet.line([(cx, h * 0.8), (cx + side * w * 0.26, h * 0.8)], 4)
        sheet.oval(cx + side * w * 0.27, h * 0.8, w * 0.022, None, BRASS)
    sheet.oval(cx, h * 0.52, w * 0.035, None, BRASS)
    sheet.turned(arc(cx, h * 0.52, w * 0.035, w * 0.035, 0, 360))
    foot = mirrored([(cx - w * 0.03, h * 0.88), (cx - w * 0.12, h * 0.985), (cx, h * 0.99)], cx)
    sheet.shape(foot, IRON)
    sheet.turned(foot)


def _details(sheet: Sheet, name: str, reach: float) -> None:
    w, h = sheet.w, sheet.h

    def at(x: float, y: float) -> tuple[float, float]:
        return x * w, y * reach * h

    if name == "herring":
        sheet.oval(*at(0.11, 0.26), w * 0.018, None, BRASS)
        sheet.line(curve([at(0.19, 0.15), at(0.22, 0.28), at(0.18, 0.4)]), 1.4)
        for column in range(9):
            for row in range(4):
                x, y = at(0.28 + 0.055 * column, 0.2 + 0.055 * row)
                if column < (7, 9, 9, 8)[row]:
                    sheet.line(arc(x, y, w * 0.025, w * 0.022, -80, 80), 0.8)
        for x, y in ((0.62, 0.33), (0.55, 0.21), (0.4, 0.38)):
            sheet.oval(*at(x, y), w * 0.008, None, INK, width=0)
    elif name == "fox":
        sheet.oval(*at(0.115, 0.24), w * 0.01, None, INK, width=0)
        sheet.line(curve([at(0.3, 0.26), at(0.34, 0.33), at(0.32, 0.42)]), 1.1)
        sheet.line(curve([at(0.6, 0.26), at(0.57, 0.33), at(0.62, 0.4)]), 1.1)
    elif name == "cockerel":
        sheet.oval(*at(0.2, 0.16), w * 0.014, None, INK, width=0)
        for i in range(4):
            sheet.line(
                curve(
                    [at(0.64, 0.5 - 0.05 * i), at(0.74, 0.34 - 0.06 * i), at(0.84, 0.2 - 0.04 * i)]
                ),
                1,
            )
            sheet.line(
                curve(
                    [
                        at(0.32, 0.38 + 0.04 * i),
                        at(0.46, 0.46 + 0.03 * i),
                        at(0.56, 0.42 + 0.03 * i),
                    ]
                ),
                1,
            )
    else:
        sheet.line(curve([at(0.03, 0.405), at(0.4, 0.35), at(0.96, 0.2)]), 1.6)
        for i in range(18):
            x = 0.3 + 0.036 * i
            sheet.line([at(x, 0.37 - 0.2 * (x - 0.3)), at(x + 0.06, 0.29 - 0.2 * (x - 0.3))], 0.7)


def anemometer(sheet: Sheet, title: str) -> None:
    """Cups on a cross, or a fan in a ring for still air."""
    if sheet.w / sheet.h > 0.86 and ("Hand" in title or sheet.w < 200):
        _fan(sheet)
    elif "indmill" in title:
        _windmill(sheet)
    else:
        _cups(sheet)


def _cups(sheet: Sheet) -> None:
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    sheet.box(cx - w * 0.018, h * 0.2, cx + w * 0.018, h * 0.68, BRASS)
    sheet.line([(w * 0.12, h * 0.2), (w * 0.88, h * 0.2)], 3.6, mix(IRON, INK, 0.3))
    sheet.line([(w * 0.4, h * 0.165), (w * 0.6, h * 0.235)], 3, mix(IRON, INK, 0.3))
    r = min(w * 0.115, h * 0.19)
    for x, facing in ((0.12, 1), (0.88, -1)):
        cup = (
            arc(w * x, h * 0.2, r, r, 90, 270) if facing > 0 else arc(w * x, h * 0.2, r, r, -90, 90)
        )
        sheet.shape(cup, COPPER, width=1.5)
        sheet.turned(cup)
    near = arc(w * 0.61, h * 0.24, r * 0.7, r * 0.7, 0, 360)
    sheet.shape(near, mix(COPPER, INK, 0.12), width=1.4)
    sheet.hatch(near, angle=50, gap=4, share=0.5)
    far = arc(w * 0.4, h * 0.16, r * 0.5, r * 0.5, 0, 360)
    sheet.shape(far, COPPER)
    sheet.turned(far)
    sheet.oval(cx, h * 0.2, w * 0.03, None, BRASS)
    sheet.box(cx - w * 0.15, h * 0.56, cx + w * 0.15, h * 0.88, BRASS, radius=w * 0.02, width=1.5)
    sheet.oval(cx, h * 0.72, min(w * 0.1, h * 0.12), None, WHITE)
    for i in range(10):
        a = math.radians(36 * i)
        inner, outer = min(w * 0.075, h * 0.09), min(w * 0.095, h * 0.115)
        sheet.line(
            [
                (cx + inner * math.cos(a), h * 0.72 + inner * math.sin(a)),
                (cx + outer * math.cos(a), h * 0.72 + outer * math.sin(a)),
            ],
            0.8,
        )
    sheet.line([(cx, h * 0.72), (cx + w * 0.045, h * 0.66)], 1.4, BLUE)
    foot = mirrored([(cx - w * 0.12, h * 0.88), (cx - w * 0.24, h * 0.985), (cx, h * 0.99)], cx)
    sheet.shape(foot, IRON)
    sheet.turned(foot)


def _fan(sheet: Sheet) -> None:
    cx, cy, r = sheet.w / 2, sheet.h / 2, min(sheet.w, sheet.h) / 2 - sheet.px
    sheet.oval(cx, cy, r, None, BRASS, width=1.6)
    sheet.oval(cx, cy, r * 0.88, None, mix(GLASS, WHITE, 0.4))
    for i in range(8):
        a = 45 * i + 10
        vane = [(cx, cy), *arc(cx, cy, r * 0.82, r * 0.82, a, a + 30)]
        sheet.shape(vane, mix(LINEN, GLASS, 0.5), width=0.9)
        sheet.hatch(vane, angle=a + 15, gap=4, share=0.3)
    sheet.oval(cx, cy, r * 0.36, None, BRASS)
    sheet.oval(cx, cy, r * 0.3, None, WHITE, width=0.8)
    for i in range(20):
        a = math.radians(18 * i)
        sheet.line(
            [
                (cx + r * 0.23 * math.cos(a), cy + r * 0.23 * math.sin(a)),
                (cx + r * 0.28 * math.cos(a), cy + r * 0.28 * math.sin(a)),
            ],
            0.6,
        )
    sheet.line([(cx, cy), (cx + r * 0.16, cy - r * 0.14)], 1.4, BLUE)


def _windmill(sheet: Sheet) -> None:
    w, h = sheet.w, sheet.h
    sheet.box(
        w * 0.2, h * 0.62, w * 0.96, h * 0.98, mix(IRON, WHITE, 0.3), radius=w * 0.02, width=1.5
    )
    sheet.box(w * 0.4, h * 0.68, w * 0.9, h * 0.92, LINEN)
    trace = [
        (w * (0.42 + 0.006 * i), h * (0.8 + 0.01 * math.sin(i / 6) - sheet.rng.uniform(0, 0.07)))
        for i in range(78)
    ]
    sheet.line(trace, 0.7, mix(BLUE, INK, 0.2))
    cx, cy, r = w * 0.38, h * 0.32, min(w * 0.37, h * 0.31)
    sheet.line([(cx, cy), (cx, h * 0.62)], 4, IRON)
    for i in range(6):
        a = 60 * i + 8
        blade = [(cx, cy), *arc(cx, cy, r, r, a, a + 26)]
        sheet.shape(blade, ALUMINIUM, width=1.1)
        sheet.hatch(blade, angle=a + 60, gap=4, share=0.3)
    sheet.oval(cx, cy, r * 0.12, None, BRASS)


ALUMINIUM: Colour = (206, 210, 212)


def signal_flag(sheet: Sheet, title: str) -> None:
    """Bunting on a padded board, its fly worn and its folds still showing."""
    w, h = sheet.w, sheet.h
    x0, y0, x1, y1 = board(sheet, min(w, h) * 0.062)
    rng = sheet.rng
    top = [(x0 + (x1 - x0) * i / 40, y0 + (y1 - y0) * 0.008 * math.sin(i / 4)) for i in range(41)]
    fly = [(x1 - rng.uniform(0, 0.022) * w, y0 + (y1 - y0) * i / 24) for i in range(1, 24)]
    cloth = [*top, *fly, *((x, y + y1 - y0) for x, y in reversed(top))]
    red, blue = mix(RED, LINEN, 0.12), mix(BLUE, LINEN, 0.15)
    if "white" in title:
        sheet.shape(cloth, mix(WHITE, LINEN, 0.6))
        sheet.box(x0, y0, (x0 + x1) / 2, y1, blue, width=0.8)
    elif "wind flag" in title:
        sheet.shape(cloth, mix(blue, LINEN, 0.45))
        sheet.shape(
            [(x0, y0), (x1 * 0.94, (y0 + y1) / 2), (x0, y1)], mix(WHITE, LINEN, 0.5), width=0.8
        )
    else:
        sheet.shape(cloth, red)
        if "square" in title:
            u, v = (x1 - x0) / 3.2, (y1 - y0) / 3.2
            sheet.box(x0 + u, y0 + v, x1 - u, y1 - v, mix(INK, RED, 0.12), width=0.8)
    _weave(sheet, cloth, (x0, y0, x1, y1))


def _weave(sheet: Sheet, cloth: Points, field: tuple[float, float, float, float]) -> None:
    x0, y0, x1, y1 = field
    sheet.hatch(cloth, angle=0, gap=2.6, share=0.14)
    sheet.hatch(cloth, angle=90, gap=2.6, share=0.14)
    for share in (0.25, 0.5, 0.75):
        x = x0 + (x1 - x0) * share
        sheet.line([(x, y0), (x + sheet.px, y1)], 1.2, mix(LINEN, INK, 0.25))
    y = (y0 + y1) / 2
    sheet.line([(x0, y), (x1 * 0.985, y)], 1.0, mix(LINEN, INK, 0.25))
    sheet.box(x0 - (x1 - x0) * 0.012, y0, x0 + (x1 - x0) * 0.022, y1, LINEN, width=1)
    for y in (y0 + (y1 - y0) * 0.04, y1 - (y1 - y0) * 0.04):
        sheet.oval(x0 + (x1 - x0) * 0.005, y, (x1 - x0) * 0.009, None, BRASS, width=0.8)
    tint = _stain(sheet.rng)
    patch = tint.resize(sheet.image.size, Image.Resampling.BICUBIC).point(
        lambda v: max(0, v - 150) // 2
    )
    sheet.image.paste(Image.new("RGB", sheet.image.size, mix(LINEN, INK, 0.2)), (0, 0), patch)


def _stain(rng: Random) -> Image.Image:
    return Image.frombytes("L", (9, 7), rng.randbytes(63))


def signal_lamp(sheet: Sheet, title: str) -> None:
    """A copper lantern with a coloured glass."""
    w, h, cx = sheet.w, sheet.h, sheet.w / 2
    sheet.line(arc(cx, h * 0.16, w * 0.26, h * 0.14, 180, 360), 3)
    roof = mirrored(
        [
            (cx - w * 0.1, h * 0.1),
            (cx - w * 0.14, h * 0.2),
            (cx - w * 0.42, h * 0.3),
            (cx, h * 0.3),
        ],
        cx,
    )
    sheet.shape(roof, COPPER, width=1.5)
    sheet.turned(roof)
    sheet.box(w * 0.1, h * 0.3, w * 0.9, h * 0.86, COPPER, width=1.5)
    sheet.box(w * 0.22, h * 0.36, w * 0.78, h * 0.8, mix(RED, WHITE, 0.15))
    sheet.turned(arc(cx, h * 0.58, w * 0.28, h * 0.22, 0, 360), share=0.5)
    for x in (0.36, 0.5, 0.64):
        sheet.line([(w * x, h * 0.36), (w * x, h * 0.8)], 1.4, BRASS)
    sheet.box(w * 0.03, h * 0.86, w * 0.97, h * 0.985, COPPER, radius=w * 0.04, width=1.5)
