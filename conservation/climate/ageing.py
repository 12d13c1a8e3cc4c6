"""Chemical ageing: how much longer or shorter things last in another climate."""

from __future__ import annotations

import warnings

import numpy as np

from conservation.climate.air import ZERO_K
from conservation.climate.arrays import (
    FloatArray,
    NotEnoughReadingsError,
    V,
    blockwise,
    checked,
    same_shape,
)
from conservation.ranges import ConservationError, in_range
from conservation.tables import OURS, Tables

# Rounded as the source has it, J/(mol K).
GAS_CONSTANT = 8.314
_LEAST_RH, _LEAST_C, _MOST_C = 1.0, -40.0, 60.0


class RangeWarning(UserWarning):
    """A result was computed outside the range for which its source gives it."""


def lifetime_multiplier(
    temp_c: V, rh_percent: V, *, material: str = "paper", tables: Tables = OURS
) -> V:
    """Return how many times longer things last than at 20 °C and 50 % RH.

    Materials: `paper` and `film` (100 kJ/mol), `varnish` (70 kJ/mol). The source states no range;
    taken are -40 to 60 °C and 1 to 100 % RH. Source: climate_ageing paper, film, varnish.

    >>> round(float(lifetime_multiplier(15.0, 50.0)), 3)
    2.038
    >>> round(float(lifetime_multiplier(15.0, 50.0, material="varnish")), 3)
    1.646
    """
    row = tables["climate_ageing"].one(rule="lifetime", id=material)
    per_kelvin = row.number("activation_kj_per_mol") * 1000 / GAS_CONSTANT
    exponent, at_rh = row.number("exponent"), row.number("at_percent")
    at_inverse = 1 / (row.number("at_c") + ZERO_K)

    def compute(temp: FloatArray, rh: FloatArray) -> FloatArray:
        moist = exponent * np.log(at_rh / rh)
        result: FloatArray = np.exp(moist + per_kelvin * (1 / (temp + ZERO_K) - at_inverse))
        return result

    temp = checked("The temperature", temp_c, _LEAST_C, _MOST_C, "°C")
    rh = checked("The relative humidity", rh_percent, _LEAST_RH, 100, "%")
    return blockwise(compute, temp, rh)  # type: ignore[return-value]


def mean_multiplier(multipliers: FloatArray, *, weights: FloatArray | None = None) -> float:
    """Return the multiplier that ages things as much as a whole record: the harmonic mean.

    `weights` are the times each stands for (Readings.cover_s); NaN readings are left out. Range:
    multipliers above 0 to 1e9. Source: climate_ageing paper.

    >>> round(mean_multiplier(np.array([1.0, 0.5])), 4)
    0.6667
    """
    values = checked("The multiplier", multipliers, 0, 1e9, "")
    there = ~np.isnan(values)
    known = values if there.all() else values[there]
    if known.size and not known.min() > 0:
        raise ConservationError("A multiplier of 0 has no harmonic mean.")
    if weights is None:
        total, ageing = float(known.size), float((1 / known).sum())
    else:
        weight = checked("A weight", weights, 0, 1e12, "")
        same_shape(multipliers=values, weights=weight)
        total, ageing = float(weight[there].sum()), float((weight[there] / known).sum())
    if total <= 0:
        raise NotEnoughReadingsError("There is no multiplier to take a mean of.")
    return total / ageing


def isoperm_life_ratio(rh_percent: float, to_rh_percent: float, *, tables: Tables = OURS) -> float:
    """Return how many times longer paper lasts when only RH changes: the inverse ratio of RH.

    Holds from 30 to 65 % RH; outside a RangeWarning says so. Range: 1 to 100 % RH. Source:
    climate_ageing isoperm.

    >>> isoperm_life_ratio(50, 40)
    1.25
    """
    row = tables["climate_ageing"].by_id("isoperm")
    least, most = row.number("least_percent"), row.number("most_percent")
    was = in_range("The relative humidity", rh_percent, _LEAST_RH, 100, unit="%")
    now = in_range("The new relative humidity", to_rh_percent, _LEAST_RH, 100, unit="%")
    if not (least <= was <= most and least <= now <= most):
        words = f"Isoperms hold from {least:g} to {most:g} % RH; {was:g} to {now:g} % leaves that."
        warnings.warn(words, RangeWarning, stacklevel=2)
    return was / now


def doubling_life_ratio(temp_c: float, to_temp_c: float, *, tables: Tables = OURS) -> float:
    """Return how many times longer things last when only temperature changes: twice for each 5 K.

    Range: -40 to 60 °C. Source: climate_ageing doubling (common practice, no source).

    >>> doubling_life_ratio(25, 20)
    2.0
    """
    was = in_range("The temperature", temp_c, _LEAST_C, _MOST_C, unit="°C")
    now = in_range("The new temperature", to_temp_c, _LEAST_C, _MOST_C, unit="°C")
    return float(
        2 ** ((was - now) / tables["climate_ageing"].by_id("doubling").number("doubling_k"))
    )


def combined_life_ratio(
    temp_c: float,
    rh_percent: float,
    to_temp_c: float,
    to_rh_percent: float,
    *,
    tables: Tables = OURS,
) -> float:
    """Return how many times longer paper lasts when both change: the product of both ratios.

    Range and warning: as isoperm_life_ratio and doubling_life_ratio. Source: climate_ageing
    isoperm and doubling.

    >>> combined_life_ratio(25, 50, 20, 40)
    2.5
    """
    moist = isoperm_life_ratio(rh_percent, to_rh_percent, tables=tables)
    return moist * doubling_life_ratio(temp_c, to_temp_c, tables=tables)
