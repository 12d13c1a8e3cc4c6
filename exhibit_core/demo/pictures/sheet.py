"""The drawing sheet: pen lines, flat washes and hatching, in millimetres of the object."""

import math
from collections.abc import Callable, Iterable
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFont

Colour = tuple[int, int, int]
Point = tuple[float, float]
Points = list[Point]

LONG_SIDE_PX = 900
OVERSAMPLING = 2

GROUND: Colour = (247, 245, 240)
INK: Colour = (47, 43, 41)
PAPER: Colour = (243, 236, 220)
MAHOGANY: Colour = (178, 124, 92)
WALNUT: Colour = (164, 131, 99)
ROSEWOOD: Colour = (140, 94, 78)
OAK: Colour = (200, 170, 128)
PINE: Colour = (222, 200, 160)
BRASS: Colour = (216, 188, 122)
SILVER: Colour = (219, 220, 214)
GLASS: Colour = (224, 233, 232)
MERCURY: Colour = (150, 158, 166)
IVORY: Colour = (242, 233, 211)
IRON: Colour = (128, 130, 132)
COPPER: Colour = (194, 138, 104)
ZINC: Colour = (186, 190, 190)
SLATE: Colour = (138, 147, 154)
RED: Colour = (170, 74, 62)
BLUE: Colour = (76, 101, 140)
GREEN: Colour = (112, 136, 108)
VERDIGRIS: Colour = (140, 172, 154)
LINEN: Colour = (234, 224, 200)
WHITE: Colour = (250, 248, 243)


def mix(first: Colour, second: Colour, share: float) -> Colour:
    """Return `first` with `share` (0 to 1) of `second` washed over it."""
    r, g, b = (round(a + (c - a) * share) for a, c in zip(first, second, strict=True))
    return r, g, b


def arc(cx: float, cy: float, rx: float, ry: float, start: float, end: float) -> Points:
    """Return points along an ellipse from `start` to `end` degrees, clockwise from the right."""
    steps = max(8, int(abs(end - start) / 4))
    angles = (math.radians(start + (end - start) * i / steps) for i in range(steps + 1))
    return [(cx + rx * math.cos(a), cy + ry * math.sin(a)) for a in angles]


def curve(points: Points, *, closed: bool = False) -> Points:
    """Return a smooth line through all the points."""
    if closed:
        padded = [points[-1], *points, points[0], points[1]]
    else:
        padded = [points[0], *points, points[-1]]
    smooth: Points = []
    for a, b, c, d in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        smooth.extend(_between(a, b, c, d, step / 10) for step in range(10))
    return smooth if closed else [*smooth, points[-1]]


def _between(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    x, y = (
        0.5
        * (
            2 * q
            + (r - p) * t
            + (2 * p - 5 * q + 4 * r - s) * t**2
            + (3 * q - p - 3 * r + s) * t**3
        )
        for p, q, r, s in zip(a, b, c, d, strict=True)
    )
    return x, y


def mirrored(points: Points, axis: float) -> Points:
    """Return the left half's outline closed by its mirror image about x = `axis`."""
    return [*points, *((2 * axis - x, y) for x, y in reversed(points))]


class Sheet:
    """A sheet of the object's own size, upright, with a pen of constant thickness."""

    def __init__(self, *, width_mm: int, height_mm: int, rng: Random) -> None:
        self.w, self.h, self.rng = float(width_mm), float(height_mm), rng
        self.scale = LONG_SIDE_PX * OVERSAMPLING / max(width_mm, height_mm)
        size = tuple(
            max(1, round(side * self.scale / OVERSAMPLING)) * OVERSAMPLING
            for side in (width_mm, height_mm)
        )
        self.image = Image.new("RGB", size, GROUND)
        self.pen = ImageDraw.Draw(self.image)
        self.px = 1 / self.scale * OVERSAMPLING

    def finish(self) -> Image.Image:
        return self.image.reduce(OVERSAMPLING)

    def line(self, points: Iterable[Point], width: float = 1.0, colour: Colour = INK) -> None:
        """Draw a pen line `width` picture points thick."""
        thick = max(1, round(width * OVERSAMPLING))
        self.pen.line(self._px(points), fill=colour, width=thick, joint="curve")

    def shape(
        self, points: Points, fill: Colour | None, *, width: float = 1.2, colour: Colour = INK
    ) -> None:
        """Wash a closed shape and draw its outline; width 0 leaves the outline out."""
        if fill is not None:
            self.pen.polygon(self._px(points), fill=fill)
        if width:
            self.line([*points, points[0], points[1]], width, colour)

    def box(
        self,
        x0: float,
        y0: float,
        x1: float,
        y1: float,
        fill: Colour | None,
        *,
        radius: float = 0,
        width: float = 1.2,
        colour: Colour = INK,
    ) -> None:
        if radius:
            self.shape(rounded(x0, y0, x1, y1, radius), fill, width=width, colour=colour)
        else:
            corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
            self.shape(corners, fill, width=width, colour=colour)

    def oval(
        self,
        cx: float,
        cy: float,
        rx: float,
        ry: float | None,
        fill: Colour | None,
        *,
        width: float = 1.2,
        colour: Colour = INK,
    ) -> None:
        points = arc(cx, cy, rx, rx if ry is None else ry, 0, 360)
        self.shape(points, fill, width=width, colour=colour)

    def hatch(
        self,
        points: Points,
        *,
        angle: float = 45,
        gap: float = 4,
        colour: Colour = INK,
        width: float = 0.5,
        share: float = 0.45,
    ) -> None:
        """Hatch the inside of a shape, lines `gap` picture points apart, at `share` of ink."""
        self._within(
            points, lambda pen, box: _parallels(pen, box, angle, gap, width), colour, share
        )

    def turned(self, points: Points, *, share: float = 0.6, light: float = 0.35) -> None:
        """Shade a shape as a round body lit from the left: lines crowd towards both sides."""
        self._within(points, lambda pen, box: _crowding(pen, box, light), INK, share)

    def grain(self, points: Points, *, upright: bool = True, share: float = 0.34) -> None:
        """Draw the grain of wood along a shape."""
        rng = self.rng
        self._within(points, lambda pen, box: _wavy(pen, box, upright, rng), INK, share)

    def lettering(
        self,
        x0: float,
        y0: float,
        x1: float,
        height: float,
        *,
        colour: Colour = INK,
    ) -> None:
        """Suggest a line of handwriting between x0 and x1 standing on y0."""
        rng, step, x = self.rng, height * 0.3, x0
        while x < x1 - step * 3:
            letters = min(rng.randint(2, 8), int((x1 - x) / step / 2))
            word = [(x, y0 - height * 0.2)]
            for _ in range(letters):
                top = rng.choice((0.5, 0.5, 0.55, 0.6, 1.0))
                low = rng.choice((0.0, 0.0, 0.0, -0.4)) if top < 0.9 else 0.0
                word.append((x + step * 0.9, y0 - height * top))
                word.append((x + step * rng.uniform(1.1, 1.5), y0 - height * low))
                x += step * rng.uniform(1.5, 2.2)
            self.line(curve(word), 0.6, colour)
            x += step * 1.6

    def words(
        self,
        text: str,
        cx: float,
        cy: float,
        *,
        width: float,
        height: float,
        colour: Colour = INK,
    ) -> None:
        """Set `text` in the middle of (cx, cy), as large as the width and height allow."""
        size = max(6.0, height * self.scale)
        box = ImageFont.load_default(size).getbbox(text)
        size *= min(1.0, width * self.scale / max(1, box[2] - box[0]))
        font = ImageFont.load_default(max(6.0, size))
        self.pen.text((cx * self.scale, cy * self.scale), text, font=font, fill=colour, anchor="mm")

    def paste(self, picture: Image.Image, x0: float, y0: float, x1: float, y1: float) -> None:
        """Lay a picture into a rectangle, filling it."""
        left, top, right, bottom = (round(v * self.scale) for v in (x0, y0, x1, y1))
        size = (max(1, right - left), max(1, bottom - top))
        self.image.paste(picture.resize(size, Image.Resampling.BICUBIC), (left, top))

    def size_px(self, width: float, height: float) -> tuple[int, int]:
        """Return the finished picture's size in points of a piece of this sheet."""
        share = self.scale / OVERSAMPLING
        return max(8, round(width * share)), max(8, round(height * share))

    def _px(self, points: Iterable[Point]) -> list[Point]:
        return [(x * self.scale, y * self.scale) for x, y in points]

    def _within(
        self,
        points: Points,
        draw: Callable[[ImageDraw.ImageDraw, tuple[int, int]], None],
        colour: Colour,
        share: float,
    ) -> None:
        """Draw with `draw` on a mask and let it show only inside the shape."""
        outline = self._px(points)
        left, top = (math.floor(min(v)) for v in zip(*outline, strict=True))
        right, bottom = (math.ceil(max(v)) + 1 for v in zip(*outline, strict=True))
        size = (right - left, bottom - top)
        clip, strokes = Image.new("L", size), Image.new("L", size)
        ImageDraw.Draw(clip).polygon([(x - left, y - top) for x, y in outline], fill=255)
        draw(ImageDraw.Draw(strokes), size)
        mask = ImageChops.multiply(clip, strokes).point(lambda v: round(v * share))
        self.image.paste(Image.new("RGB", size, colour), (left, top), mask)


def rounded(x0: float, y0: float, x1: float, y1: float, radius: float) -> Points:
    """Return the outline of a rectangle with rounded corners."""
    r = min(radius, (x1 - x0) / 2, (y1 - y0) / 2)
    return [
        *arc(x1 - r, y0 + r, r, r, -90, 0),
        *arc(x1 - r, y1 - r, r, r, 0, 90),
        *arc(x0 + r, y1 - r, r, r, 90, 180),
        *arc(x0 + r, y0 + r, r, r, 180, 270),
    ]


def _parallels(
    pen: ImageDraw.ImageDraw, size: tuple[int, int], angle: float, gap: float, width: float
) -> None:
    w, h = size
    reach, turn = math.hypot(w, h), math.radians(angle)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    step = gap * OVERSAMPLING
    for i in range(-int(reach / step) - 1, int(reach / step) + 2):
        x, y = w / 2 + across[0] * i * step, h / 2 + across[1] * i * step
        ends = [
            (x - along[0] * reach, y - along[1] * reach),
            (x + along[0] * reach, y + along[1] * reach),
        ]
        pen.line(ends, fill=255, width=max(1, round(width * OVERSAMPLING)))


def _crowding(pen: ImageDraw.ImageDraw, size: tuple[int, int], light: float) -> None:
    w, h = size
    x = 0.0
    while x < w:
        distance = abs(x / w - light) / max(light, 1 - light)
        if distance > 0.3:
            pen.line([(x, 0), (x, h)], fill=255, width=2 if distance > 0.55 else 1)
        x += max(3.4, 15 * (1.08 - distance)) if w > 26 else 3


def _wavy(pen: ImageDraw.ImageDraw, size: tuple[int, int], upright: bool, rng: Random) -> None:
    w, h = size
    across, length = (w, h) if upright else (h, w)
    position = rng.uniform(2, 8)
    bow = rng.uniform(0, 6.28)
    while position < across:
        swing = rng.uniform(1, 4)
        line = [
            (position + swing * math.sin(bow + step / 24 * 6.28), step / 24 * length)
            for step in range(25)
        ]
        points = line if upright else [(y, x) for x, y in line]
        pen.line(points, fill=rng.choice((120, 190, 255)), width=1)
        position += rng.uniform(5, 15)
        bow += rng.uniform(-0.3, 0.3)
