"""Every change to objects' pictures."""

from typing import BinaryIO

from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import Max

from exhibit_core.accounts.models import User
from exhibit_core.history import record as history
from exhibit_core.register.models import MuseumObject, Picture
from exhibit_core.register.pictures import LONGEST_SIDE_PX, PictureError, prepare


@transaction.atomic
def add_picture(*, obj: MuseumObject, file: BinaryIO, caption: str, by: User) -> Picture:
    """Add a picture behind those that an object has; raises PictureError for a file unfit for it.

    `file` is any binary file; what is stored is encoded afresh from its pixels.
    """
    prepared = prepare(file)
    if obj.pictures.filter(sha256=prepared.sha256).exists():
        raise PictureError(f"{obj.number} has this picture already.")
    last = Picture.objects.filter(object=obj).aggregate(last=Max("position"))["last"]
    picture = Picture(
        object=obj,
        sha256=prepared.sha256,
        width_px=prepared.width_px,
        height_px=prepared.height_px,
        caption=caption,
        position=0 if last is None else last + 1,
    )
    picture.full_clean(exclude=list(LONGEST_SIDE_PX))
    name = f"{obj.pk}-{prepared.sha256[:16]}.{prepared.extension}"
    for size, data in prepared.files.items():
        getattr(picture, size).save(name, ContentFile(data), save=False)
    picture.save()
    history.record(
        by=by,
        action="register.add_picture",
        target=obj,
        sentence=f"Added a picture of {obj.number}: {picture}",
        changes={"picture": (None, picture.pk)},
    )
    return picture


@transaction.atomic
def remove_picture(*, picture: Picture, by: User) -> None:
    """Remove a picture and, once that is certain, its files; there is no way back."""
    files = [getattr(picture, size) for size in LONGEST_SIDE_PX]
    history.record(
        by=by,
        action="register.remove_picture",
        target=picture.object,
        sentence=f"Removed a picture of {picture.object.number}: {picture}",
        changes={"picture": (picture.pk, None)},
    )
    picture.delete()
    transaction.on_commit(lambda: [file.storage.delete(file.name) for file in files])
