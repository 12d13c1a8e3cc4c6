"""The shared parts of pages, and the contrast of every colour that words are set in."""

import datetime
import re

import pytest
from django import forms
from django.conf import settings
from django.contrib.messages import SUCCESS
from django.contrib.messages.storage.base import Message
from django.template.loader import get_template, render_to_string
from django.test import RequestFactory
from lxml import html

from exhibit_core.web.templatetags.look import spoken

CSS = settings.BASE_DIR / "exhibit_core" / "web" / "static" / "web" / "css"
BATCH = "0b0c3d5e-0000-4000-8000-000000000001"


def rendered(name: str, **context: object) -> html.HtmlElement:
    request = RequestFactory().get("/objects/")
    return html.fromstring(f"<div>{render_to_string(name, context, request)}</div>")


def message(extra_tags: str | None) -> Message:
    return Message(SUCCESS, "Moved to selected.", extra_tags=extra_tags)


def test_message_with_a_batch_offers_undo():
    page = rendered("web/messages.html", messages=[message(f"undo:{BATCH}")], here="/x/")
    (form,) = page.forms
    assert form.action == f"/history/{BATCH}/undo/"
    assert form.fields["next"] == "/x/"
    assert len(form.fields["csrfmiddlewaretoken"]) == 64


@pytest.mark.parametrize("tags", [None, "", "saved"])
def test_message_without_a_batch_offers_nothing(tags):
    assert rendered("web/messages.html", messages=[message(tags)]).forms == []


class Sample(forms.Form):
    title = forms.CharField(help_text="As on the label.")
    ways = forms.MultipleChoiceField(
        choices=[("a", "A"), ("b", "B")], widget=forms.CheckboxSelectMultiple
    )
    empty = forms.BooleanField(label="empty cells clear", required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)


def test_form_carries_its_token_though_only_drops_the_context():
    page = rendered("components/form.html", form=Sample(), submit="Save", action="")
    assert len(page.forms[0].fields["csrfmiddlewaretoken"]) == 64


def test_every_error_leads_to_a_control_that_exists():
    page = rendered("components/form.html", form=Sample(data={}), submit="Save", action="")
    links = page.xpath("//*[@role='alert']//a/@href")
    assert links == ["#id_title", "#id_ways_0"]
    assert [page.get_element_by_id(link[1:]).tag for link in links] == ["input", "input"]
    assert "This field is required." in page.xpath("string(//*[@role='alert']/ul/li[3])")


def test_help_and_errors_are_tied_to_their_control():
    page = rendered("components/form.html", form=Sample(data={}), submit="Save", action="")
    for control in (page.get_element_by_id("id_title"), *page.xpath("//fieldset")):
        for name in control.get("aria-describedby").split():
            assert page.get_element_by_id(name).text_content().strip()


def test_every_control_has_a_visible_label():
    page = rendered("components/form.html", form=Sample(), submit="Save", action="")
    shown = page.xpath("//input[not(@type='hidden')]/@id")
    assert sorted(shown) == sorted(page.xpath("//label/@for"))


def test_tape_tells_in_words_what_it_draws():
    marks = [
        {"label": "Opening", "date": datetime.date(2027, 3, 12), "x": 40, "kind": "opening"},
        {"label": "Today", "date": datetime.date(2027, 4, 1), "x": 375, "kind": "today"},
        {"label": "Closing", "date": datetime.date(2027, 9, 5), "x": 960, "kind": "closing"},
    ]
    page = rendered("components/tape.html", marks=marks, title="Days")
    drawn = [" ".join(text.split()) for text in page.xpath("//text/text()")]
    assert drawn == ["Opening 12 Mar 2027", "Today 1 Apr 2027", "Closing 5 Sep 2027"]
    assert [" ".join(item.text_content().split()) for item in page.xpath("//li")] == drawn
    assert page.xpath("//svg/svg[text]/@x") == ["4%", "37.5%", "96%"]
    (line,) = page.xpath("//line")
    assert (line.get("x1"), line.get("x2")) == ("4%", "96%")


@pytest.mark.parametrize("name", ["400", "403", "403_csrf", "404", "500"])
def test_error_pages_stand_without_any_context(name):
    page = html.fromstring(get_template(f"{name}.html").render())
    assert page.xpath("count(//h1)") == 1
    assert page.xpath("string(//title)").endswith("· Evenhang")


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_reckoned_as_wcag_defines_it():
    # WCAG 2.2, definition of contrast ratio: 21:1 at most. #767676 as the lightest grey that
    # passes 4.5:1 on white is common knowledge of the trade (from memory).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") > 4.5 > contrast("#777777", "#ffffff")


def schemes() -> dict[str, dict[str, str]]:
    text = (CSS / "tokens.css").read_text(encoding="utf-8")
    light, dark = (
        dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", part))
        for part in text.split("@media screen and (prefers-color-scheme: dark)")
    )
    return {"light": light, "dark": light | dark}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("words", "grounds", "least"),
    [
        ("ink", "ground sheet chalk-wash zone-dim zone-medium zone-fill piece-fill", 4.5),
        ("quiet", "ground sheet chalk-wash zone-dim zone-medium", 4.5),
        ("chalk", "ground sheet chalk-wash zone-dim", 4.5),
        ("chalk-deep", "ground sheet chalk-wash", 4.5),
        ("wrong", "ground sheet", 4.5),
        ("on-chalk", "chalk chalk-deep", 4.5),
        ("ground", "wrong", 4.5),
        ("edge", "ground sheet", 3),
    ],
)
def test_colours_keep_the_contrast_of_wcag_aa(scheme, words, grounds, least):
    # WCAG 2.2, success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (edges of controls, 3:1).
    colours = schemes()[scheme]
    low = {name: contrast(colours[words], colours[name]) for name in grounds.split()}
    assert {name: ratio for name, ratio in low.items() if ratio < least} == {}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("stage", "stage"),
        ("shown_on", "shown on"),
        ("min_gap_mm", "min gap (mm)"),
        ("max_kg_per_object", "max kg per object"),
        ("mm", "mm"),
    ],
)
def test_field_names_are_spoken_with_their_unit(name, words):
    assert spoken(name) == words


def test_changes_show_fields_and_keep_whole_rows_to_themselves():
    changes = {
        "stage": ["long list", "selected"],
        "section": [None, "2"],
        "width_mm": [120, 0],
        "note": ["gone", ""],
        "row": [None, {"id": 7}],
    }
    page = rendered("components/change.html", changes=changes)
    said = [" ".join(row.text_content().split()) for row in page.xpath("//dl/div")]
    assert said == [
        "stage was long list is now selected",
        "section is now 2",
        "width (mm) was 120 is now 0",
        "note was gone is now nothing",
    ]
