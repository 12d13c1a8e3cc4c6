"""Compute the class, limits, dose, budget, fading and spectral damage of light.

Each action prints JSON, or a table with --table; ACTION --help teaches it. Rule sets: cie_157
(default), french_dose, thomson, texas, ies_rp_30, or a museum's own by --own FILE.

Example:
  $ python -m conservation light class "watercolour on rag paper" silk --table
"""

from __future__ import annotations

import argparse
from typing import Any

from conservation.cli.common import (
    Answer,
    Commands,
    Grid,
    InputError,
    new_command,
    tables_of,
)
from conservation.cli.files import read_json, read_rows
from conservation.cli.light_texts import CALENDAR, CLASS, DOSE, FADE, KEEP, LIMIT, SPECTRUM, UV
from conservation.light import dose, fading, uv
from conservation.light.limits import DEFAULT_RULE_SET, LightLimit, light_limit
from conservation.materials import classify
from conservation.ranges import in_range

CLASSES = ("R0", "R1", "R2", "R3")


def add(commands: Commands) -> None:
    """Add the command and its actions to the parser."""
    parser = new_command(commands, "light", __doc__, options=False)
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    one = new_command(actions, "class", CLASS)
    one.add_argument("materials", nargs="+", help="each material of the object")
    one.add_argument("--uv-blocked", action="store_true", help="lamps or glazing keep UV out")
    _with_class(new_command(actions, "limit", LIMIT), required=True)
    one = new_command(actions, "dose", DOSE)
    one.add_argument("file", help="CSV with lux, hours and perhaps what; - for standard input")
    _with_class(one)
    one.add_argument("--years", type=float, default=1, help="years that the intervals span")
    one.add_argument("--budget", type=float, help="a budget in lx·h instead of a class")
    one = new_command(actions, "calendar", CALENDAR)
    one.add_argument("file", help="JSON; - for standard input")
    one = new_command(actions, "keep", KEEP)
    _with_class(one)
    one.add_argument("--budget", type=float, help="a budget in lx·h instead of a class")
    one.add_argument("--other", type=float, default=0, help="dose in lx·h that falls anyway")
    one.add_argument("--hours", type=float, help="find the brightest level for these hours")
    one.add_argument("--lux", type=float, help="find the longest time at this level")
    one = new_command(actions, "fade", FADE)
    one.add_argument("--dose", type=float, help="dose in lx·h")
    one.add_argument("--per-year", type=float, help="exposure in lx·h a year")
    one.add_argument("--step", type=int, help="ISO Blue Wool step, 1 to 8")
    one.add_argument("--class", dest="responsivity", choices=CLASSES)
    one.add_argument("--doses", default=fading.DEFAULT_DOSES, help="edition of the doses")
    one = new_command(actions, "uv", UV)
    one.add_argument("--lux", type=float, required=True)
    one.add_argument("--content", type=float, required=True, help="µW/lm")
    one.add_argument("--limit", default="usual", help="usual or preferred")
    one = new_command(actions, "spectrum", SPECTRUM)
    one.add_argument("file", help="CSV with nm and w_per_m2_nm; - for standard input")
    one.add_argument("--material", required=True, help="an id of table damage_spectra")


def _with_class(parser: argparse.ArgumentParser, *, required: bool = False) -> None:
    parser.add_argument("--class", dest="responsivity", choices=CLASSES, required=required)
    parser.add_argument("--rules", default=DEFAULT_RULE_SET, help="rule set of the limits")


def run(given: argparse.Namespace) -> Answer:
    """Run one action."""
    return ACTIONS[given.action](given)


def _class(given: argparse.Namespace) -> Answer:
    result = classify(given.materials, uv_blocked=given.uv_blocked, tables=tables_of(given))
    rows = [(c.given, c.found, c.responsivity, c.source.cite()) for c in result.components]
    title = f"Class {result.responsivity}, decided by {', '.join(result.decided_by)}"
    grid = Grid(title, ("material", "found as", "class", "source"), rows)
    return Answer(result, (grid,), result.notes)


def _limit(given: argparse.Namespace) -> Answer:
    limit = light_limit(given.responsivity, given.rules, tables=tables_of(given))
    row = (limit.responsivity, limit.name, limit.max_lux, limit.max_lux_h_per_year)
    heads = ("class", "name", "lx", "lx·h a year")
    return Answer(limit, (Grid(limit.source.cite(), heads, [row]),), _said(limit.note))


def _dose(given: argparse.Namespace) -> Answer:
    rows = read_rows(given.file, ("lux", "hours"), ("what",))
    intervals = []
    for row in rows:
        lux, hours = row.number("lux"), row.number("hours")
        for column, value, most in (("lux", lux, dose.HIGHEST_LUX), ("hours", hours, 1e6)):
            if not 0 <= value <= most:
                raise row.wrong(column, f"give a number from 0 to {most:g}")
        intervals.append(dose.Interval(lux, hours, row.text("what")))
    total = dose.dose_lux_h(intervals)
    grid = Grid(
        "Dose",
        ("what", "lx", "h", "lx·h"),
        [(i.what, i.lux, i.hours, i.lux_h) for i in intervals] + [("sum", None, None, total)],
    )
    limit, budget = _budget(given, given.years)
    if budget is None:
        return Answer({"dose_lux_h": total}, (grid,))
    use = dose.use_of_budget(total, budget, sources=(limit.source,) if limit else ())
    brightest = max(intervals, key=lambda item: item.lux)
    too_bright = bool(limit and limit.max_lux is not None and brightest.lux > limit.max_lux)
    notes = [_use_in_words(use)]
    if limit and too_bright:
        notes.append(
            f"{brightest.what or 'A level'} at {brightest.lux:g} lx is above"
            f" {limit.max_lux:g} lx, the limit of {limit.responsivity}."
        )
    data = {"use": use, "limit": limit, "too_bright": too_bright, "notes": notes}
    return Answer(data, (grid,), tuple(notes), 0 if use.kept and not too_bright else 1)


def _use_in_words(use: dose.BudgetUse) -> str:
    share = f"{100 * use.share:,.1f} % of the budget of {use.budget_lux_h:,.0f} lx·h is taken"
    left = f"{use.left_lux_h:,.0f} lx·h left" if use.kept else f"{-use.left_lux_h:,.0f} lx·h over"
    return f"{share}, {left}" + "".join(f" ({source.cite()})" for source in use.sources) + "."


def _budget(given: argparse.Namespace, years: float = 1) -> tuple[LightLimit | None, float | None]:
    if given.budget is not None:
        return None, in_range("The budget", given.budget, 1e-6, dose.LARGEST_LUX_H, unit="lx·h")
    if given.responsivity is None:
        return None, None
    limit = light_limit(given.responsivity, given.rules, tables=tables_of(given))
    return limit, dose.use_of_year(0, limit, years=years).budget_lux_h


def _keep(given: argparse.Namespace) -> Answer:
    limit, budget = _budget(given)
    if budget is None or (given.hours is None) == (given.lux is None):
        raise InputError("Give --class or --budget, and either --hours or --lux.")
    data: dict[str, Any] = {"budget_lux_h": budget, "limit": limit}
    if given.hours is not None:
        cap = limit.max_lux if limit else None
        found = dose.brightest_lux(budget, given.hours, other_lux_h=given.other, max_lux=cap)
        data["brightest_lux"] = found
        row = ("brightest level for", given.hours, "h", found, "lx")
    else:
        found = dose.longest_h(budget, given.lux, other_lux_h=given.other)
        data["longest_h"] = found
        row = ("longest time at", given.lux, "lx", found, "h")
    title = f"Within {budget:,.0f} lx·h" + (f", {limit.source.cite()}" if limit else "")
    return Answer(data, (Grid(title, ("question", "given", "", "answer", ""), [row]),))


def _fade(given: argparse.Namespace) -> Answer:
    tables = tables_of(given)
    if (given.step is None) == (given.responsivity is None):
        raise InputError("Give either --step, or --class for its most sensitive step.")
    if given.dose is None and given.per_year is None:
        raise InputError("Give --dose, or --per-year, or both.")
    step = given.step
    if step is None:
        step = fading.step_of_class(given.responsivity, tables=tables)
    data: dict[str, Any] = {}
    rows: list[tuple[object, ...]] = []
    notes: tuple[str, ...] = ()
    if given.dose is not None:
        count = fading.fades(given.dose, step, given.doses, tables=tables)
        data["fading"], notes = count, count.notes
        rows.append(("noticeable fades", count.fades_uv_present, count.fades_uv_blocked))
    if given.per_year is not None:
        time = fading.years_to_fade(given.per_year, step, given.doses, tables=tables)
        data["time"] = time
        rows.append(("years to one", time.years_uv_present, time.years_uv_blocked))
    source = fading.fade_dose(step, given.doses, tables=tables).source
    grid = Grid(f"ISO Blue Wool {step}, {source.cite()}", ("", "with UV", "UV blocked"), rows)
    return Answer(data, (grid,), notes)


def _uv(given: argparse.Namespace) -> Answer:
    power = uv.uv_irradiance_mw_per_m2(given.lux, given.content)
    check = uv.check_uv(given.content, given.limit, tables=tables_of(given))
    grid = Grid(
        f"Ultraviolet, {check.source.cite()}",
        ("mW/m²", "µW/lm", "at most", "kept"),
        [(power, check.uw_per_lm, check.max_uw_per_lm, check.kept)],
    )
    data = {"irradiance_mw_per_m2": power, "check": check}
    return Answer(data, (grid,), exit_code=0 if check.kept else 1)


def _spectrum(given: argparse.Namespace) -> Answer:
    from conservation.light.spectrum import spectral_damage

    rows = read_rows(given.file, ("nm", "w_per_m2_nm"))
    waves = [row.number("nm") for row in rows]
    power = [row.number("w_per_m2_nm") for row in rows]
    result = spectral_damage(waves, power, given.material, tables=tables_of(given))
    share = result.ultraviolet_share
    row = (result.material, result.damage_w_per_m2, share, result.hours_to_threshold)
    heads = ("material", "W/m² effective", "share of UV", "h to threshold")
    return Answer(result, (Grid(result.source.cite(), heads, [row]),), result.notes)


def _calendar(given: argparse.Namespace) -> Answer:
    from conservation.cli.light_calendar import answer

    return answer(read_json(given.file), given.file, tables_of(given))


def _said(*notes: str) -> tuple[str, ...]:
    return tuple(note for note in notes if note)


ACTIONS = {
    "class": _class,
    "limit": _limit,
    "dose": _dose,
    "calendar": _calendar,
    "keep": _keep,
    "fade": _fade,
    "uv": _uv,
    "spectrum": _spectrum,
}
