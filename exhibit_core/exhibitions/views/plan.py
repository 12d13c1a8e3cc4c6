"""Pages of exhibitions and the sections of their story."""

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions import actions, queries
from exhibit_core.exhibitions.access import exhibition_for, exhibitions_for, section_for
from exhibit_core.exhibitions.forms import ExhibitionForm, SectionDeleteForm, SectionForm
from exhibit_core.exhibitions.models import Exhibition, Section
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import attempt, both_values, posted, status_of, tell_done
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page

BACK, ON = -1, 1


def index(request: HttpRequest) -> HttpResponse:
    """Show every exhibition: the first page after signing in."""
    rows = exhibitions_for(request.user)
    return page(request, "exhibitions/index.html", {"cards": queries.cards(rows)})


def new(request: HttpRequest) -> HttpResponse:
    exhibitions_for(request.user, Right.EDIT_EXHIBITION)
    form = ExhibitionForm(posted(request))
    if request.method == "POST" and form.is_valid():
        made = attempt(form, lambda: _create(form, request))
        if made:
            messages.success(request, f"Set up {made}. Next: its sections, then its list.")
            return redirect("exhibitions:detail", made.pk)
    return page(request, "exhibitions/new.html", {"form": form}, status=status_of(form))


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show at once what is asked of the walls and what there is."""
    exhibition = exhibition_for(request.user, pk)
    balance = queries.section_balance(exhibition)
    stages = queries.all_stages(balance)
    context = {
        "exhibition": exhibition,
        "today": timezone.localdate(),
        "stages": stages,
        "total": sum(stage.count for stage in stages),
        "balance": balance,
        "fit": queries.fit(exhibition, balance),
        "shares": queries.shares(exhibition),
    }
    return page(request, "exhibitions/detail.html", context)


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    exhibition = exhibition_for(request.user, pk, Right.EDIT_EXHIBITION)
    form = ExhibitionForm(posted(request), instance=exhibition)
    context: dict[str, Any] = {"form": form, "exhibition": exhibition}
    status = 200
    if request.method == "POST" and form.is_valid():
        try:
            if attempt(form, lambda: _update(form, exhibition, request)):
                messages.success(request, "Saved.")
                return redirect("exhibitions:detail", pk)
        except StaleError as stale:
            context["stale"], status = both_values(form, stale), 409
            context["exhibition"] = exhibition_for(request.user, pk)
    return page(request, "exhibitions/edit.html", context, status=max(status, status_of(form)))


def sections(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the sections in order and add one."""
    right = Right.SEE if request.method == "GET" else Right.EDIT_EXHIBITION
    exhibition = exhibition_for(request.user, pk, right)
    form = SectionForm(posted(request), instance=Section(exhibition=exhibition))
    if request.method == "POST" and form.is_valid():
        made = attempt(
            form,
            lambda: actions.add_section(
                exhibition=exhibition, values=form.cleaned_data, by=request.user
            ),
        )
        if made:
            messages.success(request, f"Added section {made}.")
            return redirect("exhibitions:sections", pk)
    context = {
        "exhibition": exhibition,
        "form": form,
        "balance": [row for row in queries.section_balance(exhibition) if row.section],
    }
    return page(request, "exhibitions/sections.html", context, status=status_of(form))


def section(request: HttpRequest, pk: int, section_pk: int) -> HttpResponse:
    row = section_for(request.user, pk, section_pk, Right.EDIT_EXHIBITION)
    form = SectionForm(posted(request), instance=row)
    if request.method == "POST" and form.is_valid():
        saved = attempt(
            form,
            lambda: actions.update_section(section=row, values=form.cleaned_data, by=request.user),
        )
        if saved:
            messages.success(request, f"Saved section {saved}.")
            return redirect("exhibitions:sections", pk)
    context = {"exhibition": row.exhibition, "section": row, "form": form}
    return page(request, "exhibitions/section.html", context, status=status_of(form))


@require_POST
def move_section(request: HttpRequest, pk: int, section_pk: int) -> HttpResponse:
    row = section_for(request.user, pk, section_pk, Right.EDIT_EXHIBITION)
    places = BACK if request.POST.get("to") == "back" else ON
    actions.move_section(section=row, places=places, by=request.user)
    messages.success(request, f"Moved section {row}.")
    return redirect("exhibitions:sections", pk)


def delete_section(request: HttpRequest, pk: int, section_pk: int) -> HttpResponse:
    """Ask where its objects go, then remove the section."""
    row = section_for(request.user, pk, section_pk, Right.EDIT_EXHIBITION)
    form = SectionDeleteForm(posted(request), section=row)
    if request.method == "POST" and form.is_valid():
        words, batch = str(row), new_batch()
        actions.delete_section(section=row, by=request.user, batch=batch, **form.cleaned_data)
        tell_done(request, f"Removed section {words}.", batch)
        return redirect("exhibitions:sections", pk)
    context = {
        "exhibition": row.exhibition,
        "section": row,
        "form": form,
        "count": row.entries.count(),
    }
    return page(request, "exhibitions/section_delete.html", context, status=status_of(form))


@transaction.atomic
def _create(form: ExhibitionForm, request: HttpRequest) -> Exhibition:
    return actions.create_exhibition(values=_values(form, request), by=request.user)


@transaction.atomic
def _update(form: ExhibitionForm, exhibition: Exhibition, request: HttpRequest) -> Exhibition:
    return actions.update_exhibition(
        exhibition=exhibition,
        values=_values(form, request),
        version=form.cleaned_data["version"] or 0,
        by=request.user,
    )


def _values(form: ExhibitionForm, request: HttpRequest) -> dict[str, Any]:
    values = form.values()
    if name := form.cleaned_data["new_venue"]:
        values["venue"] = actions.venue_named(name=name, by=request.user)
    return values
