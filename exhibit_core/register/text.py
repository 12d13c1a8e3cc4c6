"""Fold text so that a search is blind to accents, case and typographic variants."""

import unicodedata

_LETTERS = str.maketrans(
    {
        "æ": "ae",
        "œ": "oe",
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "ħ": "h",
        "ŧ": "t",
        "ŋ": "n",
        "ı": "i",
        "ĸ": "k",
        "ƀ": "b",
        "ɨ": "i",
        "·": "",
        "‘": "'",
        "’": "'",
        "ʼ": "'",
        "′": "'",
        "“": '"',
        "”": '"',
        "„": '"',
        "«": '"',
        "»": '"',
        "‐": "-",
        "–": "-",
        "—": "-",
        "−": "-",
        "×": "x",
    }
)
_DROPPED = {"Mn", "Me", "Cf", "Cc", "Cs"}


def fold(text: str) -> str:
    """Return the text in lower case, without accents, its white space single.

    Both the search column and the words searched for pass through here; folding twice changes
    nothing.
    """
    spaced = " ".join(unicodedata.normalize("NFKD", text).split())
    folded = unicodedata.normalize("NFKD", _without_marks(spaced).casefold())
    return " ".join(_without_marks(folded).translate(_LETTERS).split())


def _without_marks(text: str) -> str:
    return "".join(char for char in text if unicodedata.category(char) not in _DROPPED)
