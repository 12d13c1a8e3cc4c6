"""Readings as written to °C and % RH; what no sensor can measure is taken as missing."""

from __future__ import annotations

import numpy as np

from conservation.climate.arrays import FloatArray
from conservation.climate.logger.asking import Assumption, FileRefusedError, Question

Told = tuple[FloatArray, list[Assumption], Question | None]

_LEAST_C, _MOST_C = -60.0, 80.0
# A room in °C lies here; the same figures in °F would be a frost store.
_ROOM_C = (5.0, 35.0)
_MOST_BROKEN = 0.5


def celsius(values: FloatArray, unit: str | None, given: str | None) -> Told:
    """Return temperatures in °C; without a unit, those of a room are taken as °C, others asked for.

    Range: -60 to 80 °C; outside missing. Source: common practice, no source.

    >>> celsius(np.array([68.0]), "F", None)[0]
    array([20.])
    """
    if np.isnan(values).all():
        return values, [], None
    assumed: list[Assumption] = []
    unit = given or unit
    if unit is None:
        middle = float(np.nanmedian(values))
        if not _ROOM_C[0] <= middle <= _ROOM_C[1]:
            words = f"In which unit are the temperatures (the middle one is {middle:g})?"
            likely = "F" if 40 <= middle <= 100 else ""
            return values, [], Question("temp_unit", words, ("C", "F", "K"), likely)
        words = f"Temperatures are in °C: no unit is given and the middle one is {middle:g}."
        assumed.append(Assumption("temp_unit", words))
    if unit == "F":
        values = (values - 32) / 1.8
    elif unit == "K":
        values = values - 273.15
    broken = (values < _LEAST_C) | (values > _MOST_C)
    return _without(values, broken, "temperature", "-60 to 80 °C", assumed), assumed, None


def percent(values: FloatArray, given: str | None, heading: str) -> Told:
    """Return relative humidities in %; values up to 1 under a heading without % are asked about.

    Range: above 0 to 100 % RH; outside missing; up to 105 % counts as 100. Source: common practice,
    no source.

    >>> percent(np.array([0.45]), "fraction", "RH")[0]
    array([45.])
    """
    there = values[~np.isnan(values)]
    if there.size == 0:
        return values, [], None
    assumed: list[Assumption] = []
    if given is None and "%" not in heading and 0 < there.max() <= 1:
        words = f"Are relative humidities such as {there.max():g} fractions or per cent?"
        return values, [], Question("rh_unit", words, ("fraction", "percent"), "fraction")
    if given == "fraction":
        values = values * 100
    over = (values > 100) & (values <= 105)
    number = int(np.count_nonzero(over))
    if number:
        values = np.where(over, 100.0, values)
        assumed.append(Assumption("", f"{_readings(number)} of 100 to 105 % RH count as 100 %."))
    broken = (values <= 0) | (values > 100)
    return _without(values, broken, "relative humidity", "0 to 100 %", assumed), assumed, None


def _without(
    values: FloatArray,
    broken: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    what: str,
    span: str,
    assumed: list[Assumption],
) -> FloatArray:
    number = int(np.count_nonzero(broken))
    if number == 0:
        return values
    there = int(np.count_nonzero(~np.isnan(values)))
    if number > _MOST_BROKEN * there:
        raise FileRefusedError(
            f"{_readings(number)} of {there:,} lie outside {span}: that is no {what}."
        )
    words = f"{_readings(number)} of {what} outside {span} taken as missing."
    assumed.append(Assumption("", words))
    return np.where(broken, np.nan, values)


def _readings(number: int) -> str:
    return f"{number:,} reading" + ("" if number == 1 else "s")
