"""Object numbers: their normal writing, and a key that sorts them naturally."""

import re
import unicodedata

from exhibit_core.register.text import fold

KEY_LENGTH = 120
_GROUP = re.compile(r"[0-9]+|[^\W\d_]+|[\W_]+|\d+")
_SPACE_BETWEEN_UNLIKE = re.compile(r"(?<=\d) (?=[^\W\d])|(?<=[^\W\d]) (?=\d)")
_SHORT_YEAR = re.compile(r"\d\d(?=\.\d)", re.ASCII)
_UNSEEN = {"Cf", "Cc", "Cs"}


def normal_number(text: str) -> str:
    """Return the number with single spaces, none at its ends, and no invisible characters."""
    spaced = " ".join(text.split())
    seen = "".join(char for char in spaced if unicodedata.category(char) not in _UNSEEN)
    return " ".join(unicodedata.normalize("NFC", seen).split())


def natural_key(number: str) -> str:
    """Return a key whose plain string order is the natural order of object numbers.

    The key holds only 0-9 and a-z, so SQLite's binary order and any PostgreSQL collation that
    puts digits before letters agree. A separator is `0`, below everything; a group of digits is
    led by its length, so that 3 comes before 10; letters stand as they are, after digits. Case,
    accents, leading zeros, spaces between unlike groups and the kind of separator do not count.
    Two digits before a point and another digit are a year of the twentieth century: 96.1 sorts
    as 1996.1. Keys of numbers up to 60 characters stay within 120; longer ones are cut.
    """
    folded = re.sub(r"^[\W_]+|[\W_]+$", "", fold(number))
    if _SHORT_YEAR.match(folded):
        folded = f"19{folded}"
    close = _SPACE_BETWEEN_UNLIKE.sub("", folded)
    return "".join(_key_of(group) for group in _GROUP.findall(close))[:KEY_LENGTH]


def _key_of(group: str) -> str:
    if group.isascii() and group.isdecimal():
        return _digits(group.lstrip("0") or "0")
    if group.isalnum():
        return "".join(char if char.isascii() else _foreign(char) for char in group)
    return "0"


def _digits(digits: str) -> str:
    length = len(digits)
    return f"{length}{digits}" if length < 9 else f"9{min(length, 99):02}{digits}"


def _foreign(char: str) -> str:
    """Return `z` and the code point, so that other scripts follow Latin letters, in code order."""
    return f"z{ord(char):07}"
