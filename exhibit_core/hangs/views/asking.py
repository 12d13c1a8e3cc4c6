"""Hangs of an exhibition: what is asked, whether it can fit, and what came of it."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.access import exhibition_for
from exhibit_core.hangs import actions, queries
from exhibit_core.hangs.access import hang_for
from exhibit_core.hangs.forms import HangForm
from exhibit_core.hangs.models import Hang
from exhibit_core.hangs.views.hang import show
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import attempt, both_values, posted, status_of, tell_done
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page


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
                datums=form.datums(),
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
                    datums=form.datums(),
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
    return show(request, hang_for(request.user, pk))


@require_POST
def compute(request: HttpRequest, pk: int) -> HttpResponse:
    """Queue the computing and go where its progress is shown."""
    row = hang_for(request.user, pk, Right.HANG)
    keep = request.POST.get("keep") == "yes"
    job = actions.ask_for_solution(hang=row, keep=keep, by=request.user)
    return redirect("jobs:detail", job.pk)
