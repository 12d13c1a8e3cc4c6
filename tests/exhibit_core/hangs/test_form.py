"""The form of a hang: what it offers, refuses in words, saves and takes back."""

import pytest
from django.urls import reverse

from exhibit_core.hangs.models import Hang
from tests.exhibit_core.hangs.asking import asked
from tests.factories import WallFactory
from tests.pages import select, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def designer(sign_in):
    return sign_in("designer")


def test_new_hang_is_set_up_and_told(designer, scene):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, title="East", sections=[scene.sections[0].pk]))
    made = Hang.objects.get(title="East")
    assert answer["Location"] == reverse("hangs:hang", args=[made.pk])
    assert (made.kind, list(made.walls.all())) == ("even", [scene.wall])
    assert list(made.sections.all()) == scene.sections[:1]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"title": "Gallery"}, "There is a hang “Gallery” already: choose another title."),
        ({"walls": []}, "Choose at least one wall."),
        ({"max_gap_mm": "20"}, "It is below the smallest gap of 50 mm."),
        (
            {"kind": "rows", "rows": "7", "row_gap_mm": "200"},
            "Ensure this value is less than or equal to 6.",
        ),
        ({"kind": "rows", "rows": "2", "row_gap_mm": ""}, "This field is required."),
        (
            {"lowest_edge_mm": "900", "highest_edge_mm": "900"},
            "It must be above the lowest edge of 900 mm.",
        ),
        ({"label_width_mm": "0"}, "A label needs a size; or choose no labels."),
    ],
)
def test_new_hang_that_cannot_be_is_refused_in_words(designer, scene, wrong, sentence):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, **{"title": "East", **wrong}))
    assert answer.status_code == 422
    assert sentence in [words(e) for e in select(answer, ".field .errorlist li, .field__error")]
    assert Hang.objects.count() == 1


def test_form_says_of_each_arrangement_what_it_does_and_which_fields_count(designer, scene):
    page = designer.get(reverse("hangs:new", args=[scene.exhibition.pk]))
    buttons = select(page, "[name=kind]")
    assert [button.get("value") for button in buttons] == Hang.Kind.values
    for button in buttons:
        assert len(words(select(page, f"#{button.get('aria-describedby')}")[0])) > 30
    shown = {
        field.get("data-kinds"): select(page, f"[data-kinds='{field.get('data-kinds')}'] [name]")
        for field in select(page, "[data-kinds]")
    }
    assert {kinds: [one.get("name") for one in names] for kinds, names in shown.items()} == {
        "rows": ["rows", "row_gap_mm"],
        "even by_section rows": ["keep_order"],
        "even by_section mirrored rise centre_high related rows": ["align", "ends", "max_gap_mm"],
        "by_section": ["section_gap_mm"],
    }


def test_what_says_nothing_to_the_arrangement_cannot_be_wrong(designer, scene):
    """Fields that are not shown are sent all the same; what stands in them is kept as it was."""
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    sent = asked(scene, title="East", rows="99", row_gap_mm="wide", section_gap_mm="x")
    assert designer.post(url, sent).status_code == 302
    made = Hang.objects.get(title="East")
    assert (made.rows, made.row_gap_mm, made.section_gap_mm) == (2, 200, None)


def test_wall_of_another_venue_cannot_be_chosen(designer, scene):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, title="East", walls=[WallFactory().pk]))
    assert answer.status_code == 422
    assert Hang.objects.count() == 1


def test_edit_seen_at_an_older_version_shows_both(designer, scene):
    Hang.objects.filter(pk=scene.hang.pk).update(version=3, datum_mm=1600)
    answer = designer.post(
        reverse("hangs:edit", args=[scene.hang.pk]), asked(scene, datum_mm="1550", version=1)
    )
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "1600" in text
    assert "1550" in text
    assert Hang.objects.get().datum_mm == 1600


def test_edit_offers_undo(designer, scene):
    url = reverse("hangs:edit", args=[scene.hang.pk])
    page = designer.post(url, asked(scene, datum_mm="1550"), follow=True)
    assert Hang.objects.get().datum_mm == 1550
    (undo,) = select(page, "#messages form")
    designer.post(undo.get("action"))
    assert (Hang.objects.get().datum_mm, Hang.objects.get().kind) == (1500, "by_section")


def test_heights_and_own_datums_are_asked_shown_and_undone(designer, scene):
    url = reverse("hangs:edit", args=[scene.hang.pk])
    heights = {"lowest_edge_mm": "700", "highest_edge_mm": "2100"}
    sent = asked(scene, **heights, **{f"datum_{scene.wall.pk}_mm": "1450"})
    page = designer.post(url, sent, follow=True)
    facts = [words(fact) for fact in select(page, ".facts dd")]
    assert facts[3:5] == [
        "centreline at 1500 mm from the floor; 1450 mm on Main wall",
        "none lower than 700 mm, none higher than 2100 mm",
    ]
    (field,) = select(designer.get(url), f"details[open] [name=datum_{scene.wall.pk}_mm]")
    assert field.get("value") == "1450"
    (undo,) = select(page, "#messages form")
    designer.post(undo.get("action"))
    scene.hang.refresh_from_db()
    assert (scene.hang.lowest_edge_mm, scene.hang.wall_datums.count()) == (None, 0)
