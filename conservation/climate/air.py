"""Moist air: dew point, humidity ratio, absolute humidity, wet bulb, RH after a change.

Every function takes numbers or arrays (NaN marks a missing reading and stays NaN) and raises
OutOfRangeError outside the range it states. Two routes to the saturation pressure: `hyland_wexler`
(over ice below 0.01 °C) and `magnus` (over water throughout). Sources: table `climate_formulas`.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from conservation.climate.arrays import FloatArray, V, blockwise, checked
from conservation.ranges import ConservationError, in_range

Route = Literal["hyland_wexler", "magnus"]

ZERO_K = 273.15
TRIPLE_C = 0.01
STANDARD_PA = 101_325.0
LEAST_RH = 0.1
_RANGE_C = {"hyland_wexler": (-60.0, 80.0), "magnus": (-45.0, 60.0)}
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)
_ICE = (
    *(-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13),
    4.1635019,
)
_MAGNUS_WATER = (611.2, 17.62, 243.12)
_MAGNUS_ICE = (611.2, 22.46, 272.62)


def saturation_pressure_pa(temp_c: V, *, route: Route = "hyland_wexler") -> V:
    """Return the pressure of saturated water vapour, in Pa.

    Range: -60 to 80 °C (hyland_wexler), -45 to 60 °C (magnus). Source: climate_formulas
    hyland_wexler or magnus.

    >>> round(float(saturation_pressure_pa(20.0)), 1)
    2338.8
    >>> round(float(saturation_pressure_pa(20.0, route="magnus")), 1)
    2332.6
    """
    return blockwise(_SATURATION[_known(route)], _temp(temp_c, route))  # type: ignore[return-value]


def vapour_pressure_pa(temp_c: V, rh_percent: V, *, route: Route = "hyland_wexler") -> V:
    """Return the pressure of the vapour in air, in Pa.

    Range: as saturation_pressure_pa; 0 to 100 % RH. Source: climate_formulas hyland_wexler or
    magnus.

    >>> round(float(vapour_pressure_pa(20.0, 50.0)), 1)
    1169.4
    """
    saturation = _SATURATION[_known(route)]

    def compute(temp: FloatArray, rh: FloatArray) -> FloatArray:
        return rh / 100 * saturation(temp)

    return blockwise(compute, _temp(temp_c, route), _rh(rh_percent))  # type: ignore[return-value]


def dew_point_c(temp_c: V, rh_percent: V, *, route: Route = "hyland_wexler") -> V:
    """Return the dew point, in °C; by hyland_wexler the frost point below 0.01 °C.

    Range: -60 to 80 °C (hyland_wexler), -45 to 60 °C (magnus); 0.1 to 100 % RH. The routes agree
    within 0.05 K between 10 and 25 °C and 40 to 70 % RH. Source: climate_formulas hyland_wexler
    or magnus.

    >>> round(float(dew_point_c(20.0, 50.0)), 3)
    9.272
    >>> round(float(dew_point_c(20.0, 50.0, route="magnus")), 2)
    9.26
    """
    compute = _DEW_POINT[_known(route)]
    return blockwise(compute, _temp(temp_c, route), _rh(rh_percent, LEAST_RH))  # type: ignore[return-value]


def rh_from_dew_point_percent(temp_c: V, dew_c: V, *, route: Route = "hyland_wexler") -> V:
    """Return the relative humidity of air whose dew point is known, in %.

    Range: as dew_point_c; above 100 % means that water condenses at this temperature. Source:
    climate_formulas hyland_wexler or magnus.

    >>> round(float(rh_from_dew_point_percent(20.0, 9.272)), 1)
    50.0
    """
    saturation = _SATURATION[_known(route)]

    def compute(temp: FloatArray, dew: FloatArray) -> FloatArray:
        return 100 * saturation(dew) / saturation(temp)

    dew = checked("The dew point", dew_c, -110, _RANGE_C[route][1], "°C")
    return blockwise(compute, _temp(temp_c, route), dew)  # type: ignore[return-value]


def humidity_ratio_g_per_kg(
    temp_c: V, rh_percent: V, *, pressure_pa: float = STANDARD_PA, route: Route = "hyland_wexler"
) -> V:
    """Return grams of water in a kilogram of dry air.

    Range: -60 to 80 °C, 0 to 100 % RH, 50 000 to 120 000 Pa. Source: climate_formulas
    humidity_ratio.

    >>> round(float(humidity_ratio_g_per_kg(20.0, 50.0)), 3)
    7.262
    """
    total = in_range("The air pressure", pressure_pa, 50_000, 120_000, unit="Pa")
    saturation = _SATURATION[_known(route)]

    def compute(temp: FloatArray, rh: FloatArray) -> FloatArray:
        return 1000 * _ratio(rh / 100 * saturation(temp), total)

    return blockwise(compute, _temp(temp_c, route), _rh(rh_percent))  # type: ignore[return-value]


def absolute_humidity_g_per_m3(temp_c: V, rh_percent: V, *, route: Route = "hyland_wexler") -> V:
    """Return grams of water in a cubic metre of air.

    Range: -60 to 80 °C, 0 to 100 % RH. Source: climate_formulas absolute_humidity.

    >>> round(float(absolute_humidity_g_per_m3(20.0, 50.0)), 3)
    8.644
    """
    saturation = _SATURATION[_known(route)]

    def compute(temp: FloatArray, rh: FloatArray) -> FloatArray:
        return 10 * rh * saturation(temp) / (461.5 * (temp + ZERO_K))

    return blockwise(compute, _temp(temp_c, route), _rh(rh_percent))  # type: ignore[return-value]


def rh_after_change_percent(
    temp_c: V, rh_percent: V, to_temp_c: float | FloatArray, *, route: Route = "hyland_wexler"
) -> V:
    """Return the RH of air brought to another temperature with its water kept, in %.

    Range: -60 to 80 °C both; 0 to 100 % RH. More than 100 % means that water condenses. Source:
    climate_formulas hyland_wexler or magnus.

    >>> round(float(rh_after_change_percent(20.0, 50.0, 16.0)), 1)
    64.3
    """
    saturation = _SATURATION[_known(route)]

    def compute(temp: FloatArray, rh: FloatArray, to: FloatArray) -> FloatArray:
        result: FloatArray = rh * saturation(temp) / saturation(to)
        return result

    to_temp = checked("The new temperature", to_temp_c, *_RANGE_C[route], "°C")
    return blockwise(compute, _temp(temp_c, route), _rh(rh_percent), to_temp)  # type: ignore[return-value]


def wet_bulb_c(temp_c: V, rh_percent: V, *, pressure_pa: float = STANDARD_PA) -> V:
    """Return the temperature of thermodynamic wet bulb, in °C; below 0 °C that of an iced bulb.

    Range: -40 to 60 °C, 0.1 to 100 % RH, 50 000 to 120 000 Pa. Near 0 °C a bulb may be wet or
    iced; then the wet one is given. Source: climate_formulas wet_bulb.

    >>> round(float(wet_bulb_c(20.0, 50.0)), 2)
    13.78
    """
    total = in_range("The air pressure", pressure_pa, 50_000, 120_000, unit="Pa")
    temp = checked("The temperature", temp_c, -40, 60, "°C")

    def compute(temp: FloatArray, rh: FloatArray) -> FloatArray:
        return _wet_bulb(temp, rh, total)

    return blockwise(compute, temp, _rh(rh_percent, LEAST_RH))  # type: ignore[return-value]


def _known(route: str) -> str:
    if route not in _RANGE_C:
        raise ConservationError(f"There is no route {route!r}; known: {', '.join(_RANGE_C)}.")
    return route


def _temp(temp_c: float | FloatArray, route: str) -> FloatArray:
    return checked("The temperature", temp_c, *_RANGE_C[route], "°C")


def _rh(rh_percent: float | FloatArray, least: float = 0.0) -> FloatArray:
    return checked("The relative humidity", rh_percent, least, 100, "%")


def _log_water(kelvin: FloatArray) -> FloatArray:
    a, b, c, d, e, f = _WATER
    return a / kelvin + b + kelvin * (c + kelvin * (d + kelvin * e)) + f * np.log(kelvin)


def _log_water_slope(kelvin: FloatArray) -> FloatArray:
    a, _, c, d, e, f = _WATER
    return (f - a / kelvin) / kelvin + c + kelvin * (2 * d + kelvin * 3 * e)


def _log_ice(kelvin: FloatArray) -> FloatArray:
    a, b, c, d, e, f, g = _ICE
    powers = kelvin * (c + kelvin * (d + kelvin * (e + kelvin * f)))
    return a / kelvin + b + powers + g * np.log(kelvin)


def _log_ice_slope(kelvin: FloatArray) -> FloatArray:
    a, _, c, d, e, f, g = _ICE
    return (g - a / kelvin) / kelvin + c + kelvin * (2 * d + kelvin * (3 * e + kelvin * 4 * f))


def _saturation(temp: FloatArray) -> FloatArray:
    kelvin = temp + ZERO_K
    logs = _log_water(kelvin)
    ice = temp <= TRIPLE_C
    if ice.any():
        logs[ice] = _log_ice(kelvin[ice])
    return np.exp(logs)


def _saturation_magnus(temp: FloatArray) -> FloatArray:
    least, factor, offset = _MAGNUS_WATER
    return least * np.exp(factor * temp / (offset + temp))


def _dew_magnus(temp: FloatArray, rh: FloatArray) -> FloatArray:
    _, factor, offset = _MAGNUS_WATER
    gamma = np.log(rh / 100) + factor * temp / (offset + temp)
    return offset * gamma / (factor - gamma)


_TRIPLE_LOG = float(_log_water(np.array(TRIPLE_C + ZERO_K)))


def _dew(temp: FloatArray, rh: FloatArray) -> FloatArray:
    logs = np.log(rh / 100 * _saturation(temp))
    dew = _dew_over(logs, _MAGNUS_WATER, ice=False)
    frost = logs < _TRIPLE_LOG
    if frost.any():
        dew[frost] = _dew_over(logs[frost], _MAGNUS_ICE, ice=True)
    return dew


def _dew_over(logs: FloatArray, start: tuple[float, float, float], *, ice: bool) -> FloatArray:
    # The Magnus inverse is within 0.1 K, so two steps of Newton reach rounding error.
    least, factor, offset = start
    gamma = logs - np.log(least)
    kelvin = offset * gamma / (factor - gamma) + ZERO_K
    value, slope = (_log_ice, _log_ice_slope) if ice else (_log_water, _log_water_slope)
    for _ in range(2):
        kelvin -= (value(kelvin) - logs) / slope(kelvin)
    result: FloatArray = kelvin - ZERO_K
    return result


def _ratio(vapour_pa: FloatArray, total_pa: float) -> FloatArray:
    return 0.621945 * vapour_pa / (total_pa - vapour_pa)


def _wet_bulb(temp: FloatArray, rh: FloatArray, total_pa: float) -> FloatArray:
    ratio = _ratio(rh / 100 * _saturation(temp), total_pa)
    at_zero = _ratio(np.exp(_log_water(np.array([ZERO_K]))), total_pa)
    iced = (2501 * at_zero - 1.006 * temp) / (2501 + 1.86 * temp) > ratio
    result = _bulb(temp, ratio, total_pa, ice=False)
    if iced.any():
        result[iced] = np.minimum(_bulb(temp[iced], ratio[iced], total_pa, ice=True), 0.0)
    return result


def _bulb(temp: FloatArray, ratio: FloatArray, total_pa: float, *, ice: bool) -> FloatArray:
    # Newton from the dry bulb comes down a convex curve and cannot overshoot.
    heat, per_bulb, of_bulb = (2830.0, 0.24, 2.1) if ice else (2501.0, 2.326, 4.186)
    value, slope = (_log_ice, _log_ice_slope) if ice else (_log_water, _log_water_slope)
    bulb = temp.copy()
    for _ in range(30):
        kelvin = bulb + ZERO_K
        vapour = np.exp(value(kelvin))
        full = _ratio(vapour, total_pa)
        full_slope = full * slope(kelvin) * total_pa / (total_pa - vapour)
        fault = (heat - per_bulb * bulb) * full - 1.006 * (temp - bulb)
        fault -= ratio * (heat + 1.86 * temp - of_bulb * bulb)
        rise = (heat - per_bulb * bulb) * full_slope - per_bulb * full + 1.006 + of_bulb * ratio
        step = fault / rise
        bulb -= step
        if not np.fmax.reduce(np.abs(step)) > 1e-7:
            break
    return bulb


_SATURATION = {"hyland_wexler": _saturation, "magnus": _saturation_magnus}
_DEW_POINT = {"hyland_wexler": _dew, "magnus": _dew_magnus}
