"""Climate asked for loans: a range, and a change within a day that can be read in three ways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from conservation.climate.arrays import FloatArray, NotEnoughReadingsError
from conservation.climate.bands import Excursions, excursions
from conservation.climate.readings import Readings
from conservation.climate.windows import change_over, spread_over
from conservation.ranges import ConservationError
from conservation.tables import OURS, Row, Source, Tables

Reading = Literal["change", "spread", "wide_spread"]
READINGS: tuple[Reading, ...] = get_args(Reading)
_HAIR = 1e-9


@dataclass(frozen=True)
class LoanResult:
    """Whether a record keeps a loan rule.

    `reading` says how ± within a day was read; `largest_change_percent` is the largest change by
    that reading, `allowed_change_percent` what it may be, both in % RH, and `share_changed` the
    share of readings beyond it. `rh` and `temp` are the stays outside the range.
    """

    rule: str
    edition: str
    source: Source
    reading: Reading
    rh: Excursions
    temp: Excursions
    largest_change_percent: float
    allowed_change_percent: float
    share_changed: float
    notes: tuple[str, ...]

    @property
    def passes(self) -> bool:
        """Return whether every demand that could be tested was kept."""
        return not len(self.rh) and not len(self.temp) and not self.share_changed


def loan_rule(
    readings: Readings,
    *,
    rule: str = "bizot",
    edition: str | None = None,
    reading: Reading | None = None,
    tables: Tables = OURS,
) -> LoanResult:
    """Return whether the readings keep a loan rule, by one reading of its ± a day.

    `change`: a value against that of 24 h before, at most 10; `spread`: highest less lowest of any
    24 h, at most 10; `wide_spread`: the same, at most 20 (±10 about a middle). The default
    is the table's. Range: 0 to 100 % RH, -60 to 80 °C. Source: climate_loans.

    >>> hours = np.arange(49) * 3600
    >>> rise = Readings.of(hours, rh_percent=45 + hours / 86400 * 5.5, temp_c=0 * hours + 20)
    >>> [loan_rule(rise, reading=name).passes for name in READINGS]
    [True, True, True]
    """
    row = _row(rule, edition, tables)
    return _judged(readings, row, (_reading(reading or row.text("reading")),))[0]


def loan_rule_readings(
    readings: Readings, *, rule: str = "bizot", edition: str | None = None, tables: Tables = OURS
) -> tuple[LoanResult, ...]:
    """Return the verdict by every reading of the rule, the table's own reading first.

    Range: as loan_rule. Source: climate_loans.

    >>> hours = np.arange(49) * 3600
    >>> wave = Readings.of(hours, rh_percent=50 + 8 * np.sin(hours / 86400 * 6.2832))
    >>> [(result.reading, result.passes) for result in loan_rule_readings(wave)]
    [('change', True), ('spread', False), ('wide_spread', True)]
    """
    row = _row(rule, edition, tables)
    first = _reading(row.text("reading"))
    return _judged(readings, row, (first, *(name for name in READINGS if name != first)))


def _row(rule: str, edition: str | None, tables: Tables) -> Row:
    asked = {"rule": rule} if edition is None else {"rule": rule, "edition": edition}
    return tables["climate_loans"].one(**asked)


def _judged(readings: Readings, row: Row, names: tuple[Reading, ...]) -> tuple[LoanResult, ...]:
    if np.isnan(readings.rh_percent).all() and np.isnan(readings.temp_c).all():
        raise NotEnoughReadingsError("There are no readings of humidity or temperature.")
    rh = _outside(readings, readings.rh_percent, row, "percent", "% RH")
    temp = _outside(readings, readings.temp_c, row, "c", "°C")
    measures = {_measure(name) for name in names}
    sizes = {measure: measure(readings, row.number("change_h")) for measure in measures}
    return tuple(_verdict(readings, row, name, sizes[_measure(name)], rh, temp) for name in names)


def _verdict(
    readings: Readings, row: Row, name: Reading, sizes: FloatArray, rh: Excursions, temp: Excursions
) -> LoanResult:
    allowed = row.number("change_percent") * (2 if name == "wide_spread" else 1)
    known = int(np.count_nonzero(~np.isnan(sizes)))
    return LoanResult(
        row.text("rule"),
        row.text("edition"),
        row.source,
        name,
        rh,
        temp,
        float(np.fmax.reduce(sizes)) if known else float("nan"),
        allowed,
        float(np.count_nonzero(sizes > allowed + _HAIR)) / known if known else 0.0,
        tuple(_notes(readings, known)),
    )


def _reading(name: str) -> Reading:
    for known in READINGS:
        if name == known:
            return known
    raise ConservationError(f"There is no reading {name!r}; known: {', '.join(READINGS)}.")


def _change(readings: Readings, hours: float) -> FloatArray:
    return np.abs(change_over(readings, readings.rh_percent, hours=hours))


def _spread(readings: Readings, hours: float) -> FloatArray:
    return spread_over(readings, readings.rh_percent, hours=hours)


def _measure(name: Reading) -> Callable[[Readings, float], FloatArray]:
    return _change if name == "change" else _spread


def _outside(
    readings: Readings, values: FloatArray, row: Row, suffix: str, unit: str
) -> Excursions:
    least, most = row.number(f"least_{suffix}"), row.number(f"most_{suffix}")
    return excursions(readings, values, least=least, most=most, unit=unit)


def _notes(readings: Readings, known: int) -> list[str]:
    notes = []
    if np.isnan(readings.temp_c).all():
        notes.append("There are no readings of temperature: its range was not tested.")
    if np.isnan(readings.rh_percent).all():
        notes.append("There are no readings of humidity: its range and change were not tested.")
    elif not known:
        notes.append("The record is too short for a change within a day.")
    return notes
