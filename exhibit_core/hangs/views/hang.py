"""The page of a hang: what is asked, whether it can fit, and what came of it."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from exhibit_core.hangs import queries
from exhibit_core.hangs.kinds import ONLY_FOR, counts
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.hangs.schedule import wall_sheets
from exhibit_core.hangs.screen import whole
from exhibit_core.hangs.tie_forms import KeepForm, PlaceForm, RuleForm
from exhibit_core.hangs.verdict import clashes
from exhibit_core.history.queries import history_of
from exhibit_core.web.render import page

SHOWN_CHANGES = 20


def show(
    request: HttpRequest,
    hang: Hang,
    *,
    rule_form: RuleForm | None = None,
    place_form: PlaceForm | None = None,
    keep_form: KeepForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """Answer the page of a hang, with a form that was refused in place of an empty one."""
    standing = queries.standing(hang)
    latest = standing.latest
    kept = list(hang.kept_places.select_related("section"))
    names = {place.name for place in kept}
    context = {
        "exhibition": hang.exhibition,
        "hang": hang,
        "standing": standing,
        "counts": {name: counts(name, hang.kind) for name in ONLY_FOR},
        "clashes": clashes(latest.solution["conflicts"]) if latest and not latest.places else [],
        "whole": _whole(latest) if latest and latest.places else "",
        "walls": hang.walls.select_related("room"),
        "sections": hang.sections.all(),
        "rules": queries.rules_of(hang),
        "places": hang.fixed_places.select_related("entry__object", "wall__room"),
        "versions": queries.versions_of(hang),
        "placed": queries.latest_placed(hang),
        "changes": history_of(hang)[:SHOWN_CHANGES],
        "rule_form": rule_form or RuleForm(hang=hang),
        "place_form": place_form or PlaceForm(hang=hang),
        "keep_form": keep_form or KeepForm(hang=hang),
        "kept": kept,
        "numbers": [p.id for p in standing.asked.problem.pieces if p.id not in names],
        "datums": hang.wall_datums.select_related("wall"),
    }
    return page(request, "hangs/hang.html", context, status=status)


def _whole(version: HangVersion) -> str:
    return whole(wall_sheets(version), reverse("hangs:version", args=[version.pk]))
