"""Hangs of an exhibition: what is asked, whether it can fit, and what came of it."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.access import exhibition_for
from exhibit_core.hangs import actions, queries
from exhibit_core.hangs.access import hang_for, place_for, rule_for
from exhibit_core.hangs.forms import HangForm, PlaceForm, RuleForm
from exhibit_core.hangs.kinds import ONLY_FOR, counts
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.hangs.schedule import wall_sheets
from exhibit_core.hangs.screen import whole
from exhibit_core.history.queries import history_of
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import attempt, both_values, posted, status_of, tell_done
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page

SHOWN_CHANGES = 20


def index(request: HttpRequest, pk: int) -> HttpResponse:
    """List the hangs of an exhibition, or say what is needed before there can be one."""
    exhibition = exhibition_for(request.user, pk)
    hangs = list(queries.hangs_of(exhibition))
    context: dict[str, Any] = {"exhibition": exhibition, "hangs": hangs}
    if not hangs:
        context["walls"] = queries.walls_there(exhibition).count()
        context["selected"] = queries.wall_entries(exhibition).count()
    return page(request, "hangs/index.html", context)


def new(request: HttpRequest, pk: int) -> HttpResponse:
    exhibition = exhibition_for(request.user, pk, Right.HANG)
    form = HangForm(posted(request), instance=Hang(exhibition=exhibition))
    if request.method == "POST" and form.is_valid():
        made = attempt(
            form,
            lambda: actions.create_hang(
                exhibition=exhibition,
                values=form.values(),
                walls=form.cleaned_data["walls"],
                sections=form.cleaned_data["sections"],
                by=request.user,
            ),
        )
        if made:
            messages.success(request, f"Set up {made}. Compute it when its sums look right.")
            return redirect("hangs:hang", made.pk)
    context = {"exhibition": exhibition, "form": form, "walls": form.fields["walls"].queryset}
    return page(request, "hangs/form.html", context, status=status_of(form))


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    hang = hang_for(request.user, pk, Right.HANG)
    form = HangForm(posted(request), instance=hang_for(request.user, pk, Right.HANG))
    context: dict[str, Any] = {"exhibition": hang.exhibition, "hang": hang, "form": form}
    status = 200
    if request.method == "POST" and form.is_valid():
        batch = new_batch()
        try:
            saved = attempt(
                form,
                lambda: actions.update_hang(
                    hang=hang,
                    values=form.values(),
                    walls=form.cleaned_data["walls"],
                    sections=form.cleaned_data["sections"],
                    version=form.cleaned_data["version"] or 0,
                    by=request.user,
                    batch=batch,
                ),
            )
            if saved:
                tell_done(request, f"Saved {saved}.", batch)
                return redirect("hangs:hang", pk)
        except StaleError as stale:
            context["stale"], status = both_values(form, stale), 409
    context["walls"] = form.fields["walls"].queryset
    return page(request, "hangs/form.html", context, status=max(status, status_of(form)))


def hang(request: HttpRequest, pk: int) -> HttpResponse:
    return _show(request, hang_for(request.user, pk))


@require_POST
def add_rule(request: HttpRequest, pk: int) -> HttpResponse:
    row = hang_for(request.user, pk, Right.HANG)
    form = RuleForm(request.POST, exhibition=row.exhibition)
    if form.is_valid():
        batch = new_batch()
        made = attempt(
            form,
            lambda: actions.add_rule(
                hang=row,
                kind=form.cleaned_data["kind"],
                entries=form.cleaned_data["objects"],
                at_least_mm=form.cleaned_data.get("at_least_mm"),
                weight=form.cleaned_data["weight"],
                by=request.user,
                batch=batch,
            ),
        )
        if made:
            tell_done(request, f"Asked for: {made.words}.", batch)
            return redirect("hangs:hang", pk)
    return _show(request, row, rule_form=form, status=422)


@require_POST
def remove_rule(request: HttpRequest, pk: int, rule_pk: int) -> HttpResponse:
    rule = rule_for(request.user, pk, rule_pk)
    words, batch = rule.words, new_batch()
    actions.remove_rule(rule=rule, by=request.user, batch=batch)
    tell_done(request, f"No longer asked: {words}.", batch)
    return redirect("hangs:hang", pk)


@require_POST
def fix(request: HttpRequest, pk: int) -> HttpResponse:
    row = hang_for(request.user, pk, Right.HANG)
    form = PlaceForm(request.POST, hang=row)
    if form.is_valid():
        batch = new_batch()
        made = attempt(
            form,
            lambda: actions.fix_place(
                hang=row,
                entry=form.cleaned_data["number"],
                wall=form.cleaned_data["wall"],
                x_mm=form.cleaned_data["x_mm"],
                y_mm=form.cleaned_data["y_mm"],
                by=request.user,
                batch=batch,
            ),
        )
        if made:
            tell_done(request, f"Fixed {made.entry.object.number} on {made.wall}.", batch)
            return redirect("hangs:hang", pk)
    return _show(request, row, place_form=form, status=422)


@require_POST
def free(request: HttpRequest, pk: int, place_pk: int) -> HttpResponse:
    place = place_for(request.user, pk, place_pk)
    number, batch = place.entry.object.number, new_batch()
    actions.unfix(place=place, by=request.user, batch=batch)
    tell_done(request, f"{number} may hang anywhere again.", batch)
    return redirect("hangs:hang", pk)


@require_POST
def compute(request: HttpRequest, pk: int) -> HttpResponse:
    """Queue the computing and go where its progress is shown."""
    row = hang_for(request.user, pk, Right.HANG)
    keep = request.POST.get("keep") == "yes"
    job = actions.ask_for_solution(hang=row, keep=keep, by=request.user)
    return redirect("jobs:detail", job.pk)


def _show(
    request: HttpRequest,
    hang: Hang,
    *,
    rule_form: RuleForm | None = None,
    place_form: PlaceForm | None = None,
    status: int = 200,
) -> HttpResponse:
    standing = queries.standing(hang)
    latest = standing.latest
    context = {
        "exhibition": hang.exhibition,
        "hang": hang,
        "standing": standing,
        "counts": {name: counts(name, hang.kind) for name in ONLY_FOR},
        "conflicts": latest.solution["conflicts"] if latest and not latest.places else [],
        "whole": _whole(latest) if latest and latest.places else "",
        "walls": hang.walls.select_related("room"),
        "sections": hang.sections.all(),
        "rules": queries.rules_of(hang),
        "places": hang.fixed_places.select_related("entry__object", "wall__room"),
        "versions": queries.versions_of(hang),
        "placed": queries.latest_placed(hang),
        "changes": history_of(hang)[:SHOWN_CHANGES],
        "rule_form": rule_form or RuleForm(exhibition=hang.exhibition),
        "place_form": place_form or PlaceForm(hang=hang),
    }
    return page(request, "hangs/hang.html", context, status=status)


def _whole(version: HangVersion) -> str:
    return whole(wall_sheets(version), reverse("hangs:version", args=[version.pk]))
