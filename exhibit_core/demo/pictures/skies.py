"""Skies in watercolour and in albumen: layered noise, soft clouds and a low horizon."""

from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageOps

from exhibit_core.demo.pictures.frames import frame
from exhibit_core.demo.pictures.sheet import OAK, WHITE, Colour, Sheet, mix

Size = tuple[int, int]
LONGEST = 460

DAY: dict[str, tuple[Colour, Colour, Colour, Colour]] = {
    "fair": ((112, 145, 176), (206, 214, 208), (150, 156, 172), (122, 130, 98)),
    "evening": ((124, 140, 168), (240, 204, 158), (168, 132, 134), (86, 84, 86)),
    "storm": ((104, 116, 130), (200, 196, 174), (96, 104, 118), (98, 104, 82)),
    "soot": ((150, 160, 168), (206, 186, 154), (146, 138, 134), (118, 96, 76)),
    "high": ((92, 128, 166), (214, 218, 208), (140, 152, 172), (110, 118, 92)),
    "fog": ((198, 200, 198), (216, 214, 206), (186, 188, 188), (186, 186, 178)),
}


def noise(
    size: Size, rng: Random, *, cells: int, octaves: int = 4, stretch: float = 2.0
) -> Image.Image:
    """Return smooth noise of several scales, `stretch` times wider than tall."""
    total = Image.new("L", size, 128)
    for octave in range(octaves):
        across = max(2, cells * 2**octave)
        down = max(2, round(across * stretch * size[1] / size[0]))
        layer = Image.frombytes("L", (across, down), rng.randbytes(across * down))
        layer = layer.resize(size, Image.Resampling.BICUBIC)
        total = Image.blend(total, layer, 0.5 if octave == 0 else 0.36 / octave**0.7)
    return ImageOps.autocontrast(total)


def gradient(size: Size, top: Colour, low: Colour) -> Image.Image:
    """Return a wash that passes from `top` to `low`."""
    ramp = Image.linear_gradient("L").resize(size)
    return ImageOps.colorize(ramp, top, low)


def heaps(size: Size, rng: Random, *, base: float, count: int, reach: float) -> Image.Image:
    """Return a mask of heaped clouds on flat bases at `base` of the height."""
    w, h = size
    mask = Image.new("L", size)
    pen = ImageDraw.Draw(mask)
    for _ in range(count):
        cx, wide = rng.uniform(-0.05, 1.05) * w, rng.uniform(0.5, 1.0) * reach * w
        floor = h * (base + rng.uniform(-0.06, 0.03))
        for _ in range(34):
            away = rng.gauss(0, 0.34)
            r = wide * rng.uniform(0.09, 0.22) * max(0.3, 1 - abs(away))
            rise = rng.random() ** 1.5 * wide * 0.62 * max(0.12, 1 - abs(away) * 1.3)
            x, y = cx + away * wide, floor - rise - r * 0.4
            pen.ellipse((x - r, y - r, x + r, y + r), fill=255)
        pen.rectangle((0, floor, w, floor + wide * 0.22), fill=0)
    return mask


def _soft(mask: Image.Image, rng: Random, radius: float) -> Image.Image:
    """Return the mask with edges that run like wet paint."""
    blurred = mask.filter(ImageFilter.GaussianBlur(radius))
    torn = noise(mask.size, rng, cells=9, octaves=4, stretch=1.0)
    mixed = ImageChops.add(blurred, torn, scale=1.0, offset=-128)
    return ImageChops.multiply(
        mixed.point(lambda v: max(0, min(255, (v - 60) * 3))),
        blurred.point(lambda v: min(255, v * 3)),
    )


def _bands(
    size: Size, rng: Random, *, cells: int, cut: int, steep: int, stretch: float
) -> Image.Image:
    return noise(size, rng, cells=cells, octaves=4, stretch=stretch).point(
        lambda v: max(0, min(255, (v - cut) * steep))
    )


def paint_sky(size: Size, rng: Random, title: str) -> Image.Image:
    """Return a sky of the mood that the title names, or one that the seed picks."""
    mood = _mood(title, rng)
    top, low, shade, land = DAY[mood]
    sky = gradient(size, top, low)
    sky = Image.blend(
        sky, ImageOps.colorize(noise(size, rng, cells=3), mix(top, low, 0.2), low), 0.3
    )
    if mood in ("evening", "fog", "high"):
        _layer_clouds(sky, rng, shade, mackerel="ackerel" in title)
    else:
        _heaped_clouds(sky, rng, shade, anvil="nvil" in title, heavy=mood == "storm")
    if "halo" in title:
        _halo(sky)
    if mood in ("storm", "soot") or "shower" in title or "front" in title:
        _rain(sky, rng, shade)
    _horizon(sky, rng, land)
    return sky


def _mood(title: str, rng: Random) -> str:
    for word, mood in (
        ("vening", "evening"),
        ("torm", "storm"),
        ("front", "storm"),
        ("fog", "fog"),
        ("brick", "soot"),
        ("halo", "fog"),
        ("ackerel", "high"),
        ("igh cloud", "high"),
    ):
        if word in title:
            return mood
    return "fair" if title else rng.choice(("fair", "fair", "high", "storm"))


def _layer_clouds(sky: Image.Image, rng: Random, shade: Colour, *, mackerel: bool) -> None:
    w, h = sky.size
    for cells, stretch, cut in ((3, 3.4, 138), (4, 5.0, 150)):
        mask = _receding(_bands(sky.size, rng, cells=cells, cut=cut, steep=3, stretch=stretch))
        mask = mask.filter(ImageFilter.GaussianBlur(w / 160))
        sky.paste(mix(WHITE, shade, 0.12), (0, 0), mask.point(lambda v: round(v * 0.8)))
        lifted = ImageChops.offset(mask, round(w / 60), round(-h / 26))
        lower = ImageChops.subtract(mask, lifted).filter(ImageFilter.GaussianBlur(w / 200))
        sky.paste(shade, (0, 0), lower.point(lambda v: round(v * 0.6)))
    if mackerel:
        scales = _receding(_bands(sky.size, rng, cells=15, cut=128, steep=4, stretch=1.7))
        field = _bands(sky.size, rng, cells=2, cut=90, steep=3, stretch=1.0)
        scales = ImageChops.multiply(scales, field).filter(ImageFilter.GaussianBlur(w / 400))
        shadow = ImageChops.subtract(ImageChops.offset(scales, 2, 4), scales)
        sky.paste(shade, (0, 0), shadow.point(lambda v: v // 2))
        sky.paste(WHITE, (0, 0), scales.point(lambda v: round(v * 0.85)))


def _receding(flat: Image.Image, strips: int = 12) -> Image.Image:
    """Return a layer seen from below: larger overhead, crowding towards the horizon."""
    w, h = flat.size

    def away(share: float) -> float:
        return 0.42 * share + 0.58 * share**3

    mesh = []
    for i in range(strips):
        top, low = i / strips, (i + 1) / strips
        near, far = 0.3 * (1 - top), 0.3 * (1 - low)
        corners = (
            w * near,
            h * away(top),
            w * far,
            h * away(low),
            w * (1 - far),
            h * away(low),
            w * (1 - near),
            h * away(top),
        )
        mesh.append(((0, round(h * top), w, round(h * low)), corners))
    return flat.transform((w, h), Image.Transform.MESH, mesh, Image.Resampling.BILINEAR)


def _heaped_clouds(
    sky: Image.Image, rng: Random, shade: Colour, *, anvil: bool, heavy: bool
) -> None:
    w, h = sky.size
    for base, count, reach in ((0.83, 7, 0.16), (0.74, 3, 0.4)):
        mask = heaps(sky.size, rng, base=base, count=count, reach=reach * (1.3 if heavy else 1.0))
        if anvil and reach > 0.2:
            pen = ImageDraw.Draw(mask)
            pen.polygon(
                [
                    (w * 0.42, h * 0.8),
                    (w * 0.38, h * 0.3),
                    (w * 0.1, h * 0.18),
                    (w * 0.95, h * 0.15),
                    (w * 0.68, h * 0.3),
                    (w * 0.72, h * 0.8),
                ],
                fill=255,
            )
        cloud = _soft(mask, rng, w * 0.011)
        sky.paste(mix(WHITE, shade, 0.04 if not heavy else 0.3), (0, 0), cloud)
        moved = ImageChops.offset(cloud, round(-w * 0.03), round(-h * 0.06))
        ImageDraw.Draw(moved).rectangle((0, h * 0.92, w, h), fill=0)
        below = ImageChops.subtract(cloud, moved.filter(ImageFilter.GaussianBlur(w * 0.014)))
        body = noise(sky.size, rng, cells=7, octaves=3, stretch=1.2)
        tone = ImageChops.multiply(below, body.point(lambda v: 120 + v // 2))
        sky.paste(shade, (0, 0), tone.point(lambda v: round(v * 0.8)))
        folds = ImageChops.multiply(cloud, body.point(lambda v: max(0, min(255, (v - 128) * 3))))
        sky.paste(mix(shade, WHITE, 0.3), (0, 0), folds.point(lambda v: round(v * 0.38)))


def _halo(sky: Image.Image) -> None:
    w, h = sky.size
    ring = Image.new("L", sky.size)
    pen = ImageDraw.Draw(ring)
    cx, cy, r = w * 0.5, h * 0.42, min(w, h) * 0.3
    pen.ellipse((cx - r, cy - r, cx + r, cy + r), outline=230, width=max(2, w // 60))
    pen.ellipse((cx - r / 7, cy - r / 7, cx + r / 7, cy + r / 7), fill=255)
    sky.paste((255, 250, 232), (0, 0), ring.filter(ImageFilter.GaussianBlur(w / 130)))


def _rain(sky: Image.Image, rng: Random, shade: Colour) -> None:
    w, h = sky.size
    veil = noise(sky.size, rng, cells=10, octaves=2, stretch=0.1)
    window = Image.new("L", sky.size)
    x = rng.uniform(0.1, 0.5) * w
    ImageDraw.Draw(window).polygon(
        [(x, h * 0.6), (x + w * 0.34, h * 0.6), (x + w * 0.22, h), (x - w * 0.14, h)], fill=150
    )
    window = window.filter(ImageFilter.GaussianBlur(w / 22))
    sky.paste(shade, (0, 0), ImageChops.multiply(veil, window))


def _horizon(sky: Image.Image, rng: Random, land: Colour) -> None:
    w, h = sky.size
    mask = Image.new("L", sky.size)
    pen = ImageDraw.Draw(mask)
    for level, tone in ((0.885, 110), (0.925, 190), (0.965, 255)):
        rise = [(w * i / 30, h * (level + rng.uniform(-0.008, 0.008))) for i in range(31)]
        pen.polygon([*rise, (w, h), (0, h)], fill=tone)
    sky.paste(land, (0, 0), mask.filter(ImageFilter.GaussianBlur(max(0.6, w / 420))))


def _on_paper(sky: Image.Image, rng: Random) -> Image.Image:
    """Return the wash on rough paper: grain in the tone and a bare, uneven edge."""
    size = sky.size
    tooth = Image.frombytes("L", size, rng.randbytes(size[0] * size[1]))
    tooth = tooth.filter(ImageFilter.GaussianBlur(0.8)).point(lambda v: 224 + (v - 128) // 3)
    pooled = noise(size, rng, cells=5, octaves=4, stretch=1.0).point(lambda v: 232 + v // 11)
    grained = ImageChops.multiply(ImageChops.multiply(sky, _grey(tooth)), _grey(pooled))
    grained = Image.blend(sky, grained, 0.72)
    paper = Image.new("RGB", size, (243, 237, 222))
    edge = Image.new("L", size)
    margin = max(4, min(size) // 30)
    ImageDraw.Draw(edge).rectangle((margin, margin, size[0] - margin, size[1] - margin), fill=255)
    edge = _soft(edge, rng, margin / 5)
    paper.paste(grained, (0, 0), edge)
    return paper


def _grey(image: Image.Image) -> Image.Image:
    return Image.merge("RGB", (image, image, image))


def _fit(width: float, height: float) -> Size:
    share = LONGEST / max(width, height)
    return max(60, round(width * share)), max(60, round(height * share))


def cloud_study(sheet: Sheet, title: str, *, framed: bool) -> None:
    """Paint a sky in watercolour, in a light frame with a deep mount."""
    x0, y0, x1, y1 = _opening(sheet, 0.04, 0.15, OAK) if framed else (0.0, 0.0, sheet.w, sheet.h)
    size = _fit(x1 - x0, y1 - y0)
    sheet.paste(_on_paper(paint_sky(size, sheet.rng, title), sheet.rng), x0, y0, x1, y1)


def cloud_photograph(sheet: Sheet, title: str, *, framed: bool) -> None:
    """Print a sky in warm brown, or a sheet of sixteen."""
    x0, y0, x1, y1 = (
        _opening(sheet, 0.032, 0.17, (88, 78, 70)) if framed else (0.0, 0.0, sheet.w, sheet.h)
    )
    if "ixteen" not in title:
        sheet.paste(_albumen(_fit(x1 - x0, y1 - y0), sheet.rng, title), x0, y0, x1, y1)
        return
    across, down = (x1 - x0) / 4, (y1 - y0) / 4
    for i in range(16):
        left, top = x0 + across * (i % 4), y0 + down * (i // 4)
        if i != 6:
            print_ = _albumen((120, 92), sheet.rng, "")
            sheet.paste(
                print_,
                left + across * 0.05,
                top + down * 0.06,
                left + across * 0.95,
                top + down * 0.94,
            )


def _albumen(size: Size, rng: Random, title: str) -> Image.Image:
    sky = ImageOps.autocontrast(ImageOps.grayscale(paint_sky(size, rng, title)), cutoff=1)
    if "kite" in title:
        pen = ImageDraw.Draw(sky)
        pen.line([(size[0] * 0.02, 0), (size[0] * 0.4, size[1] * 0.98)], fill=30, width=2)
    dark = Image.radial_gradient("L").resize(size).point(lambda v: max(0, v - 120) // 2)
    sky = ImageChops.subtract(sky, dark)
    return ImageOps.colorize(sky, (58, 38, 28), (246, 232, 202), mid=(164, 124, 90))


def _opening(
    sheet: Sheet, moulding: float, mount: float, colour: Colour
) -> tuple[float, float, float, float]:
    side = min(sheet.w, sheet.h)
    chosen = mix(colour, WHITE, sheet.rng.choice((0.0, 0.2, 0.4))) if colour == OAK else colour
    return frame(sheet, moulding=side * moulding, mount=side * mount, moulding_colour=chosen)
