"""Damp and mould: the humidity at which growth can begin, and how soon. A guide, not a promise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from conservation.climate.arrays import FloatArray, V, blockwise, checked
from conservation.climate.bands import Excursions, excursions
from conservation.climate.readings import Readings
from conservation.tables import OURS, Source, Tables


def critical_rh_percent(temp_c: V, *, tables: Tables = OURS) -> V:
    """Return the RH above which mould can grow on wood, in %.

    Range: 0 to 50 °C. Source: climate_mould critical.

    >>> round(float(critical_rh_percent(10.0)), 2)
    82.03
    """
    row = tables["climate_mould"].by_id("critical")
    temp = checked("The temperature", temp_c, row.number("least_c"), row.number("most_c"), "°C")
    return blockwise(_critical, temp)  # type: ignore[return-value]


def weeks_to_mould(temp_c: V, rh_percent: V, *, tables: Tables = OURS) -> V:
    """Return the weeks of this climate until mould first shows on pine under the microscope.

    Infinite below the critical RH, where it does not grow. Range: 1 to 50 °C, 0 to 100 % RH.
    Source: climate_mould weeks.

    >>> round(float(weeks_to_mould(20.0, 90.0)), 2), float(weeks_to_mould(20.0, 60.0))
    (4.2, inf)
    """
    row = tables["climate_mould"].by_id("weeks")
    temp = checked("The temperature", temp_c, row.number("least_c"), row.number("most_c"), "°C")
    rh = checked("The relative humidity", rh_percent, 0, 100, "%")
    return blockwise(_weeks, temp, rh)  # type: ignore[return-value]


# The two branches of the critical RH miss each other by 0.04 % at 20 °C.
_FIT_ERROR = 0.05


@dataclass(frozen=True)
class DampResult:
    """Stays above the warning level, and stays above the alarm level for longer than allowed."""

    warning_percent: float
    alarm_percent: float
    alarm_h: float
    warnings: Excursions
    alarms: Excursions
    source: Source


def damp_alarm(readings: Readings, *, tables: Tables = OURS) -> DampResult:
    """Return when the air was damp: a warning above 65 % RH, an alarm above 75 % for over 48 h.

    Range: 0 to 100 % RH. Source: climate_mould warning and alarm (choices of this program).

    >>> got = Readings.of(np.arange(60) * 3600, rh_percent=np.full(60, 80.0))
    >>> len(damp_alarm(got).alarms)
    1
    """
    table = tables["climate_mould"]
    warning, alarm = table.by_id("warning"), table.by_id("alarm")
    damp = excursions(readings, readings.rh_percent, most=warning.number("above_percent"))
    wet = excursions(readings, readings.rh_percent, most=alarm.number("above_percent"))
    return DampResult(
        warning.number("above_percent"),
        alarm.number("above_percent"),
        alarm.number("longer_than_h"),
        damp.longer_than(warning.number("longer_than_h")),
        wet.longer_than(alarm.number("longer_than_h")),
        alarm.source,
    )


def _critical(temp: FloatArray) -> FloatArray:
    cold = 100 + temp * (-3.13 + temp * (0.160 - 0.00267 * temp))
    return np.where(temp <= 20, cold, np.where(np.isnan(temp), np.nan, 80.0))


def _weeks(temp: FloatArray, rh: FloatArray) -> FloatArray:
    dry = rh < _critical(temp) - _FIT_ERROR
    logs = 66.02 - 0.68 * np.log(temp) - 13.9 * np.log(np.where(dry, 100.0, rh))
    return np.where(dry, np.inf, np.exp(logs))
