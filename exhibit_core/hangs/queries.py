"""Reading hangs and their versions."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Count, F, Max, OuterRef, Prefetch, QuerySet, Subquery

from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.hangs.fit import AreaFit, Fit, area_fit, fit
from exhibit_core.hangs.models import PLACED, Hang, HangRule, HangVersion
from exhibit_core.hangs.problem import Asked, asked_of
from exhibit_core.hangs.ripple import reasons
from exhibit_core.spaces.models import Wall


@dataclass(frozen=True)
class Standing:
    """What a hang asks now, whether it could fit, and what became of its latest answer."""

    asked: Asked
    fit: list[Fit]
    area: AreaFit | None
    latest: HangVersion | None
    reasons: list[str]


def hangs_of(exhibition: Exhibition) -> QuerySet[Hang]:
    """Return hangs with counts of walls and versions, and the latest and accepted version."""
    versions = HangVersion.objects.filter(hang=OuterRef("pk"))
    accepted = versions.filter(accepted_at__isnull=False)
    return exhibition.hangs.annotate(
        wall_count=Count("walls", distinct=True),
        latest_number=Max("versions__number"),
        latest_status=Subquery(versions.order_by("-number").values("status")[:1]),
        latest_pk=Subquery(versions.order_by("-number").values("pk")[:1]),
        accepted_number=Subquery(accepted.values("number")[:1]),
        accepted_pk=Subquery(accepted.values("pk")[:1]),
    )


def walls_there(exhibition: Exhibition) -> QuerySet[Wall]:
    return Wall.objects.filter(room__venue=exhibition.venue_id).select_related("room")


def wall_entries(
    exhibition: Exhibition, number_keys: Collection[str] | None = None
) -> QuerySet[ListEntry]:
    """Return what could hang: selected and shown on a wall."""
    rows = exhibition.entries.filter(
        stage=ListEntry.Stage.SELECTED, shown_on=ListEntry.ShownOn.WALL
    ).select_related("object", "section")
    return rows if number_keys is None else rows.filter(object__number_key__in=number_keys)


def versions_of(hang: Hang) -> QuerySet[HangVersion]:
    """Return versions for a list with their measures, without the weight of the rest."""
    rows = hang.versions.select_related("made_by", "accepted_by")
    return rows.defer("problem", "solution", "captions").annotate(
        spread_mm=F("solution__measures__gap_spread_mm"),
        smallest_mm=F("solution__measures__smallest_gap_mm"),
    )


def latest_version(hang: Hang) -> HangVersion | None:
    return hang.versions.select_related("hang").first()


def latest_placed(hang: Hang) -> HangVersion | None:
    """Return the latest version that hangs something."""
    return hang.versions.filter(status__in=PLACED).first()


def placed_version(version: HangVersion, number: str = "") -> HangVersion | None:
    """Return the version of this number to compare with, or else the one placed before."""
    others = version.hang.versions.filter(status__in=PLACED).exclude(pk=version.pk)
    if (
        number.isdecimal()
        and len(number) < 10
        and (found := others.filter(number=int(number)).first())
    ):
        return found
    return others.filter(number__lt=version.number).first()


def rules_of(hang: Hang) -> QuerySet[HangRule]:
    return hang.rules.select_related("section").prefetch_related(
        Prefetch("entries", ListEntry.objects.select_related("object")), "walls"
    )


def datums_of(hang: Hang) -> dict[str, int]:
    """Return the walls with a datum of their own, by key as history stores them."""
    rows = hang.wall_datums.order_by("wall").values_list("wall", "datum_mm")
    return {str(wall): datum_mm for wall, datum_mm in rows}


def standing(hang: Hang) -> Standing:
    asked = asked_of(hang)
    latest = latest_version(hang)
    why = _reasons(latest, asked) if latest else []
    in_area = hang.kind == Hang.Kind.CLUSTER
    lengths = [] if in_area else fit(asked.problem)
    return Standing(asked, lengths, area_fit(asked.problem) if in_area else None, latest, why)


def out_of_date(version: HangVersion) -> list[str]:
    """Return what changed since a version was computed, one sentence each."""
    return _reasons(version, asked_of(version.hang))


def _reasons(version: HangVersion, asked: Asked) -> list[str]:
    now = asked.problem.to_dict()
    hung = {piece["id"] for piece in now["pieces"]}
    gone = [piece["id"] for piece in version.problem["pieces"] if piece["id"] not in hung]
    return reasons(version.problem, now, _whereabouts(version.hang, asked, gone))


def _whereabouts(hang: Hang, asked: Asked, numbers: list[str]) -> dict[str, str]:
    """Say of each object that left the hang where it went."""
    if not numbers:
        return {}
    said = {left.entry.object.number: f"is left out: {left.reason}" for left in asked.left_out}
    rows = ListEntry.objects.filter(exhibition=hang.exhibition_id, object__number__in=numbers)
    for entry in rows.select_related("object", "section"):
        said.setdefault(entry.object.number, _went(entry))
    return said


def _went(entry: ListEntry) -> str:
    if entry.stage == ListEntry.Stage.WITHDRAWN:
        return f"was withdrawn: {entry.reason}"
    if entry.stage != ListEntry.Stage.SELECTED:
        return f"is no longer selected: now {entry.get_stage_display()}"
    if entry.shown_on != ListEntry.ShownOn.WALL:
        return f"is no longer shown on a wall: now {entry.get_shown_on_display()}"
    section = f"section {entry.section.number}" if entry.section else "no section"
    return f"is now in {section}, which this hang leaves out"
