import pytest
from django.core.exceptions import ValidationError

from exhibit_core.history.queries import history_of
from exhibit_core.history.undo import undo_batch
from exhibit_core.spaces import actions
from exhibit_core.spaces.models import BlockedArea, Fixing, Wall
from exhibit_core.web.errors import RefusedError
from tests.factories import HangFactory, LightZoneFactory, RoomFactory, WallFactory


def door(wall, x_mm=9000):
    return BlockedArea(wall=wall, what="door", x_mm=x_mm, y_mm=0, width_mm=1200, height_mm=2100)


def test_add_blocked_area_is_told_and_undone(make_person):
    wall, person = WallFactory(), make_person("designer")
    actions.add(row=door(wall), by=person)
    (entry,) = history_of(wall)
    assert entry.sentence == "Added door"
    undo_batch(batch=entry.batch, by=person)
    assert BlockedArea.objects.count() == 0
    assert Wall.objects.get().version == 3


def test_add_beyond_wall_is_refused(make_person):
    with pytest.raises(ValidationError, match="It ends at 12200 mm; the wall is 12000 mm long"):
        actions.add(row=door(WallFactory(), x_mm=11_000), by=make_person("designer"))


def test_change_wall_below_its_parts_is_refused(make_person):
    wall, person = WallFactory(), make_person("designer")
    actions.add(row=door(wall), by=person)
    with pytest.raises(RefusedError, match="door ends at 10200 mm, beyond 10000 mm"):
        actions.change(row=wall, values={"length_mm": 10_000}, by=person)
    assert Wall.objects.get().length_mm == 12_000


def test_change_is_undone_unless_changed_again(make_person):
    wall, person = WallFactory(), make_person("designer")
    actions.change(row=wall, values={"length_mm": 11_000}, by=person)
    first = history_of(wall)[0]
    actions.change(row=wall, values={"length_mm": 10_000}, by=person)
    with pytest.raises(RefusedError, match="changed again since"):
        undo_batch(batch=first.batch, by=person)
    undo_batch(batch=history_of(wall)[0].batch, by=person)
    assert Wall.objects.get().length_mm == 11_000


def test_change_fixing_keeps_its_decimals(make_person):
    wall, person = WallFactory(), make_person("designer")
    row = actions.add(row=Fixing(wall=wall, from_mm=0, to_mm=500, max_kg_per_m="60"), by=person)
    actions.remove(row=Fixing.objects.get(pk=row.pk), by=person)
    undo_batch(batch=history_of(wall)[0].batch, by=person)
    assert str(Fixing.objects.get().max_kg_per_m) == "60.0"


def test_remove_wall_comes_back_with_its_parts(make_person):
    wall, person = WallFactory(), make_person("designer")
    actions.add(row=door(wall), by=person)
    LightZoneFactory(wall=wall)
    room = wall.room
    actions.remove(row=wall, by=person)
    assert Wall.objects.count() == 0
    undo_batch(batch=history_of(room)[0].batch, by=person)
    back = Wall.objects.get()
    assert [part.what for part in back.blocked_areas.all()] == ["door"]
    assert [zone.lux for zone in back.light_zones.all()] == [50]


def test_remove_wall_of_a_hang_is_refused(make_person):
    wall = WallFactory()
    HangFactory(title="Spring").walls.add(wall)
    with pytest.raises(RefusedError, match="cannot be removed: hang “Spring” uses it"):
        actions.remove(row=wall, by=make_person("designer"))


def test_remove_room_with_walls_is_refused(make_person):
    wall = WallFactory()
    with pytest.raises(RefusedError, match="cannot be removed: wall"):
        actions.remove(row=wall.room, by=make_person("designer"))


def test_move_wall_changes_order_and_is_undone(make_person):
    room, person = RoomFactory(), make_person("designer")
    walls = [
        actions.add(row=Wall(room=room, name=name, length_mm=5000, height_mm=3000), by=person)
        for name in "abc"
    ]

    def names():
        return [wall.name for wall in room.walls.all()]

    actions.move(row=walls[2], later=False, by=person)
    assert names() == ["a", "c", "b"]
    undo_batch(batch=history_of(walls[2])[0].batch, by=person)
    assert names() == ["a", "b", "c"]
    actions.move(row=walls[0], later=False, by=person)
    assert names() == ["a", "b", "c"]


def test_undo_without_right_is_refused(make_person):
    wall = WallFactory()
    actions.add(row=door(wall), by=make_person("designer"))
    with pytest.raises(RefusedError, match="does not let you describe rooms"):
        undo_batch(batch=history_of(wall)[0].batch, by=make_person("curator"))
