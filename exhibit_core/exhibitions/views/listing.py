"""The list of an exhibition: looked through, and changed many rows at once."""

import uuid
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions import actions, queries
from exhibit_core.exhibitions.access import entries_for, exhibition_for
from exhibit_core.exhibitions.columns import Column, in_order, table_rows
from exhibit_core.exhibitions.forms import LONGEST_KEY, BulkForm, NarrowForm
from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import attempt, tell_done
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page

THIS_PAGE, MATCHING = "page", "matching"
# What belongs to one look at the list, and not to what was asked of it.
PASSING = ("all", "row", "entry")


@dataclass(frozen=True)
class Heading:
    """A column's head: `order` is its aria-sort, `query` what its link asks for."""

    column: Column
    words: str
    order: str
    query: str


@dataclass(frozen=True)
class Asked:
    """One thing that narrows the list, and the query without it."""

    words: str
    query: str


def list_page(request: HttpRequest, pk: int) -> HttpResponse:
    exhibition = exhibition_for(request.user, pk)
    row = request.GET.get("row", "")
    return show_list(request, exhibition, row=int(row) if row.isdecimal() else None)


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the chosen rows, or all that match, the same stage, section or place."""
    exhibition = exhibition_for(request.user, pk, Right.CHOOSE)
    form = BulkForm(request.POST, exhibition=exhibition)
    batch = new_batch()
    if form.is_valid():
        changed = attempt(
            form,
            lambda: actions.change_entries(
                entries=_chosen(request, exhibition),
                values=form.values(),
                by=request.user,
                batch=batch,
            ),
        )
        if changed is not None:
            _tell_changed(request, changed, batch)
            return redirect(list_url(request, exhibition))
    return show_list(request, exhibition, bulk=form, status=422)


def show_list(
    request: HttpRequest,
    exhibition: Exhibition,
    *,
    bulk: BulkForm | None = None,
    row: int | None = None,
    status: int = 200,
) -> HttpResponse:
    """Answer with the page of the list that the address asks for; `row` takes the focus."""
    form = NarrowForm(request.GET, exhibition=exhibition)
    if not form.is_valid():
        status = 422
    found = queries.ordered(queries.narrowed(exhibition, form.asked()), form.cleaned_data["sort"])
    columns = in_order(request.user, queries.columns_chosen(request.user))
    pages = Paginator(found.values_list("pk", flat=True), form.rows_on_a_page)
    shown = pages.get_page(request.GET.get("page"))
    rows, scale = table_rows(queries.entries_shown(list(shown)), columns, request.user.unit)
    context = {
        "exhibition": exhibition,
        "narrow": form,
        "asked": _asked(request, form),
        "headings": [_heading(request, c, form.cleaned_data["sort"]) for c in columns],
        "rows": rows,
        "scale": scale,
        "page_obj": shown,
        "total": exhibition.entries.count(),
        "query": list_query(request, page=None),
        "page_query": list_query(request),
        "row": row,
        "row_shown": any(line.entry.pk == row for line in rows),
        **_bulk_context(request, exhibition, bulk, shown),
    }
    return page(request, "exhibitions/list.html", context, partial="narrowed", status=status)


def list_query(request: HttpRequest, **changes: Any) -> str:
    """Return what was asked of the list as a query, without what belonged to one look at it."""
    asked = {name: value for name, value in request.GET.items() if name not in PASSING}
    return urlencode({name: value for name, value in {**asked, **changes}.items() if value})


def list_url(request: HttpRequest, exhibition: Exhibition, **changes: Any) -> str:
    query = list_query(request, **changes)
    return f"{reverse('exhibitions:list', args=[exhibition.pk])}?{query}"


def _heading(request: HttpRequest, column: Column, sort: str) -> Heading:
    order = ""
    if column.sort and column.sort == sort.removeprefix("-"):
        order = "descending" if sort.startswith("-") else "ascending"
    onward = f"-{column.sort}" if order == "ascending" else column.sort
    query = list_query(request, sort=onward, page=None) if column.sort else ""
    return Heading(column, column.heading(request.user.unit), order, query)


def _asked(request: HttpRequest, form: NarrowForm) -> list[Asked]:
    return [
        Asked(words, list_query(request, page=None, **{name: None}))
        for name, words in form.in_words()
    ]


def _bulk_context(
    request: HttpRequest, exhibition: Exhibition, bulk: BulkForm | None, shown: Page
) -> dict[str, Any]:
    asked = request.GET if bulk is None else request.POST
    everything = asked.get("all", "")
    whole = everything in (THIS_PAGE, MATCHING)
    sent = ticked_keys(request.POST, "entry") | ticked_keys(request.GET, "entry")
    ticked = set(shown) if whole else sent
    return {
        "bulk": bulk or BulkForm(exhibition=exhibition),
        "bulk_open": bulk is not None,
        "everything": everything,
        "ticked": ticked,
    }


def ticked_keys(params: QueryDict, name: str) -> set[int]:
    """Return the keys of the rows whose box of this name was ticked."""
    keys = params.getlist(name)
    return {int(key) for key in keys if key.isdecimal() and len(key) <= LONGEST_KEY}


def _chosen(request: HttpRequest, exhibition: Exhibition) -> QuerySet[ListEntry]:
    """Return the entries that a person meant; raise RefusedError when they are not those."""
    if request.POST.get("all") != MATCHING:
        keys = ticked_keys(request.POST, "entry")
        rows = entries_for(request.user, exhibition.pk, Right.CHOOSE).filter(pk__in=keys)
        if not keys:
            raise RefusedError("Choose at least one object: tick it in the first column.")
        if gone := len(keys) - rows.count():
            raise RefusedError(f"{gone} of the chosen objects left the list: choose again.")
        return rows
    form = NarrowForm(request.GET, exhibition=exhibition)
    if not form.is_valid():
        raise RefusedError("What narrows the list is not valid: see above the list.")
    rows = queries.narrowed(exhibition, form.asked())
    count = rows.count()
    if str(count) != request.POST.get("expected"):
        raise RefusedError(
            f"You chose {request.POST.get('expected') or 'no'} matching objects, but {count} "
            "match now: look through them again."
        )
    return rows


def _tell_changed(request: HttpRequest, changed: list[ListEntry], batch: uuid.UUID) -> None:
    if not changed:
        messages.info(request, "Nothing changed: the chosen objects had these values already.")
        return
    what = changed[0].object.number if len(changed) == 1 else f"{len(changed)} objects"
    tell_done(request, f"Changed {what}.", batch)
