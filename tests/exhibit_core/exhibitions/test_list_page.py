"""The list page: what it shows, and changes to many rows at once."""

import re

import pytest
from django.urls import reverse

from exhibit_core.history.models import Entry
from tests.factories import (
    ExhibitionFactory,
    LenderFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
)
from tests.pages import select, words

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def exhibition():
    return ExhibitionFactory()


@pytest.fixture
def curator(sign_in):
    return sign_in("curator")


def listed(exhibition, **details):
    entry = {n: details.pop(n) for n in ("stage", "section", "shown_on") if n in details}
    return ListEntryFactory(exhibition=exhibition, object=MuseumObjectFactory(**details), **entry)


def list_of(exhibition, query=""):
    return reverse("exhibitions:list", args=[exhibition.pk]) + query


def change_of(exhibition, query=""):
    return reverse("exhibitions:change", args=[exhibition.pk]) + query


def numbers(response):
    return [words(head) for head in select(response, "tbody th[scope=row]")]


def stages(exhibition):
    return list(exhibition.entries.order_by("pk").values_list("stage", flat=True))


def test_list_fragment_is_results_and_count(curator, exhibition):
    listed(exhibition, title="Étude of a cloud")
    listed(exhibition, title="Vane")
    fragment = curator.get(list_of(exhibition, "?words=etude"), **HTMX)
    text = fragment.content.decode()
    assert "<html" not in text
    assert re.search(r'id="list-count" hx-swap-oob="innerHTML">\s*1 of 2 objects\s*<', text)
    assert len(numbers(fragment)) == 1
    assert fragment["Vary"].split(", ").count("HX-Request") == 1


def test_list_history_restore_is_a_whole_page(curator, exhibition):
    page = curator.get(list_of(exhibition), HTTP_HX_HISTORY_RESTORE_REQUEST="true", **HTMX)
    assert page.content.decode().count("<h1") == 1


def test_list_query_count_is_equal_at_1_and_30_rows(curator, exhibition, django_assert_num_queries):
    section = SectionFactory(exhibition=exhibition)
    for more in (1, 29):
        for _ in range(more):
            entry = listed(exhibition, section=section, lender=LenderFactory())
            MeasurementFactory(object=entry.object)
        with django_assert_num_queries(15):
            page = curator.get(list_of(exhibition))
    assert len(numbers(page)) == 30


def test_list_sort_link_and_aria_sort(curator, exhibition):
    listed(exhibition, number="1", title="Vane")
    listed(exhibition, number="2", title="Kite")
    page = curator.get(list_of(exhibition, "?sort=title"))
    assert numbers(page) == ["2", "1"]
    heads = select(page, "th[aria-sort]")
    assert [(h.get("aria-sort"), words(h).split()[0]) for h in heads] == [("ascending", "Title")]
    assert "sort=-title" in heads[0].find(".//a").get("href")


def test_list_page_size_and_page_beyond_the_last(curator, exhibition):
    for _ in range(51):
        listed(exhibition)
    assert len(numbers(curator.get(list_of(exhibition)))) == 50
    assert len(numbers(curator.get(list_of(exhibition, "?page=99")))) == 1
    assert len(numbers(curator.get(list_of(exhibition, "?per=100")))) == 51


def test_list_filter_that_is_not_valid_says_so(curator, exhibition):
    listed(exhibition)
    page = curator.get(list_of(exhibition, "?max_lux=many"))
    assert page.status_code == 422
    assert "Enter a whole number." in page.content.decode()
    assert len(numbers(page)) == 1


def test_list_empty_leads_on(curator, sign_in, exhibition):
    assert "Add objects from the register" in curator.get(list_of(exhibition)).content.decode()
    seen = sign_in("technician").get(list_of(exhibition)).content.decode()
    assert "The list is empty" in seen
    assert "Add objects" not in seen


def test_list_pictures_are_drawn_to_one_scale(curator, exhibition):
    for width_mm, height_mm in ((3000, 1000), (300, 100)):
        MeasurementFactory(object=listed(exhibition).object, width_mm=width_mm, height_mm=height_mm)
    drawings = select(curator.get(list_of(exhibition)), "td svg")
    assert [(d.get("width"), d.get("height"), d.get("viewbox")) for d in drawings] == [
        ("150.0", "50.0", "0 0 3000 1000"),
        ("15.0", "5.0", "0 0 300 100"),
    ]


def test_list_without_right_to_choose_has_no_controls(sign_in, exhibition):
    listed(exhibition)
    page = sign_in("technician").get(list_of(exhibition))
    assert select(page, "tbody th[scope=row]") != []
    assert select(page, "#bulk, input[type=checkbox][name=entry], a[id^=edit-]") == []


def test_list_value_column_only_for_those_who_see_money(sign_in, exhibition):
    from exhibit_core.exhibitions.models import ColumnChoice

    listed(exhibition, value=1250, currency="EUR")
    for role, seen in (("registrar", True), ("designer", False)):
        client = sign_in(role)
        ColumnChoice.objects.create(
            person_id=int(client.session["_auth_user_id"]), columns=["value"]
        )
        assert ("1,250 EUR" in client.get(list_of(exhibition)).content.decode()) is seen


def test_select_all_on_page_then_all_matching(curator, exhibition):
    for _ in range(51):
        listed(exhibition, stage="long_list")
    listed(exhibition, stage="reserve")
    first = curator.get(list_of(exhibition, "?stage=long_list"))
    assert select(first, "input[name=entry][checked]") == []
    step = select(first, "#select")[0]
    assert words(step) == "Select all on this page"
    second = curator.get(step.get("href"))
    assert len(select(second, "input[name=entry][checked]")) == 50
    step = select(second, "#select")[0]
    assert words(step) == "Select all 51 matching objects"
    third = curator.get(step.get("href"))
    assert len(select(third, "input[name=entry][disabled]")) == 50
    hidden = {i.get("name"): i.get("value") for i in select(third, "#bulk input[type=hidden]")}
    assert (hidden["all"], hidden["expected"]) == ("matching", "51")


def test_change_all_matching_changes_those_and_can_be_undone(curator, exhibition):
    for _ in range(51):
        listed(exhibition, stage="long_list")
    other = listed(exhibition, stage="reserve")
    answer = curator.post(
        change_of(exhibition, "?stage=long_list"),
        {"all": "matching", "expected": "51", "stage": "selected"},
    )
    assert answer.status_code == 302
    assert stages(exhibition) == ["selected"] * 51 + ["reserve"]
    assert Entry.objects.exclude(target_id=other.pk).values("batch").distinct().count() == 1
    page = curator.get(answer["Location"])
    assert "Changed 51 objects." in words(select(page, "#messages")[0])
    [undo] = select(page, "#messages form")
    back = curator.post(
        undo.get("action"), {"next": select(page, "#messages [name=next]")[0].get("value")}
    )
    assert back["Location"] == list_of(exhibition, "?stage=long_list")
    assert stages(exhibition) == ["long_list"] * 51 + ["reserve"]


def test_change_all_matching_refused_when_the_count_moved(curator, exhibition):
    for _ in range(3):
        listed(exhibition, stage="long_list")
    answer = curator.post(
        change_of(exhibition, "?stage=long_list"),
        {"all": "matching", "expected": "2", "stage": "selected"},
    )
    assert answer.status_code == 422
    assert "You chose 2 matching objects, but 3 match now" in answer.content.decode()
    assert stages(exhibition) == ["long_list"] * 3


def test_change_all_matching_with_invalid_narrowing_refused(curator, exhibition):
    listed(exhibition, stage="long_list")
    answer = curator.post(
        change_of(exhibition, "?max_lux=many"),
        {"all": "matching", "expected": "1", "stage": "selected"},
    )
    assert answer.status_code == 422
    assert stages(exhibition) == ["long_list"]


def test_change_ticked_rows_leaves_the_rest(curator, exhibition):
    first, second = listed(exhibition), listed(exhibition)
    section = SectionFactory(exhibition=exhibition)
    curator.post(change_of(exhibition), {"entry": [first.pk], "section": section.pk})
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.section, first.stage, first.shown_on) == (section, "selected", "wall")
    assert second.section is None


def test_change_section_and_place_to_none(curator, exhibition):
    entry = listed(exhibition, section=SectionFactory(exhibition=exhibition), shown_on="wall")
    curator.post(
        change_of(exhibition), {"entry": [entry.pk], "section": "none", "shown_on": "none"}
    )
    entry.refresh_from_db()
    assert (entry.section, entry.shown_on) == (None, "")


@pytest.mark.parametrize(
    ("posted", "sentence"),
    [
        ({"stage": "selected"}, "Choose at least one object"),
        ({"entry": "mine"}, "Nothing to change"),
        ({"entry": "mine", "stage": "withdrawn"}, "Say why they are withdrawn."),
        ({"entry": "9" * 18, "stage": "selected"}, "1 of the chosen objects left the list"),
        ({"entry": "other", "stage": "selected"}, "1 of the chosen objects left the list"),
        ({"entry": "one", "stage": "selected"}, "Choose at least one object"),
    ],
)
def test_change_refused_says_why_and_keeps_ticks(curator, exhibition, posted, sentence):
    mine, other = listed(exhibition, stage="long_list"), ListEntryFactory(stage="long_list")
    keys = {"mine": str(mine.pk), "other": str(other.pk)}
    if "entry" in posted:
        posted = {**posted, "entry": keys.get(posted["entry"], posted["entry"])}
    answer = curator.post(change_of(exhibition), posted)
    assert answer.status_code == 422
    errors = words(select(answer, "#bulk [role=alert]")[0])
    assert sentence in errors
    ticked = [box.get("value") for box in select(answer, "[name=entry][checked]")]
    assert ticked == [str(mine.pk)] * (posted.get("entry") == str(mine.pk))
    other.refresh_from_db()
    assert (stages(exhibition), other.stage) == (["long_list"], "long_list")


def test_change_that_changes_nothing_says_so(curator, exhibition):
    entry = listed(exhibition, stage="reserve")
    answer = curator.post(
        change_of(exhibition), {"entry": [entry.pk], "stage": "reserve"}, follow=True
    )
    assert "Nothing changed" in answer.content.decode()
    assert Entry.objects.count() == 0


def test_change_withdrawn_needs_and_keeps_the_reason(curator, exhibition):
    entry = listed(exhibition)
    posted = {"entry": [entry.pk], "stage": "withdrawn", "reason": "too fragile"}
    curator.post(change_of(exhibition), posted)
    entry.refresh_from_db()
    assert (entry.stage, entry.reason) == ("withdrawn", "too fragile")


def test_change_role_without_right(sign_in, exhibition):
    entry = listed(exhibition, stage="long_list")
    posted = {"entry": [entry.pk], "stage": "selected"}
    assert sign_in("designer").post(change_of(exhibition), posted).status_code == 403
    assert sign_in().post(change_of(exhibition), posted).status_code == 404
    assert stages(exhibition) == ["long_list"]


@pytest.mark.parametrize(
    ("referer", "onward"),
    [
        (
            "http://testserver/exhibitions/1/list/?page=2",
            "http://testserver/exhibitions/1/list/?page=2",
        ),
        ("https://elsewhere.example/", "/"),
        ("", "/"),
    ],
)
def test_undo_goes_back_to_the_page_it_was_pressed_on(curator, exhibition, referer, onward):
    entry = listed(exhibition, stage="long_list")
    curator.post(change_of(exhibition), {"entry": [entry.pk], "stage": "selected"})
    undo = reverse("history:undo", args=[Entry.objects.get().batch])
    assert curator.post(undo, HTTP_REFERER=referer)["Location"] == onward
    assert stages(exhibition) == ["long_list"]
