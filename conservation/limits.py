"""The limits of one object from several voices: the strictest of each kind, with its origin.

A voice is a house rule, a lender, a conservator, a case; each demands values of some kinds (table
`limit_kinds`: lx, lx·h a year, ultraviolet, bands of climate, changes in 24 h, days on show). The
strictest demand wins at each end; bands that do not meet are contradictions, which people settle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from conservation.light.limits import DEFAULT_RULE_SET, light_limit, uv_limit
from conservation.ranges import ConservationError, in_range
from conservation.tables import OURS, Row, Source, Tables

MOST_VOICES = 200


class VoiceError(ConservationError):
    """A voice whose demands cannot be read."""


@dataclass(frozen=True)
class Demand:
    """A demand of one kind: at least, at most, or both; in the unit of its kind."""

    kind: str
    least: float | None = None
    most: float | None = None
    source: Source | None = None


@dataclass(frozen=True)
class Voice:
    """Who demands: `role` (house rule, lender, conservator, case …) and a name for people."""

    role: str
    name: str
    demands: tuple[Demand, ...]


@dataclass(frozen=True)
class Origin:
    """Whose demand it is, its value, and the source where the voice names one."""

    role: str
    name: str
    value: float
    source: Source | None


@dataclass(frozen=True)
class Limit:
    """The strictest of one kind; `least` and `most` are None where no voice sets that end."""

    kind: str
    name: str
    unit: str
    least: float | None
    most: float | None
    least_from: tuple[Origin, ...]
    most_from: tuple[Origin, ...]
    possible: bool


@dataclass(frozen=True)
class Contradiction:
    """Two demands that no value can keep, in a sentence."""

    kind: str
    at_least: Origin
    at_most: Origin
    sentence: str


@dataclass(frozen=True)
class ObjectLimits:
    """All limits of one object, and what contradicts."""

    limits: tuple[Limit, ...]
    contradictions: tuple[Contradiction, ...]

    def of(self, kind: str) -> Limit | None:
        """Return the limit of a kind, or None where no voice speaks of it."""
        return next((limit for limit in self.limits if limit.kind == kind), None)


def combine_limits(voices: Sequence[Voice], *, tables: Tables = OURS) -> ObjectLimits:
    """Return the strictest limit of each kind from up to 200 voices, with its origin.

    Units and the range of values by kind stand in table `limit_kinds`. Raises VoiceError for an
    unknown kind, an end that the kind does not have or a band upside down, OutOfRangeError for a
    value outside the kind's range. Source: each origin carries its own; the strictest demand
    decides by common practice.

    >>> lender = Voice("lender", "Loan 7", (Demand("rh_percent", 45, 55), Demand("lux", most=50)))
    >>> case = Voice("case", "C3", (Demand("rh_percent", 40, 50),))
    >>> limits = combine_limits([lender, case])
    >>> limits.of("rh_percent").least, limits.of("rh_percent").most
    (45.0, 50.0)
    >>> limits.of("lux").most_from[0].role
    'lender'
    """
    if len(voices) > MOST_VOICES:
        raise VoiceError(f"{len(voices)} voices speak for one object; give at most {MOST_VOICES}.")
    for voice in voices:
        _check(voice, tables)
    limits: list[Limit] = []
    contradictions: list[Contradiction] = []
    for kind in tables["limit_kinds"]:
        lows = list(_origins(voices, kind.id, "least"))
        highs = list(_origins(voices, kind.id, "most"))
        if lows or highs:
            found = list(_contradictions(kind, lows, highs))
            limits.append(_strictest(kind, lows, highs, possible=not found))
            contradictions += found
    return ObjectLimits(tuple(limits), tuple(contradictions))


def class_voice(
    responsivity: str,
    rule_set: str = DEFAULT_RULE_SET,
    *,
    uv: str | None = "usual",
    tables: Tables = OURS,
) -> Voice:
    """Return the house rule that a class of responsivity R0 to R3 brings: light and ultraviolet.

    `uv` names a row of `uv_limits`, None leaves ultraviolet out; R0 brings none of either.
    Raises UnknownRowError for a class or rule set that is not known. Source: tables `light_limits`
    and `uv_limits`.

    >>> [(demand.kind, demand.most) for demand in class_voice("R3").demands]
    [('lux', 50.0), ('lux_h_per_year', 15000.0), ('uv_uw_per_lm', 75.0)]
    """
    limit = light_limit(responsivity, rule_set, tables=tables)
    pairs = [("lux", limit.max_lux), ("lux_h_per_year", limit.max_lux_h_per_year)]
    demands = [Demand(kind, None, most, limit.source) for kind, most in pairs if most is not None]
    if uv is not None and responsivity != "R0":
        known = uv_limit(uv, tables=tables)
        demands.append(Demand("uv_uw_per_lm", None, known.max_uw_per_lm, known.source))
    return Voice("house rule", f"class {responsivity} under {rule_set}", tuple(demands))


def read_voice(data: object, *, tables: Tables = OURS) -> Voice:
    """Return a voice from plain data: role, name, and by kind a number or least and most.

    A number alone is `most`, or `least` for a kind that has that end only. Raises VoiceError or
    OutOfRangeError with a sentence. Source: none; the data's own.

    >>> voice = read_voice({"role": "lender", "name": "Loan 7", "lux": 50,
    ...                     "rh_percent": {"least": 45, "most": 55}})
    >>> [demand.kind for demand in voice.demands]
    ['lux', 'rh_percent']
    """
    if not isinstance(data, Mapping):
        raise VoiceError(f"A voice must be an object with role and name, not {data!r:.40}.")
    role, name = data.get("role"), data.get("name", data.get("role"))
    if not isinstance(role, str) or not role.strip() or not isinstance(name, str):
        raise VoiceError(f"A voice needs a role in words, such as lender; here it is {role!r:.40}.")
    kinds = {row.id: row for row in tables["limit_kinds"]}
    demands = []
    for key, value in data.items():
        if key in ("role", "name") or value is None:
            continue
        if key not in kinds:
            known = ", ".join(kinds)
            raise VoiceError(
                f"{role} {name} demands {key!r:.40}, which is no kind; known: {known}."
            )
        demands.append(_read_demand(kinds[key], value, f"{role} {name}"))
    voice = Voice(role, name, tuple(demands))
    _check(voice, tables)
    return voice


def _read_demand(kind: Row, value: object, who: str) -> Demand:
    if not isinstance(value, Mapping):
        end = "least" if kind.text("ends") == "least" else "most"
        value = {end: value}
    extra = set(value) - {"least", "most"}
    if extra or not any(value.get(end) is not None for end in ("least", "most")):
        raise VoiceError(f"{kind.id} of {who} must be a number, or have least or most or both.")
    least, most = (
        None if value.get(end) is None else _in_kind(kind, value.get(end), end, who)
        for end in ("least", "most")
    )
    return Demand(kind.id, least, most)


def _in_kind(kind: Row, value: object, end: str, who: str) -> float:
    name = f"{kind.text('name')} ({end}) of {who}"
    low, high = kind.number("lowest"), kind.number("highest")
    return in_range(name, value, low, high, unit=kind.text("unit"))


def _check(voice: Voice, tables: Tables) -> None:
    for demand in voice.demands:
        kind = tables["limit_kinds"].by_id(demand.kind)
        who = f"{voice.role} {voice.name}"
        for end, value in (("least", demand.least), ("most", demand.most)):
            if value is None:
                continue
            if kind.text("ends") not in (end, "both"):
                raise VoiceError(f"{kind.text('name')} of {who} knows no {end}.")
            _in_kind(kind, value, end, who)
        if demand.least is not None and demand.most is not None and demand.least > demand.most:
            words = f"at least {demand.least:g} and at most {demand.most:g} {kind.text('unit')}"
            raise VoiceError(f"{who} asks for {kind.text('name')} of {words}: swap the two.")


def _origins(voices: Sequence[Voice], kind: str, end: str) -> Iterator[Origin]:
    for voice in voices:
        for demand in voice.demands:
            value = demand.least if end == "least" else demand.most
            if demand.kind == kind and value is not None:
                yield Origin(voice.role, voice.name, float(value), demand.source)


def _strictest(kind: Row, lows: list[Origin], highs: list[Origin], *, possible: bool) -> Limit:
    least = max((origin.value for origin in lows), default=-math.inf)
    most = min((origin.value for origin in highs), default=math.inf)
    return Limit(
        kind.id,
        kind.text("name"),
        kind.text("unit"),
        least if lows else None,
        most if highs else None,
        tuple(origin for origin in lows if origin.value == least),
        tuple(origin for origin in highs if origin.value == most),
        possible,
    )


def _contradictions(kind: Row, lows: list[Origin], highs: list[Origin]) -> Iterator[Contradiction]:
    for low, high in product(lows, highs):
        if low.value > high.value:
            unit = kind.text("unit")
            yield Contradiction(
                kind.id,
                low,
                high,
                f"{kind.text('name').capitalize()}: {low.role} {low.name} asks for at least"
                f" {low.value:g} {unit}, {high.role} {high.name} for at most {high.value:g} {unit}."
                " One of them must give way.",
            )
