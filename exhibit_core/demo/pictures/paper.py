"""Sea charts and log books."""

import itertools
import math

from PIL import Image

from exhibit_core.demo.pictures.frames import frame
from exhibit_core.demo.pictures.sheet import (
    BLUE,
    GREEN,
    INK,
    OAK,
    PAPER,
    RED,
    WALNUT,
    WHITE,
    Colour,
    Point,
    Points,
    Sheet,
    arc,
    curve,
    mix,
)
from exhibit_core.demo.pictures.skies import noise

Field = tuple[float, float, float, float]
AGED: Colour = (232, 217, 186)


def sheet_of_paper(sheet: Sheet, tone: Colour, *, framed: bool, moulding: Colour | None) -> Field:
    """Lay a toned, spotted sheet into its frame and return its edges."""
    side = min(sheet.w, sheet.h)
    if framed:
        field = frame(sheet, moulding=side * 0.034, mount=side * 0.075, moulding_colour=moulding)
    else:
        field = (0.0, 0.0, sheet.w, sheet.h)
    x0, y0, x1, y1 = field
    size = (96, max(2, round(96 * (y1 - y0) / (x1 - x0))))
    cloudy = noise(size, sheet.rng, cells=3, octaves=4, stretch=1.0)
    ground = Image.new("RGB", size, tone)
    ground.paste(mix(tone, WALNUT, 0.35), (0, 0), cloudy.point(lambda v: v // 3))
    sheet.paste(ground, x0, y0, x1, y1)
    return field


def sea_chart(sheet: Sheet, title: str, *, framed: bool) -> None:
    """A coast, rhumb lines from a compass rose, soundings and a border of degrees."""
    x0, y0, x1, y1 = sheet_of_paper(sheet, AGED, framed=framed, moulding=None)
    w, h, rng = x1 - x0, y1 - y0, sheet.rng
    inset = min(w, h) * 0.055
    field = (x0 + inset, y0 + inset, x1 - inset, y1 - inset)
    land = _coast(sheet, field)
    rose = (x0 + w * rng.uniform(0.55, 0.72), y0 + h * rng.uniform(0.5, 0.66))
    _rhumb_lines(sheet, field, rose)
    _coast_shading(sheet, land)
    if "Ice" in title:
        _ice(sheet, field, title)
    elif "Wind" in title or "urrent" in title or "track" in title:
        _streams(sheet, field, title)
    else:
        _soundings(sheet, field)
    _islands(sheet, field)
    _rose(sheet, rose, min(w, h) * 0.085)
    _cartouche(sheet, field)
    _border(sheet, (x0, y0, x1, y1), field)


def _coast(sheet: Sheet, field: Field) -> Points:
    x0, y0, x1, y1 = field
    rng, w, h = sheet.rng, x1 - x0, y1 - y0
    reach = [rng.uniform(0.1, 0.34) for _ in range(5)]
    for roughness in (0.07, 0.045, 0.03):
        between = [
            (a + b) / 2 + rng.uniform(-roughness, roughness) for a, b in itertools.pairwise(reach)
        ]
        reach = [v for pair in zip(reach, between, strict=False) for v in pair] + reach[-1:]
    last = len(reach) - 1
    points = [(x0 + w * max(0.02, share), y0 + h * i / last) for i, share in enumerate(reach)]
    inner = [(max(x, x0), min(max(y, y0), y1)) for x, y in curve(points)]
    return [(x0, y0), *inner, (x0, y1)]


def _coast_shading(sheet: Sheet, land: Points) -> None:
    edge = land[1:-1]
    for width, share in ((11, 0.86), (6, 0.76)):
        sheet.line(edge, width, mix(AGED, BLUE, 1 - share))
    sheet.shape(land, mix(AGED, GREEN, 0.28), width=1.3)
    for x, y in edge[::3]:
        length = sheet.rng.uniform(0.006, 0.016) * sheet.w
        sheet.line([(x, y), (x + length, y)], 0.5)
    for x, y in edge[4::23]:
        size = sheet.w * 0.012
        hill = arc(x - size * 3.4, y, size, size * 0.9, 180, 360)
        sheet.line(hill, 0.8)
        sheet.hatch([*hill[len(hill) // 2 :], (x - size * 3.4, y)], angle=60, gap=2.6, share=0.5)


def _rhumb_lines(sheet: Sheet, field: Field, rose: Point) -> None:
    for i in range(32):
        a = math.radians(i * 11.25)
        end = _to_edge(rose, (math.cos(a), math.sin(a)), field)
        ink = mix(RED if i % 2 else INK, AGED, 0.55 if i % 4 else 0.3)
        sheet.line([rose, end], 0.45, ink)


def _to_edge(start: Point, way: Point, field: Field) -> Point:
    x0, y0, x1, y1 = field
    reach = [
        ((x1 if way[0] > 0 else x0) - start[0]) / way[0] if abs(way[0]) > 1e-9 else math.inf,
        ((y1 if way[1] > 0 else y0) - start[1]) / way[1] if abs(way[1]) > 1e-9 else math.inf,
    ]
    return start[0] + way[0] * min(reach), start[1] + way[1] * min(reach)


def _soundings(sheet: Sheet, field: Field) -> None:
    x0, y0, x1, y1 = field
    rng = sheet.rng
    height = min(x1 - x0, y1 - y0) * 0.016
    for _ in range(150):
        x, y = rng.uniform(x0 + (x1 - x0) * 0.36, x1 * 0.985), rng.uniform(y0 + height * 2, y1)
        sheet.lettering(x, y, x + height * rng.choice((0.9, 1.4)), height)
    for _ in range(3):
        bank = arc(
            x0 + (x1 - x0) * rng.uniform(0.42, 0.9),
            y0 + (y1 - y0) * rng.uniform(0.15, 0.9),
            (x1 - x0) * rng.uniform(0.03, 0.08),
            (y1 - y0) * rng.uniform(0.02, 0.05),
            0,
            360,
        )
        for i in range(0, len(bank) - 1, 2):
            sheet.line(bank[i : i + 2], 0.8)


def _streams(sheet: Sheet, field: Field, title: str) -> None:
    x0, y0, x1, y1 = field
    w, h, rng = x1 - x0, y1 - y0, sheet.rng
    if "track" in title:
        for i in range(7):
            start = 0.34 + 0.08 * i
            path = curve(
                [
                    (x0 + w * start, y1 - h * 0.02),
                    (x0 + w * (start - 0.03), y0 + h * 0.6),
                    (x0 + w * (start + 0.1), y0 + h * (0.34 - 0.02 * i)),
                    (x0 + w * min(0.97, start + 0.4), y0 + h * (0.05 + 0.07 * i)),
                ]
            )
            sheet.line(path, 1.4, (INK, RED, BLUE)[i % 3])
            for x, y in path[::7]:
                sheet.oval(x, y, w * 0.005, None, AGED, width=0.8)
        return
    for row in range(17):
        for column in range(24):
            x, y = x0 + w * (0.34 + 0.027 * column), y0 + h * (0.06 + 0.054 * row)
            a = 0.5 * math.sin(column / 6) + 0.7 * math.cos(row / 5) + rng.uniform(-0.15, 0.15)
            dx, dy = w * 0.017 * math.cos(a), w * 0.017 * math.sin(a)
            if rng.random() < 0.12 or x > x1 - w * 0.02:
                continue
            sheet.line([(x, y), (x + dx, y + dy)], 0.7)
            sheet.line(
                [(x + dx * 0.6 - dy * 0.25, y + dy * 0.6 + dx * 0.25), (x + dx, y + dy)], 0.7
            )


def _ice(sheet: Sheet, field: Field, title: str) -> None:
    x0, y0, x1, y1 = field
    w, h = x1 - x0, y1 - y0
    reach = 0.72 if "spring" in title else 0.3 if "summer" in title else 0.5
    edge = curve(
        [(x0, y0 + h * reach)]
        + [(x0 + w * i / 9, y0 + h * (reach + sheet.rng.uniform(-0.07, 0.07))) for i in range(1, 9)]
        + [(x1, y0 + h * reach * 0.86)]
    )
    ice = [(x0, y0), *edge, (x1, y0)]
    for angle, gap in ((18, 3.4), (24, 5.5)):
        sheet.hatch(ice, angle=angle, gap=gap, colour=BLUE, width=1.0, share=0.55)
    sheet.line(edge, 1.6, BLUE)
    _soundings(sheet, (x0, y0 + h * reach, x1, y1))


def _islands(sheet: Sheet, field: Field) -> None:
    x0, y0, x1, y1 = field
    rng = sheet.rng
    for _ in range(rng.randint(3, 6)):
        cx, cy = x0 + (x1 - x0) * rng.uniform(0.42, 0.9), y0 + (y1 - y0) * rng.uniform(0.12, 0.8)
        size = (x1 - x0) * rng.uniform(0.012, 0.032)
        ring = [
            (
                cx + size * rng.uniform(0.6, 1.3) * math.cos(a),
                cy + size * rng.uniform(0.5, 1.0) * math.sin(a),
            )
            for a in (i * 0.785 for i in range(8))
        ]
        sheet.shape(curve(ring, closed=True), mix(AGED, GREEN, 0.3), width=1.1)


def _rose(sheet: Sheet, centre: Point, r: float) -> None:
    cx, cy = centre
    sheet.oval(cx, cy, r * 0.62, None, mix(AGED, WHITE, 0.35), width=0.8)
    for length, offset, colour in ((0.7, 45, mix(GREEN, INK, 0.2)), (1.0, 0, RED)):
        for i in range(4):
            a = math.radians(offset + 90 * i)
            tip = (cx + r * length * math.cos(a), cy + r * length * math.sin(a))
            for turn, fill in ((0.6, colour), (-0.6, PAPER)):
                side = (cx + r * 0.2 * math.cos(a + turn), cy + r * 0.2 * math.sin(a + turn))
                sheet.shape([centre, side, tip], fill, width=0.6)
    sheet.oval(cx, cy, r * 0.08, None, PAPER, width=0.8)


def _cartouche(sheet: Sheet, field: Field) -> None:
    x0, y0, x1, y1 = field
    w, h = x1 - x0, y1 - y0
    left, top, right, low = x1 - w * 0.3, y0 + h * 0.03, x1 - w * 0.03, y0 + h * 0.17
    sheet.box(left, top, right, low, mix(AGED, WHITE, 0.45), radius=h * 0.03, width=1)
    sheet.box(
        left + w * 0.01,
        top + w * 0.01,
        right - w * 0.01,
        low - w * 0.01,
        None,
        radius=h * 0.025,
        width=0.5,
    )
    for i, share in enumerate((0.12, 0.2, 0.16)):
        inset = (right - left) * share
        sheet.lettering(
            left + inset,
            top + (low - top) * (0.4 + 0.22 * i),
            right - inset,
            h * (0.03 if i == 0 else 0.018),
        )


def _border(sheet: Sheet, paper: Field, field: Field) -> None:
    x0, y0, x1, y1 = field
    thick = (x0 - paper[0]) * 0.28
    sheet.box(x0 - thick, y0 - thick, x1 + thick, y1 + thick, None, width=0.8)
    sheet.box(x0, y0, x1, y1, None, width=1.1)
    count = 24
    for i in range(0, count, 2):
        for along in (y0 - thick, y1):
            sheet.box(
                x0 + (x1 - x0) * i / count,
                along,
                x0 + (x1 - x0) * (i + 1) / count,
                along + thick,
                INK,
                width=0,
            )
        for along in (x0 - thick, x1):
            sheet.box(
                along,
                y0 + (y1 - y0) * i / count,
                along + thick,
                y0 + (y1 - y0) * (i + 1) / count,
                INK,
                width=0,
            )


def log_book(sheet: Sheet, title: str) -> None:
    """An open book with ruled columns, or a closed one with its label."""
    if sheet.w > sheet.h:
        _open_book(sheet, title)
    else:
        _closed_book(sheet, title)


def _open_book(sheet: Sheet, title: str) -> None:
    w, h, cx, edge = sheet.w, sheet.h, sheet.w / 2, sheet.px
    cover = mix(GREEN, INK, 0.1) if "Ánima" in title else WALNUT
    sheet.box(edge, h * 0.03, w - edge, h - edge, cover, radius=w * 0.008, width=1.4)
    for side in (-1, 1):
        page = curve(
            [(cx, h * 0.05), (cx + side * w * 0.12, h * 0.012), (cx + side * w * 0.485, h * 0.03)]
        )
        page += curve(
            [(cx + side * w * 0.485, h * 0.95), (cx + side * w * 0.12, h * 0.935), (cx, h * 0.97)]
        )
        sheet.shape(page, PAPER, width=1.2)
        gutter = [
            (cx, h * 0.05),
            (cx + side * w * 0.05, h * 0.03),
            (cx + side * w * 0.05, h * 0.94),
            (cx, h * 0.97),
        ]
        sheet.hatch(gutter, angle=90, gap=2.4, share=0.35)
        _page_text(sheet, cx + side * w * 0.27 - w * 0.19, w * 0.38, skies="skies" in title)


def _page_text(sheet: Sheet, left: float, wide: float, *, skies: bool) -> None:
    h = sheet.h
    if skies:
        size = sheet.size_px(wide, h * 0.6)
        wash = noise(size, sheet.rng, cells=3, stretch=3.0)
        sky = Image.composite(
            Image.new("RGB", size, WHITE), Image.new("RGB", size, mix(BLUE, WHITE, 0.35)), wash
        )
        sheet.paste(sky, left, h * 0.12, left + wide, h * 0.72)
        sheet.lettering(left, h * 0.84, left + wide * 0.6, h * 0.05)
        return
    for column in (0.16, 0.3, 0.44):
        sheet.line(
            [(left + wide * column, h * 0.1), (left + wide * column, h * 0.9)],
            0.6,
            mix(RED, PAPER, 0.4),
        )
    for row in range(17):
        y = h * (0.15 + 0.045 * row)
        sheet.line([(left, y), (left + wide, y)], 0.4, mix(BLUE, PAPER, 0.55))
        ink = mix(INK, WALNUT, 0.35)
        for a, b in ((0.01, 0.14), (0.18, 0.28), (0.32, 0.42)):
            sheet.lettering(left + wide * a, y, left + wide * b, h * 0.024, colour=ink)
        sheet.lettering(
            left + wide * 0.46, y, left + wide * sheet.rng.uniform(0.6, 1.0), h * 0.024, colour=ink
        )


def _closed_book(sheet: Sheet, title: str) -> None:
    w, h, edge = sheet.w, sheet.h, sheet.px
    colour = (
        (104, 142, 92) if "Ánima" in title else sheet.rng.choice((WALNUT, mix(BLUE, INK, 0.3), OAK))
    )
    sheet.box(edge, edge, w - edge, h - edge, colour, radius=w * 0.02, width=1.6)
    sheet.hatch(
        [(edge, edge), (w - edge, edge), (w - edge, h - edge), (edge, h - edge)],
        angle=62,
        gap=3,
        share=0.14,
    )
    spine = [(edge, edge), (w * 0.11, edge), (w * 0.11, h - edge), (edge, h - edge)]
    sheet.shape(spine, mix(colour, INK, 0.25))
    sheet.turned(spine, share=0.4)
    for y in (0, 1):
        corner = [(w - edge, h * y), (w * 0.86, h * y), (w - edge, h * (0.1 if y == 0 else 0.9))]
        sheet.shape(corner, mix(colour, INK, 0.25))
    sheet.box(w * 0.27, h * 0.2, w * 0.83, h * 0.42, PAPER, width=1)
    for i in range(3):
        sheet.lettering(
            w * 0.33, h * (0.265 + 0.055 * i), w * 0.77, h * (0.034 if i == 0 else 0.024)
        )
