"""One row of the list, changed in its place."""

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django_htmx.http import reswap, retarget

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions import actions, queries
from exhibit_core.exhibitions.access import entry_for
from exhibit_core.exhibitions.columns import in_order
from exhibit_core.exhibitions.forms import EntryForm
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.exhibitions.views.listing import list_url, show_list
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import (
    attempt,
    both_values,
    posted,
    status_of,
    tell_done,
)
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page, wants_fragment


def entry(request: HttpRequest, pk: int, entry_pk: int) -> HttpResponse:
    """Edit one entry; the address carries what was asked of the list, to go back there."""
    row = entry_for(request.user, pk, entry_pk, Right.CHOOSE)
    form = EntryForm(posted(request), instance=row)
    context: dict[str, Any] = {"form": form, "entry": row, "exhibition": row.exhibition}
    batch, status = new_batch(), 200
    if request.method == "POST" and form.is_valid():
        try:
            changed = attempt(form, lambda: _update(form, row, batch, request))
            if changed is not None:
                _tell_saved(request, row, changed, batch)
                return _saved(request, row)
        except StaleError as stale:
            context["stale"], status = both_values(form, stale), 409
    context |= {
        "back": list_url(request, row.exhibition, row=entry_pk) + f"#edit-{entry_pk}",
        "span": len(in_order(request.user, queries.columns_chosen(request.user))) + 2,
    }
    status = max(status, status_of(form))
    return page(request, "exhibitions/entry.html", context, partial="row", status=status)


def _update(
    form: EntryForm, row: ListEntry, batch: uuid.UUID, request: HttpRequest
) -> list[ListEntry]:
    return actions.update_entry(
        entry=row,
        values=form.values(),
        version=form.cleaned_data["version"],
        by=request.user,
        batch=batch,
    )


def _tell_saved(
    request: HttpRequest, row: ListEntry, changed: list[ListEntry], batch: uuid.UUID
) -> None:
    if changed:
        tell_done(request, f"Saved {row.object.number}.", batch)
    else:
        messages.info(request, f"{row.object.number} stays as it was.")


def _saved(request: HttpRequest, row: ListEntry) -> HttpResponse:
    """Show the list afresh: a new order moves the others, a new stage may hide the row."""
    if not wants_fragment(request):
        return redirect(list_url(request, row.exhibition, row=row.pk) + f"#edit-{row.pk}")
    response = show_list(request, row.exhibition, row=row.pk)
    return reswap(retarget(response, "#results"), "outerHTML")
