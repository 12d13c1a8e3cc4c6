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


def hang(exhibition: Exhibition, *, tell: Tell) -> list[HangVersion]:
    """Describe, compute and accept every hang of the plan."""
    by = next(person for person in User.objects.all() if Role.DESIGNER in person.roles)
    versions = []
    for row in read("exhibition.json")["hangs"]:
        version = compute(hang=_described(exhibition, row, by), by=by)
        if version.solution["placements"]:
            actions.accept_version(version=version, by=by)
        tell(_in_words(version))
        versions.append(version)
    return versions


def _described(exhibition: Exhibition, row: dict, by: User) -> Hang:
    values = {name: row[name] for name in PLAIN}
    values |= {f"label_{name}": value for name, value in row["label"].items()}
    described = actions.create_hang(
        exhibition=exhibition,
        values=values,
        walls=list(Wall.objects.filter(name__in=row["walls"])),
        sections=list(exhibition.sections.filter(number__in=row["sections"])),
        by=by,
    )
    entries = {entry.object.number: entry for entry in exhibition.entries.select_related("object")}
    rules = [(HangRule.Kind.TOGETHER, names, None) for names in row["together"]]
    rules += [(HangRule.Kind.APART, r["objects"], r["at_least_mm"]) for r in row["apart"]]
    for kind, names, distance in rules:
        actions.add_rule(
            hang=described,
            kind=kind,
            entries=[entries[name] for name in names],
            at_least_mm=distance,
            by=by,
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
