"""Text that a spreadsheet would take for a formula (signs named by OWASP, CSV Injection)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.exchange.neutral import neutralised, restored

RISKY = "=+-@\t\r\n＝＋－＠"


@given(st.text(alphabet=st.sampled_from([*RISKY, "'", "a", "1", " "])) | st.text())
def test_restored_undoes_neutralised(text):
    safe = neutralised(text)
    assert restored(safe) == text
    assert safe[:1] not in set(RISKY) or not safe


@pytest.mark.parametrize("sign", RISKY)
def test_neutralised_of_formula(sign):
    assert neutralised(f"{sign}1+1") == f"'{sign}1+1"
    assert neutralised(f"'{sign}1+1") == f"''{sign}1+1"


def test_neutralised_of_plain_text():
    assert neutralised("'s Morgens = early") == "'s Morgens = early"
