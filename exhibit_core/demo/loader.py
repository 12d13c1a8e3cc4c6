"""Load the invented exhibition through the same actions that its users take."""

import datetime
import json
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any
from zlib import crc32

from django.conf import settings

from exhibit_core.accounts.models import User
from exhibit_core.demo.objects import bring_in
from exhibit_core.demo.pictures import KINDS, draw
from exhibit_core.exhibitions.actions import add_section, create_exhibition
from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.register.actions import add_picture
from exhibit_core.register.models import Lender, MuseumObject
from exhibit_core.register.queries import objects_with_everything
from exhibit_core.register.sizes import best_size
from exhibit_core.spaces import actions as spaces
from exhibit_core.spaces.models import BlockedArea, Fixing, LightZone, Room, Venue, Wall

FOLDER = settings.BASE_DIR / "fixtures" / "demo"
Tell = Callable[[str], None]


def read(name: str) -> Any:
    return json.loads((FOLDER / name).read_text(encoding="utf-8"))


def load(*, tell: Tell, pictures: bool = True) -> Exhibition:
    """Fill an empty database with people, lenders, rooms, objects, pictures and the exhibition."""
    people = _people()
    tell(f"{len(people)} people, one in each role")
    Lender.objects.bulk_create(Lender(**row) for row in read("lenders.json"))
    plan = read("exhibition.json")
    venue = _venue(plan, people["designer"])
    tell(f"{Wall.objects.count()} walls at the {venue}")
    exhibition = _exhibition(plan, venue, people["curator"])
    objects = bring_in(path=FOLDER / "objects.csv", exhibition=exhibition, by=people["registrar"])
    tell(f"{len(objects)} objects on the list of “{exhibition}”")
    if pictures:
        count = _pictures(people["registrar"])
        tell(f"{count} pictures, each drawn from its object's kind and size")
    return exhibition


def _people() -> dict[str, User]:
    people = {}
    for row in read("people.json"):
        person = User(**row)
        person.set_unusable_password()
        person.save()
        people[row["roles"][0]] = person
    return people


def _venue(plan: dict[str, Any], by: User) -> Venue:
    venue = spaces.add(row=Venue(**plan["venue"]), by=by)
    for room_row in plan["rooms"]:
        room = spaces.add(row=Room(venue=venue, name=room_row["name"]), by=by)
        for row in room_row["walls"]:
            wall = Wall(
                room=room,
                name=row["name"],
                length_mm=row["length_mm"],
                height_mm=row["height_mm"],
            )
            spaces.add(row=wall, by=by)
            for kind, key in ((BlockedArea, "blocked"), (LightZone, "zones"), (Fixing, "fixings")):
                for part in row[key]:
                    spaces.add(row=kind(wall=wall, **part), by=by)
    return venue


def _exhibition(plan: dict[str, Any], venue: Venue, by: User) -> Exhibition:
    values = {name: plan[name] for name in ("title", "subtitle", "open_days")}
    for name in ("opening", "closing"):
        values[name] = datetime.date.fromisoformat(plan[name])
    for name in ("opens_at", "closes_at"):
        values[name] = datetime.time.fromisoformat(plan[name])
    exhibition = create_exhibition(values={**values, "venue": venue}, by=by)
    for row in plan["sections"]:
        add_section(exhibition=exhibition, values=row, by=by)
    return exhibition


def _pictures(by: User) -> int:
    count = 0
    for obj in objects_with_everything():
        size = best_size(obj.measurements.all())
        if size is None or obj.object_type not in KINDS:
            continue
        file = BytesIO()
        _drawn(obj, size.width_mm, size.height_mm).save(file, "JPEG", quality=90)
        file.seek(0)
        add_picture(obj=obj, file=file, caption=f"{obj.title}, seen from the front", by=by)
        count += 1
    return count


def _drawn(obj: MuseumObject, width_mm: int, height_mm: int):
    return draw(
        obj.object_type,
        width_mm=width_mm,
        height_mm=height_mm,
        seed=crc32(obj.number.encode()),
        title=obj.title,
    )


def is_loaded() -> bool:
    return Exhibition.objects.filter(title=read("exhibition.json")["title"]).exists()


def sheets_folder() -> Path:
    return Path(settings.SHEETS_ROOT)
