"""Read sizes and weights as people write them.

The order of a bare size is height × width × depth. Lengths come back in whole millimetres, weights
in whole grams, rounded half away from zero. Nothing is guessed silently: what was assumed, what
disagrees and what was not read is said in `warnings`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from exhibit_core.register.dimension_words import (
    COUNTS,
    FRACTIONS,
    MASS_UNITS,
    MM,
    QUALIFIERS,
    ROLES,
    TOKEN,
    UNIT_WORDS,
)

LONGEST_TEXT = 2_000
AGREE_MM = 2
AGREE_SHARE = Fraction(5, 1000)
IMPERIAL = {"in", "ft"}


@dataclass(frozen=True)
class Element:
    """One thing that was measured: its label as written, its values, and what to know of them.

    `count` is how many alike the size is of; `gross_g` and `cased_g` are weights with packing.
    """

    label: str = ""
    height_mm: int | None = None
    width_mm: int | None = None
    depth_mm: int | None = None
    diameter_mm: int | None = None
    length_mm: int | None = None
    mass_g: int | None = None
    gross_g: int | None = None
    cased_g: int | None = None
    count: int = 1
    qualifiers: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    text: str = ""

    @property
    def has_size(self) -> bool:
        lengths = (self.height_mm, self.width_mm, self.depth_mm, self.diameter_mm, self.length_mm)
        return any(length is not None for length in lengths)

    @property
    def has_mass(self) -> bool:
        return any(mass is not None for mass in (self.mass_g, self.gross_g, self.cased_g))


@dataclass
class _Value:
    """A number with its unit and, where it says so, which side it measures."""

    number: Fraction
    unit: str = ""
    role: str = ""
    linked: bool = False

    def mm(self) -> int:
        return _whole(self.number * MM[self.unit])


def parse(text: str, default_unit: str = "mm") -> tuple[Element, ...]:
    """Return the elements of a text; never raises, whatever the text.

    `default_unit` is used, and said, where a size has no unit; one of mm, cm, m, in, ft.
    """
    if default_unit not in MM:
        raise ValueError(f"Unknown unit {default_unit!r}: use one of {', '.join(MM)}.")
    cut = text[:LONGEST_TEXT]
    found: list[Element] = []
    for line in re.split(r"[\r\n;]+", cut):
        if not line.strip():
            continue
        element = _element(line.strip(), default_unit)
        if found and _belongs_to(element, found[-1]):
            found[-1] = _joined(found[-1], element)
        else:
            found.append(element)
    if len(text) > LONGEST_TEXT and found:
        said = f"Only the first {LONGEST_TEXT} characters were read."
        found[-1] = replace(found[-1], warnings=(*found[-1].warnings, said))
    return tuple(found)


def _belongs_to(element: Element, before: Element) -> bool:
    """A line that holds only a weight goes with the size above it."""
    new = element.has_mass and not element.has_size
    taken = (
        (element.mass_g is not None and before.mass_g is not None)
        or (element.gross_g is not None and before.gross_g is not None)
        or (element.cased_g is not None and before.cased_g is not None)
    )
    return new and before.has_size and not taken


def _joined(before: Element, mass: Element) -> Element:
    return replace(
        before,
        mass_g=before.mass_g if mass.mass_g is None else mass.mass_g,
        gross_g=before.gross_g if mass.gross_g is None else mass.gross_g,
        cased_g=before.cased_g if mass.cased_g is None else mass.cased_g,
        qualifiers=tuple(dict.fromkeys((*before.qualifiers, *mass.qualifiers))),
        warnings=(*before.warnings, *mass.warnings),
        text=f"{before.text}\n{mass.text}",
    )


def _element(line: str, default_unit: str) -> Element:
    plain = _plain(line)
    label, rest = _label(plain)
    main, asides = _asides(rest)
    warnings: list[str] = []
    element = Element(label=label.strip(), text=line)
    element = replace(element, qualifiers=_qualifiers(plain), count=_count(plain))
    element = _with_masses(element, rest, label, warnings)
    if durations := re.findall(
        r"\d[\d.]*\s*(?:hours?|hrs?|min(?:utes?|s)?|sec(?:onds?|s)?)\b", rest
    ):
        warnings.append(f"“{', '.join(durations)}” is a duration, not a size.")
    values = _values(_without_masses_and_times(main), label)
    inside = [_values(_without_masses_and_times(aside), label) for aside in asides]
    values = _prefer_metric(values, [v for v in inside if v], warnings)
    _give_units(values, default_unit, warnings)
    element = _with_sides(element, values, warnings)
    if "variable" in element.qualifiers:
        warnings.append("The size is said to be variable.")
    if not element.has_size and not element.has_mass and not warnings:
        warnings.append(f"No size or weight could be read in “{line[:80]}”.")
    return replace(element, warnings=(*element.warnings, *warnings))


def _plain(line: str) -> str:
    """Write signs one way: x, straight quotes, plain fractions, a point for decimals."""
    text = line.lower().replace("×", "x").replace("\u00a0", " ").replace("\u202f", " ")
    for sign, words in FRACTIONS.items():
        text = text.replace(sign, f" {words}")
    text = re.sub(r"[“”″]", '"', text)
    text = re.sub(r"[‘’′]", "'", text)
    text = re.sub(r"(?<=\d)\s*[–—]\s*(?=\d)", " - ", text)
    text = re.sub(r"(?<![\d.,])(\d{1,3}),(\d{3})(?![\d,.])", r"\1\2", text)
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def _label(text: str) -> tuple[str, str]:
    """Split a leading label from the rest: up to a colon, or the words before the first digit."""
    head, colon, tail = text.partition(":")
    if colon and len(head) <= 80:
        return head, tail
    digit = re.search(r"[\d½¼¾]", text)
    words = (text[: digit.start()] if digit else text).strip(" ,.(-")
    return ("" if words in ROLES else words), text


def _asides(text: str) -> tuple[str, list[str]]:
    """Take out brackets that hold numbers; they repeat a size in another unit, or give a weight."""
    asides = re.findall(r"\(([^()]*\d[^()]*)\)", text)
    return re.sub(r"\([^()]*\d[^()]*\)", " ", text), asides


def _qualifiers(text: str) -> tuple[str, ...]:
    return tuple(name for name, pattern in QUALIFIERS.items() if re.search(pattern, text))


def _count(text: str) -> int:
    match = re.search(r"\b(\d{1,3}|[a-z]+)\s+(?:parts|frames|pieces|sheets|panels)\b", text)
    if match is None:
        return 1
    word = match.group(1)
    return int(word) or 1 if word.isdigit() else COUNTS.get(word, 1)


_MASS = re.compile(
    r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>kilograms?|kilos?|kgs?|grams?|gr?|pounds?|lbs?|ounces?|oz)"
    r"(?![a-z])"
)
_TIMES = re.compile(r"\d[\d.]*\s*(?:hours?|hrs?|min(?:utes?|s)?|sec(?:onds?|s)?)\b\.?")


def _without_masses_and_times(text: str) -> str:
    text = re.sub(r"\b\d+\s+(?:parts|frames|pieces|sheets|panels)\b", " ", text)
    return _TIMES.sub(" ", _MASS.sub(" ", text))


def _with_masses(element: Element, text: str, label: str, warnings: list[str]) -> Element:
    if re.search(r"\bcases? weighs?\b", text):
        warnings.append("The weights given are those of cases, not of the object.")
        return element
    found = {"mass_g": 0, "gross_g": 0, "cased_g": 0}
    for match in _MASS.finditer(text):
        grams = _whole(Fraction(match["number"]) * MASS_UNITS[match["unit"].rstrip("s") or "s"])
        near = f"{label} {text[max(0, match.start() - 14) : match.start()]}"
        after = text[match.end() : match.end() + 8]
        kind = "mass_g"
        if re.search(r"\bgross\b", near):
            kind = "gross_g"
        elif re.search(r"\b(?:cased|crated|boxed)\b", near) or re.match(
            r"\s*(?:cased|crated)", after
        ):
            kind = "cased_g"
        if found[kind] and match["unit"].startswith(("oz", "ounce")):
            found[kind] += grams
        elif found[kind]:
            warnings.append(f"A second weight, {match.group().strip()}, was not used.")
        else:
            found[kind] = grams
    return replace(element, **{name: grams for name, grams in found.items() if grams})


def _values(text: str, label: str) -> list[_Value]:
    """Return the numbers of a text with their units and sides, in the order written."""
    values: list[_Value] = []
    role = next((ROLES[word] for word in re.findall(r"[a-zø⌀]+", label) if word in ROLES), "")
    role = role if role == "diameter" else ""
    linked = False
    for kind, word, at in _tokens(text):
        if kind == "number":
            if values and values[-1].unit == "ft" and not linked and not role:
                values.append(_Value(_number(word), "+", "", True))
            else:
                values.append(_Value(_number(word), "", role, linked))
            linked, role = False, ""
        elif kind == "unit" and values and not values[-1].unit:
            values[-1].unit = word
        elif kind == "unit" and values and values[-1].unit == "+":
            inches = values.pop()
            factor = Fraction(1, 12) if word == "in" else Fraction(0)
            values[-1].number += inches.number * factor
        elif kind == "x":
            linked = True
        elif kind == "role":
            behind = not text[:at].rstrip().endswith(",") and _trails(text)
            if values and not values[-1].role and not linked and behind:
                values[-1].role = ROLES[word]
            else:
                role = ROLES[word]
    return [_settled(value) for value in values]


def _settled(value: _Value) -> _Value:
    if value.unit == "+":
        value.unit = ""
    return value


def _trails(text: str) -> bool:
    """Tell whether sides are named behind their numbers, as in 40 h x 30 w or 60 mm in diameter."""
    lead = re.match(r"\s*([a-zø⌀]+)[.:\s]*\d", text)
    return not (lead and lead.group(1) in ROLES)


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    """Yield what a token is, the token in its short form, and where it begins."""
    for match in TOKEN.finditer(text):
        kind = match.lastgroup or ""
        word = match.group()
        if kind == "unit":
            word = UNIT_WORDS.get(word.rstrip("."), word.rstrip("."))
        yield kind, word.rstrip(".") if kind == "role" else word, match.start()


def _number(text: str) -> Fraction:
    whole, _, part = text.strip().partition(" ") if " " in text else text.partition("-")
    if part:
        return Fraction(whole) + _fraction(part)
    return _fraction(text.strip())


def _fraction(text: str) -> Fraction:
    above, slash, below = text.strip().partition("/")
    if slash and int(below):
        return Fraction(int(above), int(below))
    return Fraction(above)


def _prefer_metric(
    main: list[_Value], inside: Sequence[list[_Value]], warnings: list[str]
) -> list[_Value]:
    """Use the metric size where both stand there, and say when the two disagree."""
    if not inside:
        return main
    if not main:
        return inside[0]
    for other in inside:
        imperial_main = any(v.unit in IMPERIAL for v in main)
        imperial_other = any(v.unit in IMPERIAL for v in other)
        if imperial_main == imperial_other:
            warnings.append("A second size in brackets was not used.")
            continue
        metric, imperial = (other, main) if imperial_main else (main, other)
        _give_units(metric, "mm", [])
        _give_units(imperial, "in", [])
        for a, b in zip(metric, imperial, strict=False):
            if abs(a.mm() - b.mm()) > AGREE_MM + AGREE_SHARE * a.mm():
                warnings.append(f"{a.mm()} mm and {b.mm()} mm disagree; the metric one is used.")
        return metric
    return main


def _give_units(values: Sequence[_Value], default_unit: str, warnings: list[str]) -> None:
    """Let a unit stand for the numbers before it, then for those after it."""
    unit = ""
    for value in reversed(values):
        unit = value.unit = value.unit or unit
    for value in values:
        unit = value.unit = value.unit or unit
    if values and not values[0].unit:
        warnings.append(f"No unit is given: read as {default_unit}.")
        for value in values:
            value.unit = default_unit


def _with_sides(element: Element, values: Sequence[_Value], warnings: list[str]) -> Element:
    sides: dict[str, int] = {}
    free = ["height", "width", "depth"]
    for value in values:
        side = value.role
        if side in sides:
            warnings.append(f"A second {side}, {value.mm()} mm, was not used.")
            continue
        if not side:
            side = next((name for name in free if name not in sides), "")
        if not side:
            warnings.append(
                f"“{float(value.number):g}” was not read: there are three sizes already."
            )
            continue
        sides[side] = value.mm()
    if len(sides) == 1 and "height" in sides and not any(v.role for v in values):
        warnings.append(f"Only one size is given, {sides['height']} mm: read as the height.")
    if "circular" in element.qualifiers and sides.get("height") == sides.get("width"):
        sides["diameter"] = sides.pop("height", 0)
        sides.pop("width", None)
    if "diameter" in sides and {"height", "width"} <= sides.keys():
        warnings.append("A diameter stands beside height and width: check which is meant.")
    return replace(element, **{f"{side}_mm": length for side, length in sides.items() if length})


def _whole(value: Fraction) -> int:
    return int(value + Fraction(1, 2))
