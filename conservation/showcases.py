"""The air of a showcase: exchange, humidity buffering, pollutants. Every quantity may be a range.

Air exchange is in 1/d throughout; a pair [low, high] or an Interval stands for what is uncertain,
and every result is an Interval. Nothing here certifies a case: measure it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from conservation.intervals import Amount, Interval, interval, over
from conservation.ranges import in_range
from conservation.tables import OURS, Row, Source, Tables, UnknownRowError

MOST_EXCHANGES = 10_000.0
MOST_DAYS = 36_525.0
MOST_M3 = 100_000.0
TARGET_YEARS = (1, 10, 100)


def _exchange(value: Amount) -> Interval:
    name = "The air exchange"
    return interval(name, value, 0, MOST_EXCHANGES, unit="1/d", above=True)


def decay(*, start: Amount, room: Amount, exchanges_a_day: Amount, days: Amount) -> Interval:
    """Return a concentration or RH in a case after some days: room + (start − room) e^(−N t).

    start and room 0 to 1e9 in one and the same unit; N above 0 to 10,000 1/d; 0 to 36,525 d.
    Source: mixing of air, physics.

    >>> round(decay(start=0, room=100, exchanges_a_day=2.4, days=1 / 24).low, 2)
    9.52
    """
    return over(
        lambda c0, cr, n, t: cr + (c0 - cr) * math.exp(-n * t),
        interval("The start", start, 0, 1e9),
        interval("The room", room, 0, 1e9),
        _exchange(exchanges_a_day),
        interval("The time", days, 0, MOST_DAYS, unit="d"),
    )


def decay_in_steps(*, start: float, room: float, share: float, steps: int) -> float:
    """Return a concentration after a share of the air was swapped at once, so many times.

    start and room 0 to 1e9; share 0 to 1; 0 to 1,000,000 steps.
    Source: conservationphysics.org, air exchange (discrete form).

    >>> round(decay_in_steps(start=0, room=100, share=0.1, steps=3), 1)
    27.1
    """
    c0, cr = in_range("The start", start, 0, 1e9), in_range("The room", room, 0, 1e9)
    kept = 1 - in_range("The share", share, 0, 1)
    return cr + (c0 - cr) * kept ** int(in_range("The steps", steps, 0, 1_000_000))


def half_time_days(exchanges_a_day: Amount) -> Interval:
    """Return the days in which a difference to the room halves: ln 2 / N.

    N above 0 to 10,000 1/d. Source: mixing of air, physics.

    >>> round(half_time_days(2.4).low * 24, 2)
    6.93
    """
    return over(lambda n: math.log(2) / n, _exchange(exchanges_a_day))


def exchanges_from_decay(*, first: Amount, second: Amount, room: Amount, days: Amount) -> Interval:
    """Return the air exchange in 1/d from two readings of a tracer: ln((c1−cr)/(c2−cr)) / t.

    Readings above the room's and falling; 0 to 1e9 in one unit; above 0 to 36,525 d.
    Source: mixing of air, physics.

    >>> round(exchanges_from_decay(first=2000, second=1200, room=400, days=1).low, 4)
    0.6931
    """
    cr = interval("The room", room, 0, 1e9)
    c2 = interval("The second reading", second, cr.high, 1e9, above=True)
    c1 = interval("The first reading", first, c2.high, 1e9)
    t = interval("The time", days, 0, MOST_DAYS, unit="d", above=True)
    return over(lambda a, b, c, d: math.log((a - c) / (b - c)) / d, c1, c2, cr, t)


def tightness(exchanges_a_day: Amount, *, tables: Tables = OURS) -> tuple[Row, ...]:
    """Return the rows of tightness whose range the air exchange touches; none in a gap between.

    N above 0 to 10,000 1/d. Source: table showcases, from memory.

    >>> [row.id for row in tightness([0.2, 2])]
    ['good', 'ordinary']
    """
    found = _exchange(exchanges_a_day)
    return tuple(
        row
        for row in tables["showcases"].where(kind="tightness")
        if found.meet(Interval(row.number("low"), row.number("high")))
    )


def buffering(name: str, *, tables: Tables = OURS) -> tuple[Interval, Source]:
    """Return how much water a buffer takes up, in g per kg and % RH, with its source.

    Raises UnknownRowError naming the buffers known. Source: table showcases, from memory.

    >>> buffering("silica gel")[0]
    Interval(low=2.0, high=2.0)
    """
    rows = tables["showcases"].where(kind="buffer")
    wanted = name.strip().casefold() if isinstance(name, str) else ""
    for row in rows:
        if wanted in (row.id, *(word.casefold() for word in row.texts("names"))):
            return Interval(row.number("low"), row.number("high")), row.source
    known = ", ".join(word for row in rows for word in row.texts("names"))
    raise UnknownRowError(f"There is no buffer {name!r:.60}; known: {known}.")


def hygrometric_half_time_days(
    *,
    buffering_g_per_kg_percent: Amount,
    kg_per_m3: Amount,
    exchanges_a_day: Amount,
    tables: Tables = OURS,
) -> Interval:
    """Return the days in which the RH of a buffered case goes half way to the room's: 4 M B / N.

    M above 0 to 100 g/(kg % RH), B above 0 to 500 kg/m3, N above 0 to 10,000 1/d; at about 20 °C.
    Source: Thomson 1977, from memory (table showcases, half_time_factor).

    >>> hygrometric_half_time_days(
    ...     buffering_g_per_kg_percent=2, kg_per_m3=20, exchanges_a_day=[0.1, 1])
    Interval(low=160.0, high=1600.0)
    """
    factor = tables["showcases"].by_id("half_time_factor").number("low")
    return over(
        lambda m, b, n: factor * m * b / n,
        _buffer(buffering_g_per_kg_percent),
        interval("The buffer", kg_per_m3, 0, 500, unit="kg/m3", above=True),
        _exchange(exchanges_a_day),
    )


def _buffer(value: Amount) -> Interval:
    return interval("The buffering", value, 0, 100, unit="g/(kg % RH)", above=True)


def buffer_kg(
    *,
    difference_percent: Amount,
    volume_m3: Amount,
    exchanges_a_day: Amount,
    days: Amount,
    buffering_g_per_kg_percent: Amount,
    drift_percent: Amount,
    tables: Tables = OURS,
) -> Interval:
    """Return the kilograms of buffer that keep a case within a drift: C D V N t / (M F).

    Difference of room and target 0 to 100 % RH, V above 0 to 100,000 m3, N above 0 to 10,000 1/d,
    0 to 36,525 d, M above 0 to 100 g/(kg % RH), drift above 0 to 100 % RH; at about 20 °C.
    Source: Weintraub 2002, from memory (table showcases, vapour_at_20).

    >>> round(buffer_kg(difference_percent=25, volume_m3=1, exchanges_a_day=1, days=90,
    ...     buffering_g_per_kg_percent=4, drift_percent=5).low, 2)
    19.46
    """
    vapour = tables["showcases"].by_id("vapour_at_20").number("low")
    return over(
        lambda d, v, n, t, m, f: vapour * d / 100 * v * n * t / (m * f),
        _difference(difference_percent),
        _volume(volume_m3),
        _exchange(exchanges_a_day),
        interval("The time", days, 0, MOST_DAYS, unit="d"),
        _buffer(buffering_g_per_kg_percent),
        _drift(drift_percent),
    )


def buffer_lasts_days(
    *,
    mass_kg: Amount,
    difference_percent: Amount,
    volume_m3: Amount,
    exchanges_a_day: Amount,
    buffering_g_per_kg_percent: Amount,
    drift_percent: Amount,
    tables: Tables = OURS,
) -> Interval:
    """Return the days until a buffer has drifted by so much: Q M F / (C D V N).

    Mass 0 to 10,000 kg; difference above 0 to 100 % RH; the rest as for `buffer_kg`.
    Source: Weintraub 2002, solved for the time.

    >>> round(buffer_lasts_days(mass_kg=19.4625, difference_percent=25, volume_m3=1,
    ...     exchanges_a_day=1, buffering_g_per_kg_percent=4, drift_percent=5).low, 6)
    90.0
    """
    vapour = tables["showcases"].by_id("vapour_at_20").number("low")
    return over(
        lambda q, d, v, n, m, f: q * m * f / (vapour * d / 100 * v * n),
        interval("The mass", mass_kg, 0, 10_000, unit="kg"),
        interval("The difference", difference_percent, 0, 100, unit="% RH", above=True),
        _volume(volume_m3),
        _exchange(exchanges_a_day),
        _buffer(buffering_g_per_kg_percent),
        _drift(drift_percent),
    )


def _difference(value: Amount) -> Interval:
    return interval("The difference of room and target", value, 0, 100, unit="% RH")


def _volume(value: Amount) -> Interval:
    return interval("The volume", value, 0, MOST_M3, unit="m3", above=True)


def _drift(value: Amount) -> Interval:
    return interval("The allowed drift", value, 0, 100, unit="% RH", above=True)


def pollutant_ug_m3(
    *,
    emission_ug_m2_h: Amount,
    area_m2: Amount,
    volume_m3: Amount,
    exchanges_a_day: Amount,
    room_ug_m3: Amount = 0.0,
) -> Interval:
    """Return the steady concentration in a case with a source: room + E A / (V N).

    E 0 to 1e9 ug/(m2 h), A 0 to 10,000 m2, V above 0 to 100,000 m3, N above 0 to 10,000 1/d, room 0
    to 1e9 ug/m3. Nothing is taken to settle on surfaces, so the figure is on the high side.
    Source: CCI Technical Bulletin 32, second-hand.

    >>> pollutant_ug_m3(emission_ug_m2_h=100, area_m2=2, volume_m3=1, exchanges_a_day=1).low
    4800.0
    """
    return over(
        lambda e, a, v, n, r: r + e * a * 24 / (v * n),
        interval("The emission", emission_ug_m2_h, 0, 1e9, unit="ug/(m2 h)"),
        interval("The area", area_m2, 0, 10_000, unit="m2"),
        _volume(volume_m3),
        _exchange(exchanges_a_day),
        interval("The room", room_ug_m3, 0, 1e9, unit="ug/m3"),
    )


@dataclass(frozen=True)
class Exposure:
    """A concentration held against a ceiling; `verdict` is kept, uncertain or exceeded.

    `kept_years` is the longest tabulated time for which even the upper end stays at or below its
    ceiling, 0 for none. `dose_ug_m3_years` is concentration times years.
    """

    pollutant: str
    concentration_ug_m3: Interval
    years: float
    ceiling_ug_m3: float
    verdict: str
    kept_years: int
    dose_ug_m3_years: Interval
    source: Source
    sentence: str


def exposure(
    pollutant: str, concentration_ug_m3: Amount, years: float, *, tables: Tables = OURS
) -> Exposure:
    """Judge a mean concentration against the ceiling for the years wished.

    0 to 1e9 ug/m3; above 0 to 100 years, between tabulated years the next longer, stricter one.
    Raises UnknownRowError for a pollutant without ceilings. Source: table pollutant_ceilings.

    >>> exposure("acetic acid", [80, 300], 10).verdict
    'uncertain'
    """
    found = interval("The concentration", concentration_ug_m3, 0, 1e9, unit="ug/m3")
    wished = interval("The time", years, 0, TARGET_YEARS[-1], unit="years", above=True).high
    row = _ceilings(pollutant, tables)
    target = next(y for y in TARGET_YEARS if wished <= y)
    ceiling = row.number(f"years_{target}")
    verdict = "kept" if found.high <= ceiling else "exceeded"
    if found.low <= ceiling < found.high:
        verdict = "uncertain"
    kept = [y for y in TARGET_YEARS if found.high <= row.number(f"years_{y}")]
    name = row.text("pollutant")
    words = {
        "kept": "stays at or below",
        "uncertain": "may lie above or below",
        "exceeded": "exceeds",
    }[verdict]
    return Exposure(
        name,
        found,
        wished,
        ceiling,
        verdict,
        max(kept, default=0),
        Interval(found.low * wished, found.high * wished),
        row.source,
        f"{name} at {found} µg/m³ {words} the ceiling of {ceiling:g} µg/m³ for {target} "
        f"{'year' if target == 1 else 'years'} ({row.source.cite()}).",
    )


def _ceilings(pollutant: str, tables: Tables) -> Row:
    wanted = pollutant.strip().casefold() if isinstance(pollutant, str) else ""
    for row in tables["pollutant_ceilings"]:
        names = (row.id, row.text("pollutant"), *row.texts("words"))
        if wanted in (word.casefold() for word in names):
            return row
    known = ", ".join(row.text("pollutant") for row in tables["pollutant_ceilings"])
    raise UnknownRowError(f"There is no ceiling for {pollutant!r:.60}; known: {known}.")
