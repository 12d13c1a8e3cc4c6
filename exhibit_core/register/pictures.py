"""Make an uploaded picture safe to show: upright, without metadata, in three sizes."""

import hashlib
import struct
import warnings
import zlib
from dataclasses import dataclass
from io import BytesIO
from typing import BinaryIO

from django.conf import settings
from PIL import Image, ImageOps, UnidentifiedImageError

from exhibit_core.web.errors import RefusedError

LONGEST_SIDE_PX = {"large": 2000, "medium": 800, "small": 240}
# Pixels of these cannot be averaged when shrinking.
_INDEXED = ("1", "P", "PA")
_KINDS = ("JPEG", "PNG", "WEBP", "TIFF")
_DAMAGE = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError)


class PictureError(RefusedError):
    """A file that cannot be taken as a picture; its text says why and what to do."""


@dataclass(frozen=True)
class Prepared:
    """A picture in three sizes, each a whole JPEG or PNG file; pixels are those of the largest."""

    sha256: str
    extension: str
    width_px: int
    height_px: int
    files: dict[str, bytes]


def prepare(file: BinaryIO) -> Prepared:
    """Read a JPEG, PNG, WebP or TIFF file and encode it afresh; raise PictureError if it is none.

    The size in the header is checked before anything is decoded. `sha256` is that of the file
    as it came.
    """
    data = _read(file)
    largest = _upright(_open(data))
    extension = "png" if largest.mode == "RGBA" else "jpg"
    return Prepared(
        sha256=hashlib.sha256(data).hexdigest(),
        extension=extension,
        width_px=largest.width,
        height_px=largest.height,
        files={
            name: _encoded(_shrunk(largest, longest), extension)
            for name, longest in LONGEST_SIDE_PX.items()
        },
    )


def _read(file: BinaryIO) -> bytes:
    data = file.read(settings.PICTURE_MAX_BYTES + 1)
    if len(data) > settings.PICTURE_MAX_BYTES:
        limit = settings.PICTURE_MAX_BYTES // 1024**2
        raise PictureError(f"The picture is over {limit} MB: save it smaller and try again.")
    if not data:
        raise PictureError("The picture file is empty: choose another.")
    return data


def _open(data: bytes) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(BytesIO(data), formats=_KINDS)
    except UnidentifiedImageError as error:
        raise PictureError("This is no JPEG, PNG, WebP or TIFF picture: choose another.") from error
    except Image.DecompressionBombError as error:
        raise PictureError(_too_many_pixels()) from error
    except (*_DAMAGE, struct.error, zlib.error) as error:
        raise PictureError(_damaged()) from error
    pixels = image.width * image.height
    if pixels > settings.PICTURE_MAX_PIXELS:
        raise PictureError(_too_many_pixels())
    plain_jpeg = image.format == "JPEG" and not image.info.get("progressive")
    if pixels > settings.PICTURE_MAX_PIXELS_WHOLE and not plain_jpeg:
        limit = settings.PICTURE_MAX_PIXELS_WHOLE // 1_000_000
        raise PictureError(
            f"The picture has over {limit} million pixels: save it smaller, or as a JPEG that is "
            "not progressive, and try again."
        )
    return image


def _upright(image: Image.Image) -> Image.Image:
    """Decode the first frame, shrink it, turn it as the camera was held, and keep pixels alone.

    It is shrunk before anything else: each copy of it at full size may take hundreds of MB.
    """
    longest = LONGEST_SIDE_PX["large"]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image.draft("RGB", (longest, longest))
            if image.mode in _INDEXED:
                image = _plain_mode(image)
            image.thumbnail((longest, longest), Image.Resampling.LANCZOS)
            plain = _plain_mode(ImageOps.exif_transpose(image))
    except (*_DAMAGE, struct.error, zlib.error) as error:
        raise PictureError(_damaged()) from error
    plain.info.clear()
    return plain


def _plain_mode(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I;16"):
        image = image.point(lambda value: value / 256).convert("L")
    if not image.has_transparency_data:
        return image.convert("RGB")
    with_alpha = image.convert("RGBA")
    opaque = with_alpha.getchannel("A").getextrema() == (255, 255)
    return with_alpha.convert("RGB") if opaque else with_alpha


def _shrunk(image: Image.Image, longest_px: int) -> Image.Image:
    small = image.copy()
    small.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    return small


def _encoded(image: Image.Image, extension: str) -> bytes:
    target = BytesIO()
    if extension == "png":
        image.save(target, "PNG")
    else:
        image.save(target, "JPEG", quality=85, progressive=True)
    return target.getvalue()


def _too_many_pixels() -> str:
    limit = settings.PICTURE_MAX_PIXELS // 1_000_000
    return f"The picture has over {limit} million pixels: save it smaller and try again."


def _damaged() -> str:
    return "The picture file is damaged: save it again from its program, or choose another."
