"""Put objects on the list, choose what the list shows, and look back at what was done."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions import actions, queries
from exhibit_core.exhibitions.access import exhibition_for
from exhibit_core.exhibitions.columns import TO_CHOOSE_FROM, in_order, offered, table_rows
from exhibit_core.exhibitions.forms import AddForm, ColumnsForm, SearchForm
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.exhibitions.views.listing import THIS_PAGE, list_query, ticked_keys
from exhibit_core.history.record import new_batch
from exhibit_core.register.access import objects_for
from exhibit_core.web.answers import attempt, posted, status_of, tell_done
from exhibit_core.web.render import page

AT_ONCE = 100


def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Search the register for objects that are not on the list, and put them on it."""
    exhibition = exhibition_for(request.user, pk, Right.CHOOSE)
    objects = queries.not_listed(exhibition, objects_for(request.user))
    form = AddForm(posted(request), exhibition=exhibition, objects=objects)
    if request.method == "POST" and form.is_valid():
        batch = new_batch()
        added = attempt(
            form,
            lambda: actions.add_to_list(
                exhibition=exhibition,
                objects=form.cleaned_data["objects"],
                values_by_object=form.values_by_object(),
                by=request.user,
                batch=batch,
            ),
        )
        if added is not None:
            count = len(added)
            tell_done(request, f"Put {count} object{'s'[: count != 1]} on the list.", batch)
            return redirect("exhibitions:list", pk)
    search = SearchForm(request.GET)
    search.is_valid()
    found = search.narrow(objects).order_by("number_key", "pk")
    shown = Paginator(found, AT_ONCE).get_page(request.GET.get("page"))
    columns = [c for c in offered(request.user) if c.name in TO_CHOOSE_FROM]
    entries = [ListEntry(exhibition=exhibition, object=obj) for obj in shown]
    rows, scale = table_rows(entries, columns, request.user.unit)
    context = {
        "exhibition": exhibition,
        "form": form,
        "search": search,
        "headings": [(c, c.heading(request.user.unit)) for c in columns],
        "rows": rows,
        "scale": scale,
        "page_obj": shown,
        "query": list_query(request, page=None),
        "page_query": list_query(request),
        "ticked": ticked_keys(request.POST, "objects"),
        "everything": request.GET.get("all") == THIS_PAGE,
    }
    status = max(status_of(form), status_of(search))
    return page(request, "exhibitions/add.html", context, partial="found", status=status)


def columns(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a person choose which columns they see, and in which order."""
    exhibition = exhibition_for(request.user, pk)
    form = ColumnsForm(
        posted(request),
        offered=offered(request.user),
        shown=in_order(request.user, queries.columns_chosen(request.user)),
    )
    if request.method == "POST" and form.is_valid():
        actions.choose_columns(person=request.user, columns=form.chosen())
        messages.success(request, "The list shows your columns.")
        return redirect("exhibitions:list", pk)
    context = {"exhibition": exhibition, "form": form}
    return page(request, "exhibitions/columns.html", context, status=status_of(form))


def changes(request: HttpRequest, pk: int) -> HttpResponse:
    exhibition = exhibition_for(request.user, pk)
    context = {"exhibition": exhibition, "acts": queries.acts_on_list(exhibition)}
    return page(request, "exhibitions/changes.html", context)
