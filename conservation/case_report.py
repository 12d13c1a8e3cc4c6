"""Judge one showcase whole: its air, its buffer, its pollutants, its contents."""

from __future__ import annotations

from dataclasses import dataclass

from conservation import showcases
from conservation.case_reading import Case
from conservation.compatibility import climates, judge
from conservation.contents import Finding
from conservation.intervals import Interval, over
from conservation.showcases import Exposure
from conservation.tables import OURS, Tables

BROKEN = ("harm", "rating", "climate")


@dataclass(frozen=True)
class CaseReport:
    """What was computed for a case; every figure is a range, None where nothing was given for it.

    `kept` says that no ceiling may be exceeded and no harm, rating or climate stands against it; it
    certifies nothing.
    """

    name: str
    half_time_days: Interval
    tightness: tuple[str, ...]
    hygrometric_half_time_days: Interval | None
    buffer_needed_kg: Interval | None
    buffer_lasts_days: Interval | None
    common_rh_percent: Interval | None
    exposures: tuple[Exposure, ...]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    kept: bool


def report(case: Case, *, tables: Tables = OURS) -> CaseReport:
    """Return everything that can be computed from what is given of a case.

    Ranges as in conservation.showcases; raises ConservationError for a buffer or a pollutant that
    no table knows. Source: the tables showcases, pollutant_ceilings, case_emissions,
    material_tests, climate_materials.

    >>> found = report(Case.from_dict({"volume_m3": 1, "exchanges_a_day": 1, "days": 90,
    ...     "closes_on": "2027-03-01", "objects": [{"id": "medal", "materials": ["lead"]}],
    ...     "materials": [{"name": "MDF"}]}))
    >>> found.kept, sorted({finding.kind for finding in found.findings})
    (False, ['harm', 'untested'])
    """
    rows = showcases.tightness(case.exchanges_a_day, tables=tables)
    half, needed, lasts, notes = _buffering(case, tables)
    exposures = _exposures(case, tables)
    findings = judge(case.objects, case.materials, days=case.days, on=case.closes_on, tables=tables)
    common = climates(case.objects, tables=tables).common_percent
    notes += _air_notes(case, common, findings, tables)
    harmless = not any(finding.kind in BROKEN for finding in findings)
    within = common is None or _meets(case, common)
    return CaseReport(
        case.name,
        showcases.half_time_days(case.exchanges_a_day),
        tuple(name for row in rows for name in row.texts("names")),
        half, needed, lasts, common, exposures, findings, notes,
        _cautions(case, tables),
        harmless and within and all(e.verdict == "kept" for e in exposures),
    )  # fmt: skip


def _buffering(
    case: Case, tables: Tables
) -> tuple[Interval | None, Interval | None, Interval | None, tuple[str, ...]]:
    buffer = case.buffer
    if buffer is None:
        return None, None, None, ()
    notes: list[str] = []
    strength = buffer.g_per_kg_percent
    if strength is None:
        strength, source = showcases.buffering(buffer.kind, tables=tables)
        notes.append(f"Buffering of {buffer.kind}: {strength} g/(kg % RH) ({source.cite()}).")
    half = needed = lasts = None
    if buffer.mass_kg is not None:
        density = over(lambda q, v: q / v, buffer.mass_kg, case.volume_m3)
        half = showcases.hygrometric_half_time_days(
            buffering_g_per_kg_percent=strength, kg_per_m3=density,
            exchanges_a_day=case.exchanges_a_day, tables=tables,
        )  # fmt: skip
        notes += _usual_amount(density, tables)
    gap = _difference(case)
    if gap is not None and case.drift_percent is not None:
        air = (gap, case.volume_m3, case.exchanges_a_day)
        needed = showcases.buffer_kg(
            difference_percent=air[0], volume_m3=air[1], exchanges_a_day=air[2], days=case.days,
            buffering_g_per_kg_percent=strength, drift_percent=case.drift_percent, tables=tables,
        )  # fmt: skip
        if buffer.mass_kg is not None and gap.low > 0:
            lasts = showcases.buffer_lasts_days(
                mass_kg=buffer.mass_kg, difference_percent=air[0], volume_m3=air[1],
                exchanges_a_day=air[2], buffering_g_per_kg_percent=strength,
                drift_percent=case.drift_percent, tables=tables,
            )  # fmt: skip
    return half, needed, lasts, tuple(notes)


def _usual_amount(density: Interval, tables: Tables) -> list[str]:
    row = tables["showcases"].by_id("usual_amount")
    usual = Interval(row.number("low"), row.number("high"))
    if density.meet(usual):
        return []
    return [
        f"The buffer is {density} kg/m³; usual are {usual} kg/m³ ({row.source.cite()}): "
        "check the figures."
    ]


def _difference(case: Case) -> Interval | None:
    """Return by how much the room's RH lies off the target, at least and at most."""
    room, target = case.room_rh_percent, case.target_rh_percent
    if room is None or target is None:
        return None
    least = max(0.0, room.low - target.high, target.low - room.high)
    return Interval(least, max(room.high - target.low, target.high - room.low))


def _exposures(case: Case, tables: Tables) -> tuple[Exposure, ...]:
    """Add up the sources of each pollutant; the room's air is counted once."""
    inside: dict[str, Interval] = {}
    outside: dict[str, Interval] = {}
    for one in case.sources:
        alone = showcases.pollutant_ug_m3(
            emission_ug_m2_h=one.emission_ug_m2_h, area_m2=one.area_m2,
            volume_m3=case.volume_m3, exchanges_a_day=case.exchanges_a_day,
        )  # fmt: skip
        so_far = inside.get(one.pollutant, Interval(0, 0))
        inside[one.pollutant] = Interval(so_far.low + alone.low, so_far.high + alone.high)
        room = outside.get(one.pollutant, one.room_ug_m3)
        highest = max(room.high, one.room_ug_m3.high)
        outside[one.pollutant] = Interval(max(room.low, one.room_ug_m3.low), highest)
    return tuple(
        showcases.exposure(
            name,
            Interval(found.low + outside[name].low, found.high + outside[name].high),
            case.years,
            tables=tables,
        )
        for name, found in inside.items()
    )


def _meets(case: Case, common: Interval) -> bool:
    target = case.target_rh_percent
    if target is None:
        return True
    drift = case.drift_percent.high if case.drift_percent else 0.0
    return common.low <= target.low - drift and target.high + drift <= common.high


def _air_notes(
    case: Case, common: Interval | None, findings: tuple[Finding, ...], tables: Tables
) -> tuple[str, ...]:
    notes: list[str] = []
    if common is not None and not _meets(case, common):
        notes.append(
            f"The target of {case.target_rh_percent} % RH with its drift does not stay within "
            f"{common} % RH, which all objects share."
        )
    tight = tables["showcases"].by_id("good").number("high")
    if case.exchanges_a_day.low <= tight and any(f.kind == "harm" for f in findings):
        notes.append(
            "The case is tight and holds what may harm: vapours gather, most of all from large "
            "surfaces. This is the worst of all arrangements."
        )
    return tuple(notes)


def _cautions(case: Case, tables: Tables) -> tuple[str, ...]:
    rows = tables["work_cautions"]
    said = ["glass"] * case.glass + ["gel"] * (case.buffer is not None) + ["sealed_case"]
    return tuple(
        f"{rows.by_id(name).text('words')} ({rows.by_id(name).source.cite()})" for name in said
    )
