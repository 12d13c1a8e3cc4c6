"""Bringing a list in: all of it or nothing, and only what was shown."""

from decimal import Decimal

import pytest

from exhibit_core.exchange.models import ObjectList
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.history.models import Entry
from exhibit_core.jobs import runner
from exhibit_core.jobs.models import Job
from exhibit_core.register.models import Lender, Measurement, MuseumObject
from exhibit_core.web.errors import RefusedError
from tests.exhibit_core.exchange.flow import bring_in, csv, plans, preview
from tests.factories import (
    ExhibitionFactory,
    ListEntryFactory,
    MuseumObjectFactory,
    SectionFactory,
)

pytestmark = pytest.mark.django_db(transaction=True)
LIST = csv(
    "Object number;Title;Date;Size;Weight (kg);Lender;Value (EUR)",
    "1;Vane;about 1765;30 x 20 x 4 cm;2.5;New Lender;1250",
    "2;Kite;;;;New Lender;",
    "3;Same;;;;;",
)


@pytest.fixture
def registrar(make_person):
    return make_person("registrar")


def entries_of(obj):
    return list(Entry.objects.filter(target_type="register.museumobject", target_id=obj.pk))


def test_objects_are_added_and_changed(registrar):
    kite = MuseumObjectFactory(number="2", title="Old kite")
    same = MuseumObjectFactory(number="3", title="Same")
    done = bring_in(preview(LIST, by=registrar), by=registrar)
    assert done.state == ObjectList.State.APPLIED
    vane = MuseumObject.objects.get(number="1")
    assert (vane.title, vane.year_from, vane.year_to) == ("Vane", 1760, 1770)
    assert (vane.value, vane.currency, vane.lender.name) == (Decimal(1250), "EUR", "New Lender")
    assert vane.search_text == "1 vane about 1765 new lender"
    size = Measurement.objects.get(object=vane)
    assert (size.height_mm, size.width_mm, size.depth_mm, size.mass_g) == (300, 200, 40, 2500)
    assert (size.state, size.basis) == ("bare", "stated")
    assert (size.source_text, size.recorded_by) == ("30 x 20 x 4 cm", registrar)
    kite.refresh_from_db()
    assert (kite.title, kite.lender, kite.version) == ("Kite", vane.lender, 2)
    same.refresh_from_db()
    assert same.version == 1
    assert Lender.objects.count() == 1


def test_each_object_has_one_entry_of_history(registrar):
    kite = MuseumObjectFactory(number="2", title="Old kite")
    same = MuseumObjectFactory(number="3", title="Same")
    done = bring_in(preview(LIST, by=registrar), by=registrar)
    vane = MuseumObject.objects.get(number="1")
    [added], [changed] = entries_of(vane), entries_of(kite)
    assert added.sentence == "Added 1 from list.csv"
    assert changed.sentence == "Changed 2 from list.csv"
    assert changed.changes == {"title": ["Old kite", "Kite"], "lender": [None, vane.lender_id]}
    assert added.batch == changed.batch == done.batch
    assert {added.by, changed.by} == {registrar}
    assert entries_of(same) == []


def test_list_of_an_exhibition(registrar):
    exhibition = ExhibitionFactory()
    section = SectionFactory(exhibition=exhibition, number="2")
    listed = ListEntryFactory(exhibition=exhibition, object__number="1", stage="long_list")
    data = csv(
        "Object number,Title,Section,Stage,Order",
        "1,,2,selected,4",
        "2,Kite,2,,7",
        "3,Flag,,reserve,",
    )
    bring_in(preview(data, by=registrar, exhibition=exhibition), by=registrar)
    rows = ListEntry.objects.order_by("object__number")
    assert list(rows.values_list("object__number", "section", "stage", "position")) == [
        ("1", section.pk, "selected", 4),
        ("2", section.pk, "long_list", 7),
        ("3", None, "reserve", 0),
    ]
    listed.refresh_from_db()
    assert listed.version == 2
    assert plans(preview(data, by=registrar, exhibition=exhibition))[0].outcome == "unchanged"


def test_refused_rows_are_left_out_only_when_said(registrar):
    shown = preview(csv("Object number,Title,Lux", "1,Vane,50", "2,Kite,dim"), by=registrar)
    with pytest.raises(RefusedError, match="1 rows are refused: tick that they are left out"):
        bring_in(shown, by=registrar)
    assert MuseumObject.objects.count() == 0
    bring_in(shown, by=registrar, leave_out_refused=True)
    assert [obj.number for obj in MuseumObject.objects.all()] == ["1"]


def test_list_that_changes_nothing_is_refused(registrar):
    MuseumObjectFactory(number="1", title="Vane")
    shown = preview(csv("Object number,Title", "1,Vane"), by=registrar)
    with pytest.raises(RefusedError, match="no row is new or changed"):
        bring_in(shown, by=registrar)


def test_list_is_brought_in_once(registrar):
    shown = preview(LIST, by=registrar)
    bring_in(shown, by=registrar)
    with pytest.raises(RefusedError, match="in the register already"):
        bring_in(shown, by=registrar)


def test_job_that_runs_twice_does_nothing_more(registrar):
    done = bring_in(preview(LIST, by=registrar), by=registrar)
    before = Entry.objects.count()
    Job.objects.filter(pk=done.job_id).update(state=Job.State.WAITING)
    runner.run_waiting()
    done.job.refresh_from_db()
    assert done.job.state == Job.State.DONE
    assert Entry.objects.count() == before


def test_register_that_changed_since_the_preview(registrar):
    kite = MuseumObjectFactory(number="2", title="Old kite")
    shown = preview(LIST, by=registrar)
    MuseumObject.objects.filter(pk=kite.pk).update(title="Newer kite")
    failed = bring_in(shown, by=registrar)
    assert failed.state == ObjectList.State.PREVIEWED
    assert failed.job.state == Job.State.FAILED
    assert failed.job.words == (
        "The register changed since the preview: row 3 (2) would now do something else. Nothing "
        "was brought in. Make the preview anew."
    )
    assert MuseumObject.objects.count() == 1
    assert Lender.objects.count() == 0


def test_change_that_does_not_concern_the_list_is_no_hindrance(registrar):
    kite = MuseumObjectFactory(number="2", title="Old kite")
    shown = preview(LIST, by=registrar)
    MuseumObject.objects.filter(pk=kite.pk).update(place="Hexwater")
    bring_in(shown, by=registrar)
    kite.refresh_from_db()
    assert (kite.title, kite.place) == ("Kite", "Hexwater")


def test_right_that_was_lost_since_the_preview(registrar):
    shown = preview(LIST, by=registrar)
    registrar.roles = ["curator"]
    registrar.save()
    failed = bring_in(shown, by=registrar)
    assert failed.job.words == "Size: your role does not let you record dimensions and pictures."
    assert MuseumObject.objects.count() == 0


def test_many_rows_come_in_chunk_by_chunk(registrar):
    """Numbers that differ only in their writing, in different chunks, do not disturb the plan."""
    lines = [f"2001.{n},Kite {n}" for n in range(1, 1_200)]
    data = csv("Object number,Title", *lines, "2001-1,Kite again")
    done = bring_in(preview(data, by=registrar), by=registrar)
    assert done.state == ObjectList.State.APPLIED
    assert MuseumObject.objects.count() == 1_200


def test_texts_that_begin_as_formulas_come_in_as_texts(registrar):
    bring_in(preview(csv("Object number,Title", "1,=1+1", "2,'-cold"), by=registrar), by=registrar)
    titles = MuseumObject.objects.order_by("number").values_list("title", flat=True)
    assert list(titles) == ["=1+1", "-cold"]
