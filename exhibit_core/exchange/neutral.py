"""Keep spreadsheets from taking text for a formula, and take the mark off again.

A text that begins with a sign which starts a formula gets an apostrophe before it. One that has
the apostrophe already gets another, so that both ways always meet.
"""

import re

_SIGNS = "=+\\-@\t\r\n＝＋－＠"
_RISKY = re.compile(f"'*[{_SIGNS}]")
_MARKED = re.compile(f"'+[{_SIGNS}]")


def neutralised(text: str) -> str:
    return f"'{text}" if _RISKY.match(text) else text


def restored(text: str) -> str:
    """Return what `neutralised` was given."""
    return text[1:] if text[:1] == "'" and _MARKED.match(text) else text
