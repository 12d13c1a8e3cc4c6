"""How much a colour fades for a dose of light, by ISO Blue Wool references, with and without UV."""

from __future__ import annotations

from dataclasses import dataclass

from conservation.light.dose import LARGEST_LUX_H
from conservation.ranges import ConservationError, OutOfRangeError, in_range
from conservation.tables import OURS, Source, Tables

DEFAULT_DOSES = "cci"
LX_H_PER_MLX_H = 1_000_000


class NoFadeError(ConservationError):
    """No dose is known for this step, class or edition."""


@dataclass(frozen=True)
class FadeDose:
    """Dose in lx·h of one just noticeable fade of a Blue Wool step; None where none is given."""

    step: int
    doses: str
    uv_present_lux_h: float | None
    uv_blocked_lux_h: float | None
    source: Source


@dataclass(frozen=True)
class Fading:
    """Just noticeable fades for a dose; a value below 1 is a fraction of the first one."""

    dose_lux_h: float
    step: int
    doses: str
    fades_uv_present: float | None
    fades_uv_blocked: float | None
    sources: tuple[Source, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class FadeTime:
    """Years until one just noticeable fade at a yearly exposure; None where no light falls."""

    lux_h_per_year: float
    step: int
    doses: str
    years_uv_present: float | None
    years_uv_blocked: float | None
    source: Source


def step_of_class(responsivity: str, *, tables: Tables = OURS) -> int:
    """Return the most sensitive ISO Blue Wool step of a class; raises NoFadeError for R0.

    Source: `cie_157` of table `responsivity_classes`.

    >>> [step_of_class(name) for name in ("R3", "R2", "R1")]
    [1, 4, 7]
    """
    row = tables["responsivity_classes"].one(class_=responsivity)
    step = row.number_or_none("least_blue_wool")
    if step is None:
        raise NoFadeError(f"{responsivity} is {row.text('meaning')}: no fading is expected.")
    return int(step)


def fade_dose(step: int, doses: str = DEFAULT_DOSES, *, tables: Tables = OURS) -> FadeDose:
    """Return the doses in lx·h of one just noticeable fade of ISO Blue Wool 1 to 8.

    With and without ultraviolet. Raises OutOfRangeError for another step, UnknownRowError for an
    unknown edition, NoFadeError for a step that the edition does not give.
    Source: `cci` and `michalski_1990` of table `blue_wool_doses`; they disagree.

    >>> fade_dose(1).uv_blocked_lux_h, fade_dose(1, "michalski_1990").uv_blocked_lux_h
    (300000.0, 400000.0)
    """
    if not in_range("The Blue Wool step", step, 1, 8).is_integer():
        raise OutOfRangeError("The Blue Wool step", step, 1, 8, "as a whole number")
    step = int(step)
    table = tables["blue_wool_doses"]
    table.one(doses=doses)
    rows = table.where(doses=doses, step=step)
    if not rows:
        raise NoFadeError(f"The edition {doses} gives no dose for Blue Wool {step}.")
    present, blocked = (
        None if value is None else value * LX_H_PER_MLX_H
        for value in map(rows[0].number_or_none, ("uv_present_mlx_h", "uv_blocked_mlx_h"))
    )
    return FadeDose(step, doses, present, blocked, rows[0].source)


def fades(
    dose_lux_h: float, step: int, doses: str = DEFAULT_DOSES, *, tables: Tables = OURS
) -> Fading:
    """Return the number of just noticeable fades for a dose in lx·h, with and without UV.

    The count is linear and of first order: it shows a tendency, no colour. Beyond one fade, and
    beyond near total fading, `notes` say so. Dose at least 0; errors as for `fade_dose`.
    Source: `cci` of tables `blue_wool_doses` and `fading`.

    >>> result = fades(150_000, 1)
    >>> round(result.fades_uv_present, 3), result.fades_uv_blocked
    (0.682, 0.5)
    """
    dose = in_range("The dose", dose_lux_h, 0, LARGEST_LUX_H, unit="lx·h")
    one = fade_dose(step, doses, tables=tables)
    scale = tables["fading"].by_id("just_noticeable")
    counts = [_ratio(dose, one.uv_present_lux_h), _ratio(dose, one.uv_blocked_lux_h)]
    most = max((count for count in counts if count is not None), default=0.0)
    notes = []
    if most > scale.number("fades_to_near_total"):
        notes.append("The colour would be bleached almost wholly; the count means no more.")
    elif most > 1:
        notes.append("Beyond the first fade the count is a straight line; real fading slows down.")
    return Fading(
        dose, one.step, doses, counts[0], counts[1], (one.source, scale.source), tuple(notes)
    )


def years_to_fade(
    lux_h_per_year: float, step: int, doses: str = DEFAULT_DOSES, *, tables: Tables = OURS
) -> FadeTime:
    """Return the years until one just noticeable fade at an exposure in lx·h a year.

    Exposure at least 0; without light the years are None. Errors as for `fade_dose`.
    Source: `cci` of table `blue_wool_doses`.

    >>> round(years_to_fade(15_000, 1).years_uv_blocked, 1)
    20.0
    """
    yearly = in_range("The exposure of a year", lux_h_per_year, 0, LARGEST_LUX_H, unit="lx·h")
    one = fade_dose(step, doses, tables=tables)
    return FadeTime(
        yearly,
        one.step,
        doses,
        _ratio(one.uv_present_lux_h, yearly),
        _ratio(one.uv_blocked_lux_h, yearly),
        one.source,
    )


def _ratio(part: float | None, of: float | None) -> float | None:
    return None if part is None or not of else part / of
