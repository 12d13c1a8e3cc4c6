"""Every change leaves a row, and can be taken back while nobody changed it again."""

import pytest

from exhibit_core.history.models import Entry
from exhibit_core.history.queries import history_of
from exhibit_core.history.undo import undo_batch
from exhibit_core.register.actions import create_object, update_object
from exhibit_core.web.errors import RefusedError, StaleError

pytestmark = pytest.mark.django_db


@pytest.fixture
def registrar(make_person):
    return make_person("registrar")


@pytest.fixture
def vane(registrar):
    return create_object(values={"number": "1987.12.1", "title": "Vane"}, by=registrar)


def test_update_object_records_old_and_new(vane, registrar):
    update_object(obj=vane, values={"title": "Weather vane"}, version=vane.version, by=registrar)
    entry = history_of(vane)[0]
    assert (entry.by, entry.changes) == (registrar, {"title": ["Vane", "Weather vane"]})


def test_update_object_keeps_money_apart(vane, registrar):
    values = {"value": "1200.00", "currency": "EUR"}
    update_object(obj=vane, values=values, version=vane.version, by=registrar)
    entry = history_of(vane)[0]
    assert entry.changes == {}
    assert entry.private == {"value": [None, "1200.00"], "currency": ["", "EUR"]}


def test_update_object_without_change_records_nothing(vane, registrar):
    update_object(obj=vane, values={"title": "Vane"}, version=vane.version, by=registrar)
    assert history_of(vane).count() == 1


def test_update_object_stale(vane, registrar):
    update_object(obj=vane, values={"title": "One"}, version=1, by=registrar)
    with pytest.raises(StaleError) as refusal:
        update_object(obj=vane, values={"title": "Two"}, version=1, by=registrar)
    assert refusal.value.theirs == {"title": "One"}


def test_undo_puts_the_old_value_back(vane, registrar):
    update_object(obj=vane, values={"title": "Other"}, version=1, by=registrar)
    undo_batch(batch=history_of(vane)[0].batch, by=registrar)
    vane.refresh_from_db()
    assert vane.title == "Vane"


def test_undo_refuses_what_was_changed_since(vane, registrar):
    update_object(obj=vane, values={"title": "Other"}, version=1, by=registrar)
    batch = history_of(vane)[0].batch
    update_object(obj=vane, values={"title": "Third"}, version=2, by=registrar)
    with pytest.raises(RefusedError, match="title is now Third"):
        undo_batch(batch=batch, by=registrar)
    assert Entry.objects.get(batch=batch).undone is False


def test_undo_without_right(vane, registrar, make_person):
    update_object(obj=vane, values={"title": "Other"}, version=1, by=registrar)
    with pytest.raises(RefusedError, match="does not let you"):
        undo_batch(batch=history_of(vane)[0].batch, by=make_person("technician"))
    vane.refresh_from_db()
    assert vane.title == "Other"


def test_undo_twice(vane, registrar):
    update_object(obj=vane, values={"title": "Other"}, version=1, by=registrar)
    batch = history_of(vane)[0].batch
    undo_batch(batch=batch, by=registrar)
    with pytest.raises(RefusedError, match="undone already"):
        undo_batch(batch=batch, by=registrar)
