"""Compare what a row says with what is known, and say what would change."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from exhibit_core.exchange.fields import FIELDS, SEPARATE_SIZES, SIZE_TEXTS
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.plans import Change
from exhibit_core.exchange.readers import tidy
from exhibit_core.exchange.row_reading import ReadRow
from exhibit_core.exchange.sizes import LENGTHS, Size, latest_lengths
from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.register import money
from exhibit_core.register.dates import Years, years
from exhibit_core.register.models import Hazard

LONGEST_WORDS = 300
_ENTRY_NAMES = ("stage", "reason", "section", "position", "shown_on", "note")
_DEFAULTS: Mapping[str, Any] = {"stage": "long_list", "section": None, "position": 0}
_SEVERAL_LINES = {"inscriptions", "features", "description"}
_OBJECT_FIELDS = {name for name, field in FIELDS.items() if field.target == "object"} - {"number"}
_years = lru_cache(maxsize=4096)(years)


@dataclass(frozen=True)
class Known:
    """What is known of the objects of one chunk of rows."""

    objects: Mapping[str, Mapping[str, Any]]
    sizes: Mapping[int, list[dict[str, Any]]]
    entries: Mapping[int, Mapping[str, Any]]
    alike: Mapping[str, str]
    lenders: Mapping[int, str]
    sections: Mapping[int, Section]


def compare(read: ReadRow, known: Known, object_list: ObjectList) -> None:
    """Fill a row's plan with its outcome, its changes in words, and the values to save."""
    plan = read.plan
    row = known.objects.get(plan.number)
    if row is not None:
        plan.key = row["pk"]
        plan.title = plan.title or row["title"][:100]
    _complete(read, row)
    _compare_object(read, row, known)
    _compare_sizes(read, known.sizes.get(plan.key or 0, []), object_list)
    if object_list.exhibition_id:
        _compare_entry(read, known.entries.get(plan.key or 0), known)
    if row is None:
        plan.outcome = "new"
        plan.values["number"] = plan.number
        if other := known.alike.get(plan.number):
            read.warn("number", f"The register has {other}, which differs only in its writing.")
    elif plan.changes:
        plan.outcome = "changed"


def _complete(read: ReadRow, row: Mapping[str, Any] | None) -> None:
    """Check what several cells say together, and derive what follows from them."""
    values = read.values
    if row is None and read.plan.number and not values.get("title"):
        read.refuse("title", "a title, since the object is new")
    written = values.get("date_text")
    stored = row["date_text"] if row is not None and written is not None else ""
    without_years = "year_from" not in read.columns and "year_to" not in read.columns
    if written and written != stored and without_years:
        found: Years = _years(written)
        values["year_from"], values["year_to"] = found.earliest, found.latest
        if found.warning:
            read.warn("date_text", found.warning)
    earliest = values.get("year_from", row["year_from"] if row else None)
    latest = values.get("year_to", row["year_to"] if row else None)
    if earliest is not None and latest is not None and earliest > latest:
        name = "year_to" if "year_to" in read.columns else "year_from"
        read.refuse(name, f"an earliest year that is not after the latest: {earliest} and {latest}")
    if "value" in values or "currency" in values:
        _complete_money(read, row)


def _complete_money(read: ReadRow, row: Mapping[str, Any] | None) -> None:
    values = read.values
    amount, beside = values.pop("value", None) or (None, "")
    code = values.pop("currency", "")
    cleared = amount is None and "value" in read.columns and read.cell("value") is None
    if amount is None and not code and cleared:
        values["value"], values["currency"] = None, ""
        return
    if amount is None:
        amount = row["value"] if row else None
    if amount is None:
        return
    if code and beside and code != beside and read.cell("currency") is not None:
        read.refuse("currency", f"{beside}, as it stands with the amount, or nothing")
    code = code or beside or (row["currency"] if row else "")
    try:
        money.check_amount(amount, code)
    except money.MoneyError as error:
        read.refuse("value", f"an amount that its currency allows. {error}")
    values["value"], values["currency"] = amount, code


def _compare_object(read: ReadRow, row: Mapping[str, Any] | None, known: Known) -> None:
    plan = read.plan
    for name, new in read.values.items():
        if name not in _OBJECT_FIELDS:
            continue
        if row is None:
            plan.values[name] = new
            if words := _words(name, new, known):
                plan.changes.append(Change(name, "", words))
        elif not _same(name, row[name], new, known):
            plan.values[name] = new
            words = _words(name, new, known)
            plan.changes.append(Change(name, _words(name, row[name], known), words))


def _same(name: str, old: Any, new: Any, known: Known) -> bool:
    if name == "lender":
        return (known.lenders.get(old, "") if old else "") == (new.name if new else "")
    if isinstance(new, str):
        return old == new or tidy(old, lines=name in _SEVERAL_LINES) == new
    return bool(old == new) or (not old and not new and name == "hazards")


def _words(name: str, value: Any, known: Known) -> str:
    if not value and value != 0:
        return ""
    if isinstance(value, str):
        return value[:LONGEST_WORDS]
    if name == "lender":
        return known.lenders.get(value, "") if isinstance(value, int) else value.name
    if name == "hazards":
        return ", ".join(str(Hazard(code).label) for code in value)
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return str(value)


def _compare_sizes(read: ReadRow, records: list[dict[str, Any]], object_list: ObjectList) -> None:
    for name, size in _sizes(read, object_list):
        if not _is_known(size, records):
            read.plan.sizes.append(size)
            read.plan.changes.append(Change(name, "", _size_words(size)))


def _sizes(read: ReadRow, object_list: ObjectList) -> list[tuple[str, Size]]:
    """Return the sizes of a row: those in words, and the one of separate columns."""
    values = read.values
    state = values.get("measured_as") or object_list.size_state
    basis = values.get("basis") or object_list.size_basis
    found = [
        (name, replace(size, state=size.state or state, basis=size.basis or basis))
        for name in SIZE_TEXTS
        for size in values.get(name) or ()
    ]
    lengths = {column: values.get(name) for name, column in SEPARATE_SIZES.items()}
    separate = Size(state=state, basis=basis, **lengths)
    if separate.is_weight_only and (place := _unweighed(found)) is not None:
        name, size = found[place]
        found[place] = (name, replace(size, mass_g=separate.mass_g))
    elif not separate.is_empty:
        first = next(name for name in SEPARATE_SIZES if values.get(name))
        found.append((first, separate))
    return found


def _unweighed(found: list[tuple[str, Size]]) -> int | None:
    """Return the place of the size in words to which a weight in its own column belongs."""
    places = (n for n, (_, size) in enumerate(found) if size.state != "part" and not size.mass_g)
    return next(places, None)


def _is_known(size: Size, records: list[dict[str, Any]]) -> bool:
    """Tell whether live records say the same already: each length the latest of its kind does."""
    if not records:
        return False
    known = latest_lengths(records, state=size.state, basis=size.basis, part=size.part)
    if any(getattr(size, name) not in (None, known[name]) for name in LENGTHS):
        return False
    masses = {r["mass_g"] for r in records if r["part"] == size.part}
    return not size.mass_g or size.mass_g in masses


def _size_words(size: Size) -> str:
    named = ("height", size.height_mm), ("width", size.width_mm), ("depth", size.depth_mm)
    lengths = [f"{name} {mm} mm" for name, mm in (*named, ("diameter", size.diameter_mm)) if mm]
    weight = [f"weight {size.mass_g} g"] if size.mass_g else []
    part = f" ({size.part})" if size.part else ""
    return f"{size.state}{part}, {size.basis}: {', '.join(lengths + weight)}"


def _compare_entry(read: ReadRow, row: Mapping[str, Any] | None, known: Known) -> None:
    plan, values = read.plan, read.values
    wanted = {name: values[name] for name in _ENTRY_NAMES if name in values}
    old = {name: _stored(row, name, known) for name in _ENTRY_NAMES}
    stage = wanted.get("stage", old["stage"])
    if stage != ListEntry.Stage.WITHDRAWN:
        if wanted.pop("reason", ""):
            read.warn("reason", "It is left out, since the object is not withdrawn.")
    elif not wanted.get("reason", old["reason"]):
        read.refuse("stage", "a reason for withdrawing in a column of its own")
    changed = {name: new for name, new in wanted.items() if new != old[name]}
    if row is None:
        plan.entry = wanted
        plan.changes.append(Change("stage", "not on the list", f"on the list, {_stage(stage)}"))
        changed.pop("stage", None)
    elif changed:
        plan.entry, plan.entry_key = changed, row["pk"]
    plan.changes += [
        Change(name, _entry_words(name, old[name]), _entry_words(name, new))
        for name, new in changed.items()
    ]


def _stored(row: Mapping[str, Any] | None, name: str, known: Known) -> Any:
    if row is None:
        return _DEFAULTS.get(name, "")
    return known.sections.get(row["section_id"]) if name == "section" else row[name]


def _stage(code: str) -> str:
    return str(ListEntry.Stage(code).label)


def _entry_words(name: str, value: Any) -> str:
    if name == "stage":
        return _stage(value)
    if name == "shown_on":
        return str(ListEntry.ShownOn(value).label)
    return str(value or "")[:LONGEST_WORDS]
