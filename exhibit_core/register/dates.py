"""Read the earliest and latest year from a date as people write it, or as EDTF."""

import re
from dataclasses import dataclass, replace

from exhibit_core.register.text import fold

ABOUT_YEARS = 5
_LONGEST = 200

_CENTURY_WORD = r"(?:century|centuries|cent\b\.?|c\b(?! ?\d)\.?|jh\b\.?|jahrhunderts?|siecle|eeuw)"
_TENS = {"": 0, "x": 10, "xx": 20}
_ONES = {"": 0, "i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9}
_ROMAN = {ten + one: str(_TENS[ten] + _ONES[one]) for ten in _TENS for one in _ONES}
_ROMAN_CENTURY = re.compile(
    rf"\b([ivx]{{1,5}})(?:th|st|nd|rd|eme|e)?(?=[ -]{_CENTURY_WORD}|-[ivx]+e? {_CENTURY_WORD})"
)
_ORDINAL = r"(?<!\d)([1-9]\d?)(?:st|nd|rd|th|eme|e|\.)"
_DAY = r"-[~?%]?[\dx]{2}[~?%]?"
_NORMAL_FORMS = [
    (re.compile(pattern), written)
    for pattern, written in [
        (r"[\[\]{}]", " "),
        (r"(?<=[\da-z])-(?=centur)", " "),
        (r"(?<=\d),(?=\d{3}(?!\d))", ""),
        (r"\b(\d\d)--(?!\d)", r"\1xx"),
        (r"\b(\d\d)\?\?", r"\1xx"),
        (r"\b(\d{3})-(?=\W|$)", r"\1x"),
        (r"\by(?=-?\d{4,})", ""),
        (rf"(?<!\d)(\d[\dx]{{3}}[~?%]?){_DAY}{_DAY}(?:t[\d:.+-]+z?)?(?![\dx])", r"\1 "),
        (r"(?<!\d)(\d[\dx]{3}[~?%]?)-xx(?![\dx])", r"\1 "),
        (r"(?<!\d)\d{1,2}([./-])\d{1,2}\1(?=\d{4}(?!\d))", ""),
        (r"(?<!\d)(?=0000(?!\d))", "astronomical "),
        (r"(?:^|(?<=[ ,/]))-(?=\d{4}(?!\d))", "astronomical "),
        (r"\b(early|mid|middle|late|pre|post)-(?=[\dc])", r"\1 "),
    ]
]
_MONTH = re.compile(r"(?<!\d)(\d\d)(\d\d)([~?%]?)-[~?%]?(\d\d)(?!\d|s|xx)")
_SIDES = re.compile(r"\.\.|[-/,;&]|\b(?:to|and|or|bis|through)\b")
_FORMS = {
    "century": re.compile(_ORDINAL[:-1] + rf")?[ -]?{_CENTURY_WORD}"),
    "decade": re.compile(r"(?<!\d)(\d{3}0)'?s(?!\d)"),
    "significant": re.compile(r"(?<!\d)(\d{4})s(\d)(?!\d)"),
    "masked": re.compile(r"(?<![\dx])(\d{1,3})(x{1,3})(?![\dx])"),
    "year": re.compile(r"(?<!\d)(?<!\d[.,])(\d{3,4})(?!\d|[.,]\d)"),
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
        r"\b(?:(?<!not )before|until|up to|not after|not? later than|by|pre|vor|avant)\b"
    ),
    "after": re.compile(
        r"\b(?:(?<!not )after|since|not before|not? earlier than|post|nach|apres)\b"
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
            first, last = -last, -max(first, 1)
        elif "astronomical" in self.words:
            first, last = -last - 1, -first - 1
        if self.part:
            index, parts = self.part
            length = last - first + 1
            first, last = first + length * index // parts, first + length * (index + 1) // parts - 1
        widen = ABOUT_YEARS if "about" in self.words else 0
        return first - widen, last + widen


def years(date_text: str) -> Years:
    """Return the earliest and latest year that a written date leaves open; never raises.

    Centuries run as they are spoken of, the 18th from 1700 to 1799, as in EDTF `17XX`. “About”
    and EDTF `~` widen by five years. Early, mid and late are thirds of a century or decade.
    """
    written = " ".join(date_text.split())
    if not written:
        return Years(None, None)
    if len(written) > _LONGEST:
        return Years(None, None, f"The date is longer than {_LONGEST} characters.")
    text = fold(re.sub("[–—]", " to ", written)).replace("(?)", "?")
    if _UNDATED.fullmatch(text.strip("[]() ")):
        return Years(None, None, "The date says that no date is known.")
    text, remarks = _without_remarks(text)
    sides = [side.strip(" .:") for side in _SIDES.split(_normal(text))]
    terms, unread = _terms([side for side in sides if side])
    if not terms:
        return Years(None, None, f"“{written[:60]}” cannot be read as years: give them as figures.")
    warnings = [f"“{words}” is left out of the years." for words in remarks + unread]
    return _result(terms, open_start=not sides[0], open_end=_is_open(sides[-1]), warnings=warnings)


def _without_remarks(text: str) -> tuple[str, list[str]]:
    bare = re.sub(r"\([^()]*\)", " ", text)
    if not any(char.isdecimal() for char in bare):
        return re.sub(r"[()]", " ", text), []
    return bare, re.findall(r"\([^()]*\)", text)


def _normal(text: str) -> str:
    for pattern, written in _NORMAL_FORMS:
        text = pattern.sub(written, text)
    text = _ROMAN_CENTURY.sub(lambda match: f"{_ROMAN.get(match[1], match[1])}th", text)
    interval = "/" in text
    return _MONTH.sub(lambda match: _month_or_range(match, interval=interval), text)


def _month_or_range(match: re.Match[str], *, interval: bool) -> str:
    """Keep 1856-61 as a range; 1856-05 and the season 1856-21 of EDTF are within 1856.

    1901-03 may be both; within an interval with its slash it is a month.
    """
    century, year, qualifier, second = match.groups()
    if int(second) > int(year) and not (interval and int(second) <= 12):
        return match[0]
    return f"{century}{year}{qualifier} "


def _is_open(side: str) -> bool:
    return not side or side in {"present", "today", "ongoing"}


def _terms(sides: list[str]) -> tuple[list[_Term], list[str]]:
    """Read each side, and return the sides without a date apart.

    A side without century or era takes that of a later side.
    """
    terms: list[_Term] = []
    unread: list[str] = []
    century = any(_FORMS["century"].search(side) for side in sides)
    for side in sides:
        term = _term(side, before=terms[-1] if terms else None, century=century)
        if term:
            terms.append(term)
        elif words := _unread(side):
            unread.append(words)
    eras = {"bc", "astronomical", "ad"}
    for index in range(len(terms) - 2, -1, -1):
        later = terms[index + 1]
        if "bc" in later.words and not eras & terms[index].words:
            terms[index] = replace(terms[index], words=terms[index].words | {"bc"})
    return terms, unread


def _term(side: str, *, before: _Term | None, century: bool) -> _Term | None:
    form, match = _first_form(side, before=before, century=century)
    if match is None:
        return None
    first, last = _period(form, match, before)
    rest = side[: match.start()] + " " + side[match.end() :]
    words = set()
    for word, pattern in _WORDS.items():
        rest, count = pattern.subn(lambda m: m[0] if m[0] == "%" else " ", rest)
        words |= {word} if count else set()
    part, rest = _part(rest)
    return _Term(first, last, form, frozenset(words), part, _unread(rest))


def _unread(text: str) -> str:
    return " ".join(_FILLER.sub(" ", text).replace("%", " ").split()).strip(".:?~' ")


def _first_form(
    side: str, *, before: _Term | None, century: bool
) -> tuple[str, re.Match[str] | None]:
    era = _WORDS["ad"].search(side) or _WORDS["bc"].search(side)
    allowed = {
        "ordinal": century,
        "short": not era and before is not None and before.form in {"year", "short"},
        "short_decade": before is not None and before.form in {"decade", "short_decade"},
    }
    for form, pattern in _FORMS.items():
        if allowed.get(form, True) and (match := pattern.search(side)):
            return form, match
    return "year", re.search(r"(?<!\d)(\d{1,2})(?!\d)", side) if era else None


def _period(form: str, match: re.Match[str], before: _Term | None) -> tuple[int, int]:
    """Return first and last year of a period, counted within its era."""
    number = int(match[1])
    if form in {"century", "ordinal"}:
        return (number - 1) * 100, number * 100 - 1
    if form == "masked":
        return number * 10 ** len(match[2]), (number + 1) * 10 ** len(match[2]) - 1
    if form == "decade":
        return number, number + (99 if number % 100 == 0 else 9)
    if form == "significant":
        step = 10 ** max(0, 4 - int(match[2]))
        return number // step * step, number // step * step + step - 1
    if form in {"short", "short_decade"} and before:
        step = 10 ** len(match[1])
        number += before.first // step * step
    return number, number + (9 if form == "short_decade" else 0)


def _part(text: str) -> tuple[tuple[int, int] | None, str]:
    match = _PART.search(text)
    if not match:
        return None, text
    rest = text[: match.start()] + " " + text[match.end() :]
    if match["third"]:
        return (_THIRDS[match["third"]], 3), rest
    parts = 2 if match["of"] == "half" else 4
    index = parts - 1 if match["count"] == "last" else _COUNTED[match["count"]]
    return (min(index, parts - 1), parts), rest


def _result(terms: list[_Term], *, open_start: bool, open_end: bool, warnings: list[str]) -> Years:
    about = "about" in terms[0].words
    bounds = [
        replace(term, words=term.words | {"about"}).bounds if about else term.bounds
        for term in terms
    ]
    earliest: int | None = min(first for first, _ in bounds)
    latest: int | None = max(last for _, last in bounds)
    if bounds[-1][1] < bounds[0][0]:
        warnings.append("The later year stands first.")
    if any("about" in term.words for term in terms):
        warnings.append(f"“About” is read as {ABOUT_YEARS} years to either side.")
    if any("unsure" in term.words for term in terms):
        warnings.append("The date is marked as uncertain.")
    for term in terms:
        if term.form == "decade" and term.first % 100 == 0:
            warnings.append(f"{term.first}s is read as {term.first} to {term.last}.")
        if term.form == "short" and term.last % 100 <= 12:
            warnings.append(f"Its second figure is read as the year {term.last}, not as a month.")
        if term.unread:
            warnings.append(f"“{term.unread}” is left out of the years.")
    if open_start or "before" in terms[0].words:
        earliest = None
        warnings.append("No earliest year is stated.")
    if open_end or "after" in terms[-1].words:
        latest = None
        warnings.append("No latest year is stated.")
    return Years(earliest, latest, " ".join(warnings))
