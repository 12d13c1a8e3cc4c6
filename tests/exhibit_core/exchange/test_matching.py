"""Guessing what columns hold."""

import pytest

from exhibit_core.accounts.models import User
from exhibit_core.exchange.fields import FIELDS
from exhibit_core.exchange.matching import LEAVE_OUT, UNDECIDED, Match, guess
from exhibit_core.exchange.words import ALIASES
from exhibit_core.register.text import fold


def guesses(*headings, roles=("administrator",), with_list=True, **remembered):
    by = User(roles=list(roles))
    return guess(headings, by=by, with_list=with_list, remembered=remembered)


def matches(*headings, **details):
    return [(g.match.field, g.match.unit) for g in guesses(*headings, **details)]


def test_words_name_known_fields_once_each_and_folded():
    words = [word for line in ALIASES.values() for word in line.split("|")]
    assert set(ALIASES) == set(FIELDS)
    assert len(words) == len(set(words))
    assert [word for word in words if fold(word) != word] == []


@pytest.mark.parametrize("field", FIELDS.values(), ids=FIELDS)
def test_own_label_names_its_field(field):
    assert matches(field.label)[0][0] == field.name


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Inv.-Nr.", "number", ""),
        ("N° d'inventaire", "number", ""),
        ("Número de inventario", "number", ""),
        ("Titel (Original)", "title", ""),
        ("Künstler/in", "maker", ""),
        ("Datación", "date_text", ""),
        ("Höhe in cm", "height", "cm"),
        ("height_mm", "height", "mm"),
        ("Larghezza (cm)", "width", "cm"),
        ("Diepte", "depth", "mm"),
        ("Ø cm", "diameter", "cm"),
        ("Gewicht [kg]", "weight", "kg"),
        ("Weight (lbs)", "weight", "lb"),
        ("Poids", "weight", "kg"),
        ("Maße (HxBxT)", "size", "mm"),
        ("Valeur d’assurance (€)", "value", "EUR"),
        ("Versicherungswert CHF", "value", "CHF"),
        ("Bruikleengever", "lender", ""),
        ("Sezione", "section", ""),
    ],
)
def test_heading_in_other_words(heading, field, unit):
    assert matches(heading) == [(field, unit)]


def test_heading_that_nobody_knows_stays_undecided():
    assert matches("Box colour") == [(UNDECIDED, "")]


def test_field_is_guessed_once():
    assert matches("Title", "Titre") == [("title", ""), (UNDECIDED, "")]


def test_remembered_match_counts_first():
    found = matches(
        "Titre",
        "Box colour",
        "H",
        titre=Match(LEAVE_OUT),
        h=Match("depth", "in"),
        **{"box colour": Match("materials")},
    )
    assert found == [(LEAVE_OUT, ""), ("materials", ""), ("depth", "in")]


def test_field_of_a_list_without_exhibition_stays_undecided():
    assert matches("Section", with_list=False) == [(UNDECIDED, "")]


def test_field_that_the_role_may_not_change_is_left_out_in_words():
    [found] = guesses("Insurance value", roles=("curator",))
    assert found.match == Match(LEAVE_OUT)
    assert found.refusal == (
        "This looks like “Insurance value”, but your role does not let you change money values "
        "and lenders."
    )
