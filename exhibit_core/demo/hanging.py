"""Compute the demonstration's hang and write its sheets."""

from pathlib import Path

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Role
from exhibit_core.demo.loader import Tell, read
from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.hangs import actions, sheets
from exhibit_core.hangs.computing import compute
from exhibit_core.hangs.models import Hang, HangRule, HangVersion
from exhibit_core.spaces.models import Wall

PLAIN = (
    "title",
    "kind",
    "align",
    "datum_mm",
    "ends",
    "min_gap_mm",
    "max_gap_mm",
    "section_gap_mm",
    "keep_order",
)
STACK = ("rows", "row_gap_mm")


def hang(exhibition: Exhibition, *, tell: Tell) -> list[HangVersion]:
    """Describe and compute every hang of the plan, and accept those that are no variants."""
    by = next(person for person in User.objects.all() if Role.DESIGNER in person.roles)
    versions = []
    for row in read("exhibition.json")["hangs"]:
        version = compute(hang=_described(exhibition, row, by), by=by)
        if version.solution["placements"] and row.get("accept", True):
            actions.accept_version(version=version, by=by)
        tell(_in_words(version))
        versions.append(version)
    return versions


def _described(exhibition: Exhibition, row: dict, by: User) -> Hang:
    values = {name: row[name] for name in PLAIN}
    values |= {name: row[name] for name in STACK if name in row}
    values |= {f"label_{name}": value for name, value in row["label"].items()}
    described = actions.create_hang(
        exhibition=exhibition,
        values=values,
        walls=list(Wall.objects.filter(name__in=row["walls"])),
        sections=list(exhibition.sections.filter(number__in=row["sections"])),
        by=by,
    )
    entries = {entry.object.number: entry for entry in exhibition.entries.select_related("object")}
    kinds = HangRule.Kind
    rules: list[tuple[str, list[str], dict]] = [(kinds.TOGETHER, n, {}) for n in row["together"]]
    rules += [(kinds.APART, r.pop("objects"), r) for r in row["apart"]]
    rules += [(kinds.NEAR, r.pop("objects"), r) for r in row.get("near", ())]
    for kind, names, how in rules:
        actions.add_rule(
            hang=described, kind=kind, entries=[entries[name] for name in names], **how, by=by
        )
    return described


def _in_words(version: HangVersion) -> str:
    answer = version.solution
    if not answer["placements"]:
        return f"“{version.hang}” cannot hang: {answer['conflicts'][0]['sentence']}"
    measures = answer["measures"]
    least, spread = measures["smallest_gap_mm"], measures["gap_spread_mm"]
    return (
        f"“{version.hang}”: {len(answer['placements'])} objects, gaps {least} to {least + spread} "
        f"mm, {answer['status']}, {answer['seconds']:.1f} s"
    )


def write(version: HangVersion, folder: Path) -> list[Path]:
    return sheets.write_sheets(version, folder)
