"""Damage by the spectrum of light: relative damage, effective irradiance and time to a threshold.

The function of CIE 157:2004, equation 2.5, after Krochmann and Aydinli: exp(-b (λ - 300 nm)), so 1
at 300 nm. It spans 300 to 780 nm. Arrays are numpy arrays or sequences of numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

from conservation.ranges import ConservationError, in_range
from conservation.tables import OURS, Row, Source, Tables

if TYPE_CHECKING:
    from numpy import float64
    from numpy.typing import NDArray

    Array: TypeAlias = NDArray[float64]

SHORTEST_NM, LONGEST_NM = 300.0, 780.0
VISIBLE_NM = 400.0
MOST_POINTS = 100_000
HIGHEST_IRRADIANCE = 1e6


class SpectrumError(ConservationError):
    """A spectrum that cannot be read as irradiance over wavelength."""


@dataclass(frozen=True)
class Material:
    """Slope b in 1/nm of the damage function and threshold in Wh/m² of one material."""

    id: str
    name: str
    b_per_nm: float
    threshold_wh_per_m2: float
    source: Source


@dataclass(frozen=True)
class SpectralDamage:
    """Effective irradiance in W/m² and hours until the threshold; None where no light falls."""

    material: str
    damage_w_per_m2: float
    ultraviolet_share: float | None
    threshold_wh_per_m2: float
    hours_to_threshold: float | None
    source: Source
    notes: tuple[str, ...]


def damage_material(name: str, *, tables: Tables = OURS) -> Material:
    """Return slope and threshold of a material by its id or name; raises UnknownRowError.

    Source: `cie_157` of table `damage_spectra`.

    >>> damage_material("textiles").b_per_nm
    0.01
    """
    table = tables["damage_spectra"]
    rows: tuple[Row, ...] = table.where(name=name)
    row = rows[0] if rows else table.by_id(name)
    slope, threshold = row.number("b_per_nm"), row.number("threshold_wh_per_m2")
    return Material(row.id, row.text("name"), slope, threshold, row.source)


def relative_damage(wavelength_nm: Sequence[float] | Array, b_per_nm: float) -> Array:
    """Return exp(-b (λ - 300)) for wavelengths from 300 to 780 nm and b from 0.0001 to 1 a nm.

    Others raise OutOfRangeError. Source: `cie_157` of table `damage_spectra`, equation 2.5.

    >>> [round(float(value), 5) for value in relative_damage([300, 400, 550], 0.0115)]
    [1.0, 0.31664, 0.05642]
    """
    import numpy as np

    slope = in_range("The slope b", b_per_nm, 0.0001, 1, unit="1/nm")
    waves = _array("wavelengths", wavelength_nm)
    for end in (waves.min(), waves.max()):
        in_range("A wavelength", float(end), SHORTEST_NM, LONGEST_NM, unit="nm")
    return np.asarray(np.exp(-slope * (waves - SHORTEST_NM)), dtype=np.float64)


def damage_irradiance_w_per_m2(
    wavelength_nm: Sequence[float] | Array,
    w_per_m2_nm: Sequence[float] | Array,
    b_per_nm: float,
) -> float:
    """Return the effective irradiance in W/m²: the integral of irradiance times relative damage.

    Wavelengths rise strictly within 300 to 780 nm, irradiance is at least 0 W/(m²·nm); others raise
    SpectrumError or OutOfRangeError. Between two wavelengths the irradiance is a straight line and
    the damage function is exact, so a coarse spectrum costs no accuracy of its own.
    Source: `cie_157` of table `damage_spectra`, equation 2.5.

    >>> round(damage_irradiance_w_per_m2([400, 500], [0.01, 0.01], 0.0115), 4)
    0.1882
    """
    import numpy as np

    waves, power = _spectrum(wavelength_nm, w_per_m2_nm)
    damage = relative_damage(waves, b_per_nm)
    width = np.diff(waves)
    # Integral of (p0 + s x) exp(-b x) over one stretch, with S at its left end taken out.
    slope = np.diff(power) / width
    gone = -np.expm1(-b_per_nm * width)
    linear = gone / b_per_nm**2 - width * np.exp(-b_per_nm * width) / b_per_nm
    return float(np.sum(damage[:-1] * (power[:-1] * gone / b_per_nm + slope * linear)))


def line_damage_w_per_m2(wavelength_nm: float, w_per_m2: float, b_per_nm: float) -> float:
    """Return the effective irradiance in W/m² of light of one wavelength (a laser, a line).

    Irradiance 0 to 1 000 000 W/m²; errors else and source as for `relative_damage`.

    >>> line_damage_w_per_m2(300, 1, 0.0115)
    1.0
    """
    power = in_range("The irradiance", w_per_m2, 0, HIGHEST_IRRADIANCE, unit="W/m²")
    return float(relative_damage([wavelength_nm], b_per_nm)[0]) * power


def hours_to_threshold(damage_w_per_m2: float, material: Material) -> float | None:
    """Return the hours until change begins to show, or None where no light falls.

    Effective irradiance from 0 to 1 000 000 W/m²; others raise OutOfRangeError.
    Source: `cie_157` of table `damage_spectra`, thresholds.

    >>> round(hours_to_threshold(0.1, damage_material("watercolour_on_rag_paper")))
    1750
    """
    power = in_range(
        "The effective irradiance", damage_w_per_m2, 0, HIGHEST_IRRADIANCE, unit="W/m²"
    )
    return material.threshold_wh_per_m2 / power if power else None


def spectral_damage(
    wavelength_nm: Sequence[float] | Array,
    w_per_m2_nm: Sequence[float] | Array,
    material: str,
    *,
    tables: Tables = OURS,
) -> SpectralDamage:
    """Return effective irradiance and time to threshold of a measured spectrum for a material.

    A spectrum in W/(m²·nm) over nm. Light above 780 nm is left out; a spectrum that begins above
    400 nm, or reaches beyond 780 nm, is said in `notes`. Light below 300 nm raises SpectrumError:
    the function begins there. Errors else and source as for `damage_irradiance_w_per_m2`.

    >>> result = spectral_damage([400, 500, 600], [0.001, 0.002, 0.002], "textiles")
    >>> result.source.edition, result.ultraviolet_share
    ('CIE 157:2004', 0.0)
    """
    known = damage_material(material, tables=tables)
    waves, power = _spectrum(wavelength_nm, w_per_m2_nm)
    notes: list[str] = []
    waves, power = _within(waves, power, notes)
    total = damage_irradiance_w_per_m2(waves, power, known.b_per_nm)
    share = None
    if total > 0:
        ultraviolet = _below(waves, power, VISIBLE_NM)
        part = damage_irradiance_w_per_m2(*ultraviolet, known.b_per_nm) if ultraviolet else 0.0
        share = part / total
    if waves[0] >= VISIBLE_NM:
        notes.append(
            f"The spectrum begins at {waves[0]:g} nm: ultraviolet is not counted, so damage may be"
            " more."
        )
    hours = hours_to_threshold(total, known)
    return SpectralDamage(
        known.name, total, share, known.threshold_wh_per_m2, hours, known.source, tuple(notes)
    )


def _array(name: str, values: Any) -> Array:
    import numpy as np

    try:
        array = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as error:
        raise SpectrumError(f"The {name} must be a list of numbers.") from error
    if array.ndim != 1 or not 1 <= array.size <= MOST_POINTS:
        raise SpectrumError(f"The {name} must be one list of 1 to {MOST_POINTS} numbers.")
    if not np.isfinite(array).all():
        raise SpectrumError(f"The {name} hold something that is no finite number.")
    return array


def _spectrum(wavelength_nm: Any, w_per_m2_nm: Any) -> tuple[Array, Array]:
    import numpy as np

    waves, power = _array("wavelengths", wavelength_nm), _array("irradiances", w_per_m2_nm)
    if waves.size != power.size or waves.size < 2:
        raise SpectrumError("A spectrum needs as many irradiances as wavelengths, two at least.")
    if (np.diff(waves) <= 0).any():
        raise SpectrumError("The wavelengths of a spectrum must rise from each to the next.")
    if power.min() < 0 or power.max() > HIGHEST_IRRADIANCE:
        raise SpectrumError(f"Irradiances must lie from 0 to {HIGHEST_IRRADIANCE:g} W/(m²·nm).")
    return waves, power


def _within(waves: Array, power: Array, notes: list[str]) -> tuple[Array, Array]:
    if (power[waves < SHORTEST_NM] > 0).any():
        raise SpectrumError(
            f"The spectrum has light below {SHORTEST_NM:g} nm, where the damage function ends:"
            " no figure can be given; such light has no place near an object."
        )
    if waves[-1] > LONGEST_NM:
        notes.append(f"Light above {LONGEST_NM:g} nm is not counted: the function ends there.")
    cut = _between(waves, power, SHORTEST_NM, LONGEST_NM)
    if cut is None:
        raise SpectrumError(f"No part of the spectrum lies from {SHORTEST_NM:g} to 780 nm.")
    return cut


def _below(waves: Array, power: Array, end_nm: float) -> tuple[Array, Array] | None:
    return _between(waves, power, SHORTEST_NM, end_nm)


def _between(
    waves: Array, power: Array, from_nm: float, to_nm: float
) -> tuple[Array, Array] | None:
    import numpy as np

    first, last = max(from_nm, float(waves[0])), min(to_nm, float(waves[-1]))
    if first >= last:
        return None
    inner = waves[(waves > first) & (waves < last)]
    kept = np.concatenate(([first], inner, [last]))
    return kept, np.interp(kept, waves, power)
