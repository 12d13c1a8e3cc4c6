"""Changing an exhibition's list and sections, and taking it back."""

import pytest
from django.core.exceptions import ValidationError

from exhibit_core.exhibitions import actions
from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.exhibitions.queries import acts_on_list
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undo_batch
from exhibit_core.web.errors import RefusedError, StaleError
from tests.factories import (
    ExhibitionFactory,
    HangFactory,
    ListEntryFactory,
    MuseumObjectFactory,
    SectionFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def curator(make_person):
    return make_person("curator")


@pytest.fixture
def exhibition():
    return ExhibitionFactory()


def places(exhibition):
    return {e.object.number: e.position for e in exhibition.entries.select_related("object")}


def test_add_to_list_leaves_listed_objects(exhibition, curator):
    known = ListEntryFactory(exhibition=exhibition, stage="reserve")
    new = MuseumObjectFactory()
    added = actions.add_to_list(
        exhibition=exhibition,
        objects=[known.object, new],
        by=curator,
        values_by_object={new.pk: {"stage": "selected"}},
    )
    assert [entry.object for entry in added] == [new]
    stages = dict(exhibition.entries.values_list("object", "stage"))
    assert stages == {known.object_id: "reserve", new.pk: "selected"}
    assert Entry.objects.filter(action="exhibitions.add_to_list").count() == 1


def test_add_to_list_undone_takes_objects_off(exhibition, curator):
    added = actions.add_to_list(
        exhibition=exhibition, objects=[MuseumObjectFactory() for _ in range(3)], by=curator
    )
    undo_batch(batch=Entry.objects.get(target_id=added[0].pk).batch, by=curator)
    assert exhibition.entries.count() == 0


def test_add_to_list_undo_refused_after_change(exhibition, curator):
    [entry] = actions.add_to_list(
        exhibition=exhibition, objects=[MuseumObjectFactory()], by=curator
    )
    batch = Entry.objects.get().batch
    actions.change_entries(entries=[entry], values={"note": "lead frame"}, by=curator)
    with pytest.raises(RefusedError, match="was changed since"):
        undo_batch(batch=batch, by=curator)
    assert exhibition.entries.count() == 1


def test_add_to_list_undo_refused_where_a_hang_uses_it(exhibition, curator):
    added = actions.add_to_list(
        exhibition=exhibition, objects=[MuseumObjectFactory() for _ in range(2)], by=curator
    )
    rule = HangFactory(exhibition=exhibition).rules.create(kind="together")
    rule.entries.set(added)
    with pytest.raises(RefusedError, match="is in use since"):
        undo_batch(batch=Entry.objects.first().batch, by=curator)
    assert exhibition.entries.count() == 2


def test_removal_undone_puts_objects_back_as_they_stood(exhibition, curator):
    section = SectionFactory(exhibition=exhibition)
    obj = MuseumObjectFactory()
    values = {"stage": "selected", "section": section, "position": 3, "note": "two hooks"}
    [entry] = actions.add_to_list(
        exhibition=exhibition, objects=[obj], by=curator, values_by_object={obj.pk: values}
    )
    key = entry.pk
    undo_batch(batch=Entry.objects.first().batch, by=curator)
    assert exhibition.entries.count() == 0
    [act] = [act for act in acts_on_list(exhibition) if act.undoable]
    undo_batch(batch=act.entry.batch, by=curator)
    row = exhibition.entries.get()
    assert (row.pk, row.object, row.section, row.stage) == (key, obj, section, "selected")
    assert (row.position, row.note) == (3, "two hooks")


def test_removal_undo_refused_where_the_object_is_listed_again(exhibition, curator):
    obj = MuseumObjectFactory()
    actions.add_to_list(exhibition=exhibition, objects=[obj], by=curator)
    undo_batch(batch=Entry.objects.first().batch, by=curator)
    removal = Entry.objects.first().batch
    actions.add_to_list(exhibition=exhibition, objects=[obj], by=curator)
    with pytest.raises(RefusedError, match="on the list again"):
        undo_batch(batch=removal, by=curator)
    assert exhibition.entries.count() == 1


def test_change_entries_records_each_entry_that_changed(exhibition, curator):
    section = SectionFactory(exhibition=exhibition)
    first = ListEntryFactory(exhibition=exhibition, stage="long_list")
    same = ListEntryFactory(exhibition=exhibition, stage="selected", section=section)
    changed = actions.change_entries(
        entries=[first, same], values={"stage": "selected", "section": section}, by=curator
    )
    assert [entry.pk for entry in changed] == [first.pk]
    first.refresh_from_db()
    assert (first.stage, first.section, first.version) == ("selected", section, 2)
    assert Entry.objects.get().changes == {
        "stage": ["long_list", "selected"],
        "section": [None, section.pk],
    }


def test_change_entries_withdrawn_without_reason_saves_nothing(exhibition, curator):
    entries = [ListEntryFactory(exhibition=exhibition) for _ in range(2)]
    with pytest.raises(ValidationError, match="Say why it is withdrawn"):
        actions.change_entries(entries=entries, values={"stage": "withdrawn"}, by=curator)
    assert set(exhibition.entries.values_list("stage", "version")) == {("selected", 1)}
    assert Entry.objects.count() == 0


def test_change_entries_other_exhibitions_section_refused(exhibition, curator):
    entry = ListEntryFactory(exhibition=exhibition)
    with pytest.raises(ValidationError, match="belongs to another exhibition"):
        actions.change_entries(entries=[entry], values={"section": SectionFactory()}, by=curator)


def test_change_entries_leaving_withdrawn_clears_reason(exhibition, curator):
    entry = ListEntryFactory(exhibition=exhibition, stage="withdrawn", reason="too fragile")
    actions.change_entries(entries=[entry], values={"stage": "reserve"}, by=curator)
    entry.refresh_from_db()
    assert (entry.stage, entry.reason) == ("reserve", "")


def test_change_entries_undone_restores_each_value(exhibition, curator):
    old = SectionFactory(exhibition=exhibition)
    new = SectionFactory(exhibition=exhibition)
    entries = [
        ListEntryFactory(exhibition=exhibition, section=old, stage="short_list"),
        ListEntryFactory(exhibition=exhibition, section=None, stage="long_list"),
    ]
    values = {"section": new, "stage": "selected"}
    actions.change_entries(entries=entries, values=values, by=curator)
    undo_batch(batch=Entry.objects.first().batch, by=curator)
    rows = ListEntry.objects.order_by("pk").values_list("section", "stage")
    assert list(rows) == [(old.pk, "short_list"), (None, "long_list")]


def test_change_entries_undo_without_right_refused(exhibition, curator, make_person):
    entry = ListEntryFactory(exhibition=exhibition)
    actions.change_entries(entries=[entry], values={"stage": "reserve"}, by=curator)
    with pytest.raises(RefusedError, match="Your role does not let you"):
        undo_batch(batch=Entry.objects.get().batch, by=make_person("technician"))
    entry.refresh_from_db()
    assert entry.stage == "reserve"


def test_change_entries_query_count_is_independent_of_rows(
    exhibition, curator, django_assert_num_queries
):
    few = [ListEntryFactory(exhibition=exhibition)]
    many = [ListEntryFactory(exhibition=exhibition) for _ in range(30)]
    for entries in (few, many):
        with django_assert_num_queries(5):
            actions.change_entries(entries=entries, values={"stage": "reserve"}, by=curator)


def test_update_entry_stale_keeps_theirs(exhibition, curator):
    entry = ListEntryFactory(exhibition=exhibition)
    actions.change_entries(entries=[entry], values={"note": "theirs"}, by=curator)
    with pytest.raises(StaleError) as stale:
        actions.update_entry(entry=entry, values={"note": "mine"}, version=1, by=curator)
    assert stale.value.theirs == {"note": "theirs"}
    assert stale.value.version == 2


def test_update_entry_position_moves_others_along_and_back(exhibition, curator):
    numbers = ["2001.45.2", "2001.45.10", "2001.45.11"]
    entries = [
        ListEntryFactory(exhibition=exhibition, object=MuseumObjectFactory(number=number))
        for number in numbers
    ]
    actions.update_entry(entry=entries[2], values={"position": 1}, version=1, by=curator)
    assert places(exhibition) == {"2001.45.11": 1, "2001.45.2": 2, "2001.45.10": 3}
    undo_batch(batch=Entry.objects.first().batch, by=curator)
    assert places(exhibition) == {"2001.45.2": 1, "2001.45.10": 2, "2001.45.11": 3}


def test_delete_section_undone_gives_objects_back(exhibition, curator):
    section = SectionFactory(exhibition=exhibition, number="3", title="Clouds", key_message="Look")
    entry = ListEntryFactory(exhibition=exhibition, section=section)
    key = section.pk
    actions.delete_section(section=section, by=curator)
    entry.refresh_from_db()
    assert entry.section is None
    undo_batch(batch=Entry.objects.first().batch, by=curator)
    entry.refresh_from_db()
    assert entry.section_id == key
    assert Section.objects.values_list("number", "title", "key_message").get() == (
        "3",
        "Clouds",
        "Look",
    )


def test_move_section_undone_restores_order(exhibition, curator):
    first, second = (SectionFactory(exhibition=exhibition, position=n) for n in range(2))
    actions.move_section(section=second, places=-1, by=curator)
    assert list(exhibition.sections.all()) == [second, first]
    undo_batch(batch=Entry.objects.get().batch, by=curator)
    assert list(exhibition.sections.all()) == [first, second]


def test_venue_named_finds_known_name_in_other_case(exhibition, curator):
    name = exhibition.venue.name
    assert actions.venue_named(name=name.upper(), by=curator) == exhibition.venue
    assert actions.venue_named(name="Marrowby Museum", by=curator).name == "Marrowby Museum"
