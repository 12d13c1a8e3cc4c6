"""What single objects are asked: rules, fixed places, and places kept."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.hangs import actions
from exhibit_core.hangs.access import hang_for, kept_for, place_for, rule_for
from exhibit_core.hangs.tie_forms import KeepForm, PlaceForm, RuleForm
from exhibit_core.hangs.views.hang import show
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import attempt, tell_done


@require_POST
def add_rule(request: HttpRequest, pk: int) -> HttpResponse:
    row = hang_for(request.user, pk, Right.HANG)
    form = RuleForm(request.POST, hang=row)
    if form.is_valid():
        batch = new_batch()
        made = attempt(
            form,
            lambda: actions.add_rule(
                hang=row,
                kind=form.cleaned_data["kind"],
                **form.values(),
                by=request.user,
                batch=batch,
            ),
        )
        if made:
            tell_done(request, f"Asked for: {made.words}.", batch)
            return redirect("hangs:hang", pk)
    return show(request, row, rule_form=form, status=422)


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
    return show(request, row, place_form=form, status=422)


@require_POST
def free(request: HttpRequest, pk: int, place_pk: int) -> HttpResponse:
    place = place_for(request.user, pk, place_pk)
    number, batch = place.entry.object.number, new_batch()
    actions.unfix(place=place, by=request.user, batch=batch)
    tell_done(request, f"{number} may hang anywhere again.", batch)
    return redirect("hangs:hang", pk)


@require_POST
def keep(request: HttpRequest, pk: int) -> HttpResponse:
    row = hang_for(request.user, pk, Right.HANG)
    form = KeepForm(request.POST, hang=row)
    if form.is_valid():
        batch = new_batch()
        made = attempt(
            form,
            lambda: actions.keep_place(hang=row, **form.cleaned_data, by=request.user, batch=batch),
        )
        if made:
            tell_done(request, f"Kept a place for {made.name}.", batch)
            return redirect("hangs:hang", pk)
    return show(request, row, keep_form=form, status=422)


@require_POST
def give_up(request: HttpRequest, pk: int, kept_pk: int) -> HttpResponse:
    place = kept_for(request.user, pk, kept_pk)
    name, batch = place.name, new_batch()
    actions.give_up_place(place=place, by=request.user, batch=batch)
    tell_done(request, f"No place is kept for {name} any more.", batch)
    return redirect("hangs:hang", pk)
