"""Pages of venues, rooms and walls, for each kind of reader."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from exhibit_core.spaces.models import BlockedArea, Fixing, LightZone, Room, Venue, Wall
from tests.factories import (
    ExhibitionFactory,
    FixingFactory,
    LightZoneFactory,
    RoomFactory,
    VenueFactory,
    WallFactory,
)
from tests.pages import select, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def wall():
    return WallFactory(name="North wall", room__name="Long Gallery")


def pages(wall):
    room = wall.room
    return [
        "/rooms/",
        f"/rooms/venues/{room.venue_id}/",
        f"/rooms/rooms/{room.pk}/",
        f"/rooms/walls/{wall.pk}/",
    ]


def test_pages_are_whole_for_a_reader(sign_in, wall):
    client = sign_in("curator")
    for url in pages(wall):
        answer = client.get(url)
        assert (url, answer.status_code) == (url, 200)
        assert len(select(answer, "h1")) == 1
        assert select(answer, "main form") == []


def test_pages_outsider(sign_in, wall):
    client = sign_in()
    assert {client.get(url).status_code for url in pages(wall)} == {404}


def test_pages_nobody(client, wall):
    for url in pages(wall):
        assert client.get(url)["Location"] == f"/sign-in/?next={url}"


def test_changes_without_right(sign_in, wall):
    client = sign_in("technician")
    LightZoneFactory(wall=wall)
    urls = [
        "/rooms/venues/new/",
        f"/rooms/venues/{wall.room.venue_id}/edit/",
        f"/rooms/rooms/{wall.room_id}/move/",
        f"/rooms/walls/{wall.pk}/edit/",
        f"/rooms/walls/{wall.pk}/light/add/",
        f"/rooms/wall/{wall.pk}/remove/",
    ]
    assert {client.post(url).status_code for url in urls} == {403}
    assert Wall.objects.count() == 1


def test_wall_lengths_with_units(sign_in):
    room = RoomFactory()
    client = sign_in("designer")
    data = {"name": "Main wall", "length_mm": "36 m", "height_mm": "11 ft 6 in"}
    client.post(f"/rooms/rooms/{room.pk}/", data)
    wall = Wall.objects.get()
    assert (wall.length_mm, wall.height_mm) == (36_000, 3505)


def test_wall_too_long_says_so(sign_in):
    room = RoomFactory()
    data = {"name": "Main wall", "length_mm": "900 m", "height_mm": "3600"}
    answer = sign_in("designer").post(f"/rooms/rooms/{room.pk}/", data)
    assert answer.status_code == 422
    assert "900000 mm is over 500000 mm: check the unit." in answer.content.decode()
    assert Wall.objects.count() == 0


@pytest.mark.parametrize(
    ("kind", "data", "model"),
    [
        ("blocked", {"what": "door", "x_mm": 900, "y_mm": 0, "width_mm": 1200, "height_mm": 2100},
         BlockedArea),
        ("light", {"from_mm": 0, "to_mm": "4.8 m", "lux": 50}, LightZone),
        ("fixing", {"from_mm": 0, "to_mm": 12_000, "max_kg_per_object": 40}, Fixing),
    ],
)  # fmt: skip
def test_part_added_then_removed_then_undone(sign_in, wall, kind, data, model):
    client = sign_in("designer")
    client.post(f"/rooms/walls/{wall.pk}/{kind}/add/", data)
    part = model.objects.get()
    assert part.wall == wall
    answer = client.post(f"/rooms/{kind}/{part.pk}/remove/", follow=True)
    assert model.objects.count() == 0
    (form,) = select(answer, "#messages form")
    client.post(form.get("action"))
    assert model.objects.count() == 1


def test_part_beyond_the_wall(sign_in, wall):
    data = {"from_mm": 0, "to_mm": 12_001, "lux": 50}
    answer = sign_in("designer").post(f"/rooms/walls/{wall.pk}/light/add/", data)
    assert answer.status_code == 422
    assert "12001 mm is beyond the wall's 12000 mm." in words(select(answer, ".error-summary")[0])


def test_remove_venue_in_use(sign_in, wall):
    exhibition = ExhibitionFactory(venue=VenueFactory(name="Annex"))
    answer = sign_in("designer").post(f"/rooms/venue/{exhibition.venue_id}/remove/", follow=True)
    assert f"exhibition “{exhibition}” uses it" in words(select(answer, "#messages")[0])
    assert Venue.objects.filter(name="Annex").count() == 1


def test_move_room(sign_in):
    first = RoomFactory(name="First", position=0)
    RoomFactory(name="Second", position=1, venue=first.venue)
    sign_in("designer").post(f"/rooms/rooms/{first.pk}/move/", {"to": "later"})
    assert list(Room.objects.values_list("name", flat=True)) == ["Second", "First"]


def test_wall_page_draws_what_is_there(sign_in, wall):
    LightZoneFactory(wall=wall, lux=50)
    BlockedArea.objects.create(wall=wall, what="door", x_mm=1, width_mm=900, height_mm=2000)
    (drawing,) = select(sign_in("technician").get(f"/rooms/walls/{wall.pk}/"), ".drawing svg")
    assert {"door", "50 lx"} <= {words(text) for text in drawing.iter("{*}text", "text")}


def test_query_count_stays(sign_in, wall):
    client = sign_in("designer")

    def counts():
        found = []
        for url in pages(wall):
            with CaptureQueriesContext(connection) as queries:
                client.get(url)
            found.append(len(queries))
        return found

    LightZoneFactory(wall=wall)
    FixingFactory(wall=wall)
    few = counts()
    for n in range(29):
        LightZoneFactory(wall=WallFactory(room=wall.room, name=f"Wall {n}", position=n + 1))
        FixingFactory(wall=wall)
    assert counts() == few
