"""Climate: moist air, a year's readings against rules, ageing, damp, and loggers' exports."""

from conservation.climate.ageing import (
    RangeWarning,
    combined_life_ratio,
    doubling_life_ratio,
    isoperm_life_ratio,
    lifetime_multiplier,
    mean_multiplier,
)
from conservation.climate.air import (
    absolute_humidity_g_per_m3,
    dew_point_c,
    humidity_ratio_g_per_kg,
    rh_after_change_percent,
    rh_from_dew_point_percent,
    saturation_pressure_pa,
    vapour_pressure_pa,
    wet_bulb_c,
)
from conservation.climate.arrays import NotEnoughReadingsError
from conservation.climate.bands import (
    Band,
    Excursion,
    Excursions,
    excursions,
    hours_outside,
    meet_all,
)
from conservation.climate.control import Broken, ControlResult, control_types
from conservation.climate.guidance import (
    Guidance,
    Together,
    known_materials,
    rh_guidance,
    rh_guidance_together,
)
from conservation.climate.loans import READINGS, LoanResult, loan_rule, loan_rule_readings
from conservation.climate.mould import DampResult, critical_rh_percent, damp_alarm, weeks_to_mould
from conservation.climate.readings import Readings, utc_words
from conservation.climate.seasonal import SeasonalBand, seasonal_band
from conservation.climate.windows import change_over, highest_and_lowest, moving_mean, spread_over

__all__ = [
    "READINGS",
    "Band",
    "Broken",
    "ControlResult",
    "DampResult",
    "Excursion",
    "Excursions",
    "Guidance",
    "LoanResult",
    "NotEnoughReadingsError",
    "RangeWarning",
    "Readings",
    "SeasonalBand",
    "Together",
    "absolute_humidity_g_per_m3",
    "change_over",
    "combined_life_ratio",
    "control_types",
    "critical_rh_percent",
    "damp_alarm",
    "dew_point_c",
    "doubling_life_ratio",
    "excursions",
    "highest_and_lowest",
    "hours_outside",
    "humidity_ratio_g_per_kg",
    "isoperm_life_ratio",
    "known_materials",
    "lifetime_multiplier",
    "loan_rule",
    "loan_rule_readings",
    "mean_multiplier",
    "meet_all",
    "moving_mean",
    "rh_after_change_percent",
    "rh_from_dew_point_percent",
    "rh_guidance",
    "rh_guidance_together",
    "saturation_pressure_pa",
    "seasonal_band",
    "spread_over",
    "utc_words",
    "vapour_pressure_pa",
    "weeks_to_mould",
    "wet_bulb_c",
]
