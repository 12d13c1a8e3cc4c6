"""Search folding; no database."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from text_unidecode import unidecode

from exhibit_core.register.text import fold


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Straße", "strasse"),
        ("Smørrebrød", "smorrebrod"),
        ("Łódź", "lodz"),
        ("Đorđe", "dorde"),
        ("Œuvre d’Æsop", "oeuvre d'aesop"),
        ("İstanbul ISPARTA ılık", "istanbul isparta ilik"),
        ("Þór", "thor"),
        ("Ἀφροδίτη", "αφροδιτη"),
        ("  two\u00a0 words\n", "two words"),
        ("soft\u00adhyphen", "softhyphen"),
        ("ﬁne Ｗｉｄｅ ½", "fine wide 1⁄2"),
        ("1856–61 × 3", "1856-61 x 3"),
    ],
)
def test_fold_gives_plain_lower_case(text, folded):
    assert fold(text) == folded


# Latin-1 Supplement and Latin Extended-A letters, checked against text-unidecode's tables; eng,
# kra and the letter before an apostrophe are written otherwise there.
@pytest.mark.parametrize(
    "letter", [chr(code) for code in range(0xC0, 0x180) if chr(code) not in "×÷ŉŊŋĸ"]
)
def test_fold_agrees_with_transliteration_of_latin_letters(letter):
    assert fold(letter) == unidecode(letter).lower()


@given(st.text())
def test_fold_twice_changes_nothing(text):
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_fold_is_blind_to_case_as_unicode_folds_it(text):
    assert fold(text.casefold()) == fold(text)


@given(st.text(alphabet=string.ascii_letters + string.digits))
def test_fold_of_ascii_is_lower_case(text):
    assert fold(text) == text.lower()
