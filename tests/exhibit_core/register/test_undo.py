"""Every change to the register can be taken back while it holds, by those who may make it."""

import datetime

import pytest

from exhibit_core.history.models import Entry
from exhibit_core.history.queries import history_of
from exhibit_core.history.undo import undo_batch
from exhibit_core.register import actions
from exhibit_core.register.models import Lender, Measurement, MuseumObject
from exhibit_core.web.errors import RefusedError
from tests.factories import ListEntryFactory, MuseumObjectFactory

pytestmark = pytest.mark.django_db
SIZE = {"state": "framed", "basis": "measured", "height_mm": 400, "width_mm": 300}


@pytest.fixture
def registrar(make_person):
    return make_person("registrar")


def undo_latest(target, person):
    return undo_batch(batch=history_of(target)[0].batch, by=person)


def test_new_object_is_taken_out_again(registrar):
    obj = actions.create_object(values={"number": "7.1", "title": "Kite"}, by=registrar)
    key = obj.pk
    undo_latest(obj, registrar)
    assert MuseumObject.objects.count() == 0
    assert [(entry.sentence, entry.undone) for entry in Entry.objects.filter(target_id=key)] == [
        ("Took out 7.1 Kite again", False),
        ("Added 7.1", True),
    ]


def test_new_object_that_was_measured_since_stays(registrar):
    obj = actions.create_object(values={"number": "7.1", "title": "Kite"}, by=registrar)
    created = history_of(obj)[0].batch
    actions.add_measurement(obj=obj, values=SIZE, by=registrar)
    with pytest.raises(RefusedError, match="was worked on since it was added"):
        undo_batch(batch=created, by=registrar)
    assert Measurement.objects.get().object == obj


def test_new_object_that_is_listed_stays(registrar):
    obj = actions.create_object(values={"number": "7.1", "title": "Kite"}, by=registrar)
    ListEntryFactory(object=obj)
    with pytest.raises(RefusedError, match=r"on a list\. Take it off there first"):
        undo_latest(obj, registrar)
    assert MuseumObject.objects.get() == obj


def test_sizes_that_came_with_a_change_are_withdrawn_and_brought_back(registrar):
    obj = MuseumObjectFactory(number="7.1")
    change = actions.ObjectChange(obj, {}, [Measurement(**SIZE)])
    actions.save_objects(changes=[change], by=registrar, words="from list.csv")
    undo_latest(obj, registrar)
    assert Measurement.objects.get().withdrawn is True
    assert history_of(obj)[0].sentence == "Withdrew sizes of 7.1"
    undo_latest(obj, registrar)
    assert Measurement.objects.get().withdrawn is False
    assert history_of(obj)[0].sentence == "Brought back sizes of 7.1"


def test_new_lender_is_taken_out_again_unless_it_lends(registrar):
    idle = actions.create_lender(values={"name": "Idle Trust"}, by=registrar)
    busy = actions.create_lender(values={"name": "Tarnbeck Trust"}, by=registrar)
    MuseumObjectFactory(number="7.1", lender=busy)
    undo_latest(idle, registrar)
    with pytest.raises(RefusedError, match=r"Tarnbeck Trust lends 7\.1"):
        undo_latest(busy, registrar)
    assert list(Lender.objects.all()) == [busy]


def test_lender_address_is_changed_back(registrar):
    lender = actions.create_lender(
        values={"name": "Tarnbeck Trust", "address": "1 Quiet Lane"}, by=registrar
    )
    actions.update_lender(lender=lender, values={"address": "2 Mill Row"}, version=1, by=registrar)
    undo_latest(lender, registrar)
    lender.refresh_from_db()
    assert (lender.address, lender.version) == ("1 Quiet Lane", 3)


@pytest.mark.parametrize("role", ["curator", "head", "technician"])
def test_lender_is_not_changed_back_by_others(registrar, make_person, role):
    lender = actions.create_lender(values={"name": "Tarnbeck Trust"}, by=registrar)
    actions.update_lender(lender=lender, values={"address": "2 Mill Row"}, version=1, by=registrar)
    with pytest.raises(RefusedError, match="does not let you change money values and lenders"):
        undo_latest(lender, make_person(role))
    assert Lender.objects.get().address == "2 Mill Row"


def test_curator_does_not_take_back_a_value(registrar, make_person):
    obj = MuseumObjectFactory()
    values = {"value": "1200", "currency": "EUR"}
    actions.update_object(obj=obj, values=values, version=1, by=registrar)
    with pytest.raises(RefusedError) as refusal:
        undo_latest(obj, make_person("curator"))
    assert "1200" not in str(refusal.value)
    obj.refresh_from_db()
    assert (obj.value, obj.currency) == (1200, "EUR")


def test_undo_of_a_lost_object_says_so(registrar):
    obj = MuseumObjectFactory(number="7.1")
    actions.update_object(obj=obj, values={"title": "Kite"}, version=1, by=registrar)
    batch = history_of(obj)[0].batch
    obj.delete()
    with pytest.raises(RefusedError, match=r"No longer in the register: Changed 7\.1"):
        undo_batch(batch=batch, by=registrar)


def test_measured_twice_is_taken_back_at_once(registrar):
    obj = MuseumObjectFactory()
    day = datetime.date(2027, 1, 5)
    actions.add_measurements(obj=obj, each=[SIZE, {**SIZE, "on": day}], by=registrar)
    undo_latest(obj, registrar)
    assert list(Measurement.objects.values_list("withdrawn", flat=True)) == [True, True]
