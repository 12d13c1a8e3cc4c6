"""Read the earliest and latest year from a date as people write it, or as EDTF."""

import re
from dataclasses import dataclass

ABOUT_YEARS = 5
_LONGEST = 200

_CENTURY_WORD = r"(?:century|centuries|cent\b\.?|c\b(?! ?\d)\.?|jh\b\.?|jahrhunderts?|siecle|eeuw)"
_ORDINAL = r"(?<!\d)(\d{1,2})(?:st|nd|rd|th|eme|e|\.)"
_NORMAL_FORMS = [
    (re.compile(pattern), written)
    for pattern, written in [
        (r"[\[\]{}]", " "),
        (r"\b\d\d([- ])-(?!\d)", lambda m: m[0][:2] + "xx"),
        (r"\b(\d\d)\?\?", r"\1xx"),
        (r"\by(?=-?\d{4,})", ""),
        (r"(?<!\d)(\d{4})-[~?%]?\d\d-[~?%]?\d\d(?:t[\d:.+-]+z?)?(?!\d)", r"\1"),
        (r"(?<!\d)\d{1,2}([./-])\d{1,2}\1(?=\d{4}(?!\d))", ""),
        (r"(?:^|(?<=[ ,]))-(?=\d{4}(?!\d))", "astronomical "),
        (r"(?<=/)-(?=\d{4}(?!\d))", "astronomical "),
        (r"\b(early|mid|middle|late|pre|post)-(?=[\dc])", r"\1 "),
    ]
]
_MONTH = re.compile(r"(?<!\d)(\d\d)(\d\d)-[~?%]?(\d\d)(?!\d|s|xx)")
_SIDES = re.compile(r"\.\.|[-/,;&]|\b(?:to|and|or|bis|through)\b")
_FORMS = {
    "century": re.compile(_ORDINAL[:-1] + rf")?[ -]?{_CENTURY_WORD}"),
    "decade": re.compile(r"(?<!\d)(\d{3}0)'?s(?!\d)"),
    "significant": re.compile(r"(?<!\d)(\d{4})s(\d)(?!\d)"),
    "masked": re.compile(r"(?<![\dx])(\d{1,3})(x{1,3})(?![\dx])"),
    "year": re.compile(r"(?<![\d.])(\d{3,4})(?!\d|\.\d)"),
    "short_decade": re.compile(r"(?<!\d)'?(\d0)'?s\b"),
    "ordinal": re.compile(_ORDINAL + r"(?!\d)"),
    "short": re.compile(r"(?<!\d)'?(\d{1,2})(?!\d)"),
}
_WORDS = {
    "about": re.compile(
        r"[~%]|\b(?:circa|ca|c|about|around|approximately|approx|um|vers|near)(?![a-z])\.?"
    ),
    "unsure": re.compile(r"[?%]|\b(?:probably|possibly|perhaps|likely|presumably)\b"),
    "before": re.compile(
        r"\b(?:before|until|up to|not after|not later than|no later than|by|pre|vor|avant)\b"
    ),
    "after": re.compile(
        r"\b(?:after|since|not before|not earlier than|no earlier than|post|nach|apres)\b"
    ),
    "bc": re.compile(r"\bb\.? ?c\b\.?(?: ?e\b\.?)?|\bbce\b"),
    "ad": re.compile(r"\ba\.? ?d\b\.?|\bce\b"),
    "astronomical": re.compile(r"\bastronomical\b"),
}
_THIRDS = {"early": 0, "beginning": 0, "mid": 1, "middle": 1, "late": 2, "end": 2}
_COUNTED = {
    "first": 0,
    "1st": 0,
    "second": 1,
    "2nd": 1,
    "third": 2,
    "3rd": 2,
    "fourth": 3,
    "4th": 3,
}
_PART = re.compile(
    rf"\b(?:(?P<third>{'|'.join(_THIRDS)})|"
    rf"(?P<count>{'|'.join(_COUNTED)}|last) (?P<of>half|quarter))\b(?: of)?"
)
_FILLER = re.compile(
    r"\b(?:made|dated?|in|on|of|the|between|from|years?|present|today|ongoing|jan|feb|mar|apr|may|"
    r"jun|jul|aug|sept?|oct|nov|dec|january|february|march|april|june|july|august|september|"
    r"october|november|december|spring|summer|autumn|fall|winter)\b|(?<!\d)\d{1,2}\b"
)
_UNDATED = re.compile(
    r"(?:n\. ?d\.?|nd|s\. ?d\.?|undated|no date|not dated|(?:date )?unknown|xxxx)"
)


@dataclass(frozen=True)
class Years:
    """The years between which a thing was made; years BC are negative, 500 BC is -500.

    None means that no bound is known; `warning` says in sentences what was assumed or not read.
    """

    earliest: int | None
    latest: int | None
    warning: str = ""


@dataclass(frozen=True)
class _Term:
    """One date of the text, years counted within its era."""

    first: int
    last: int
    form: str
    words: frozenset[str] = frozenset()
    part: tuple[int, int] | None = None
    unread: str = ""

    @property
    def bounds(self) -> tuple[int, int]:
        """Return first and last year with era and part of the period applied."""
        first, last = self.first, self.last
        if "bc" in self.words:
            first, last = -last, -first
        elif "astronomical" in self.words:
            first, last = -last - 1, -first - 1
        if self.part:
            index, parts = self.part
            span = last - first
            first, last = (
                first
                + (span * index + parts - 1) // parts
                + (index > 0 and span * index % parts == 0),
                first + span * (index + 1) // parts,
            )
        widen = ABOUT_YEARS if "about" in self.words else 0
        return first - widen, last + widen


def years(date_text: str) -> Years:
    """Return the earliest and latest year that a written date leaves open; never raises.

    Centuries run as they are spoken of, the 18th from 1700 to 1799, as in EDTF `17XX`. “About”
    and EDTF `~` widen by five years. Early, mid and late are thirds of a century or decade.
    """
