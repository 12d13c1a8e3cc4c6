import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image

from exhibit_core.history.queries import history_of
from exhibit_core.register.actions import add_picture, remove_picture
from exhibit_core.register.models import Picture
from exhibit_core.register.pictures import PictureError, prepare
from tests.factories import MuseumObjectFactory

GPS, ORIENTATION = 0x8825, 0x0112


def picture_file(kind="JPEG", *, size=(3000, 1500), mode="RGB", colour="grey", **save):
    target = BytesIO()
    Image.new(mode, size, colour).save(target, kind, **save)
    target.seek(0)
    return target


def with_location(*, orientation=1):
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif.get_ifd(GPS).update({1: "N", 2: (54.0, 30.0, 0.0), 3: "W", 4: (2.0, 15.0, 0.0)})
    return exif


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_prepare_reads_kind(kind):
    made = prepare(picture_file(kind, size=(1000, 500)))
    sizes = {name: Image.open(BytesIO(data)).size for name, data in made.files.items()}
    assert made.extension == "jpg"
    assert sizes == {"large": (1000, 500), "medium": (800, 400), "small": (240, 120)}


def test_prepare_shrinks_large_picture():
    made = prepare(picture_file())
    assert (made.width_px, made.height_px) == (2000, 1000)


def test_prepare_strips_location_and_comment():
    source = picture_file(exif=with_location(), comment=b"taken at home")
    came = Image.open(source)
    assert dict(came.getexif().get_ifd(GPS))[1] == "N"
    source.seek(0)
    for data in prepare(source).files.values():
        image = Image.open(BytesIO(data))
        assert dict(image.getexif()) == {}
        assert dict(image.getexif().get_ifd(GPS)) == {}
        assert not {"comment", "exif", "icc_profile", "xmp"} & set(image.info)


def test_prepare_honours_orientation():
    """Exif 2.3, tag 274: 6 means the top of the picture is its right-hand side."""
    made = prepare(picture_file(size=(400, 100), exif=with_location(orientation=6)))
    assert (made.width_px, made.height_px) == (100, 400)


def test_prepare_turns_a_picture_larger_than_the_largest_size():
    made = prepare(picture_file(size=(3000, 1500), exif=with_location(orientation=8)))
    assert (made.width_px, made.height_px) == (1000, 2000)


@pytest.mark.parametrize(
    ("kind", "mode", "colour", "seen"),
    [
        ("JPEG", "CMYK", (0, 0, 0, 0), 255),
        ("PNG", "I;16", 65_535, 255),
        ("PNG", "P", 0, 0),
        ("TIFF", "1", 1, 255),
        ("PNG", "L", 128, 128),
    ],
)
def test_prepare_reads_mode(kind, mode, colour, seen):
    made = prepare(picture_file(kind, mode=mode, colour=colour, size=(3000, 300)))
    image = Image.open(BytesIO(made.files["large"]))
    assert (image.mode, image.size) == ("RGB", (2000, 200))
    assert image.getpixel((1000, 100)) == (seen, seen, seen)


def test_prepare_averages_what_it_shrinks():
    """Black and white lines of one pixel become grey, not one of the two."""
    lines = Image.new("1", (4000, 100))
    lines.putdata([x % 2 for _ in range(100) for x in range(4000)])
    source = BytesIO()
    lines.save(source, "PNG")
    source.seek(0)
    made = Image.open(BytesIO(prepare(source).files["large"]))
    assert 100 < made.getpixel((1000, 25))[0] < 156


def test_prepare_keeps_transparency_as_png():
    made = prepare(picture_file("PNG", mode="RGBA", colour=(10, 20, 30, 0), size=(50, 50)))
    assert made.extension == "png"
    assert Image.open(BytesIO(made.files["small"])).getpixel((5, 5))[3] == 0


def png_claiming(width, height):
    """A PNG (ISO/IEC 15948) whose header claims a size, with almost nothing behind it."""

    def chunk(kind, body):
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return BytesIO(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0"))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(12_000, 10_001), (60_000, 60_000)])
def test_prepare_refuses_bomb_by_its_header(size):
    with pytest.raises(PictureError, match="over 120 million pixels: save it smaller"):
        prepare(png_claiming(*size))


def test_prepare_refuses_a_small_file_that_takes_much_memory():
    """A PNG of one colour with 51 million pixels has under 1 MB, but decodes to 200 MB."""
    with pytest.raises(PictureError, match="over 50 million pixels: save it smaller, or as a JPEG"):
        prepare(png_claiming(8_500, 6_000))


@pytest.mark.parametrize(
    ("kind", "save", "fits"),
    [("JPEG", {}, True), ("JPEG", {"progressive": True}, False), ("WEBP", {}, False)],
)
def test_prepare_takes_more_pixels_only_of_a_plain_jpeg(settings, kind, save, fits):
    settings.PICTURE_MAX_PIXELS_WHOLE = 100_000
    source = picture_file(kind, size=(400, 300), **save)
    if fits:
        assert prepare(source).width_px == 400
    else:
        with pytest.raises(PictureError, match="not progressive"):
            prepare(source)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "file is empty"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no JPEG, PNG, WebP or TIFF"),
        (b"GIF89a\x01\x00\x01\x00\x00\x00\x00;", "no JPEG, PNG, WebP or TIFF"),
        (picture_file().getvalue()[:400], "damaged|no JPEG"),
    ],
)
def test_prepare_refuses_other_files(data, said):
    with pytest.raises(PictureError, match=said):
        prepare(BytesIO(data))


def test_prepare_refuses_too_many_bytes(settings):
    settings.PICTURE_MAX_BYTES = 1024**2
    with pytest.raises(PictureError, match="over 1 MB"):
        prepare(BytesIO(b"x" * (1024**2 + 1)))


def test_add_picture_twice_is_refused(make_person):
    obj, person = MuseumObjectFactory(), make_person("registrar")
    first = picture_file(size=(300, 300))
    picture = add_picture(obj=obj, file=first, caption="front", by=person)
    first.seek(0)
    with pytest.raises(PictureError, match="has this picture already"):
        add_picture(obj=obj, file=first, caption="again", by=person)
    assert list(Picture.objects.values_list("pk", "caption")) == [(picture.pk, "front")]
    assert [entry.action for entry in history_of(obj)] == ["register.add_picture"]


def test_remove_picture_deletes_files(make_person, django_capture_on_commit_callbacks):
    obj, person = MuseumObjectFactory(), make_person("registrar")
    picture = add_picture(obj=obj, file=picture_file(size=(30, 30)), caption="", by=person)
    storage, name = picture.large.storage, picture.large.name
    assert storage.exists(name)
    with django_capture_on_commit_callbacks(execute=True):
        remove_picture(picture=picture, by=person)
    assert not storage.exists(name)
    assert Picture.objects.count() == 0
