"""A list on its way in: sent, matched, previewed, brought in."""

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRedirect

from exhibit_core.accounts.access import can, require
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange import actions
from exhibit_core.exchange.access import list_for, lists_for
from exhibit_core.exchange.forms import ApplyForm, MatchForm, SheetForm, UploadForm
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.pages import SHOWN, PlanRows, guesses
from exhibit_core.exchange.queries import RECENT
from exhibit_core.exchange.reading.cells import MOST_COLUMNS, MOST_ROWS
from exhibit_core.exchange.reading.content import too_large
from exhibit_core.exchange.uploads import LimitedUpload
from exhibit_core.exhibitions.access import exhibitions_for
from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.web.answers import attempt, posted, status_of
from exhibit_core.web.render import page, wants_fragment

PER_PAGE = 50
WAITING = "job"


def index(request: HttpRequest) -> HttpResponse:
    """Show what can be taken away, and the lists that came in."""
    require(request.user)
    lists = lists_for(request.user)[:RECENT] if can(request.user, Right.IMPORT) else []
    exhibitions = exhibitions_for(request.user)
    return page(request, "exchange/index.html", {"lists": lists, "exhibitions": exhibitions})


@csrf_exempt
def new(request: HttpRequest) -> HttpResponse:
    """Limit what is read of a file before anything, the token's check included, reads it."""
    limit = LimitedUpload(request)
    request.upload_handlers.insert(0, limit)
    return _new(request, limit)


@csrf_protect
def _new(request: HttpRequest, limit: LimitedUpload) -> HttpResponse:
    require(request.user, Right.IMPORT)
    exhibitions = _exhibitions(request)
    wanted = request.GET.get("exhibition", "")
    form = UploadForm(
        posted(request),
        request.FILES or None,
        exhibitions=exhibitions,
        initial={"exhibition": wanted if wanted.isdecimal() else None},
    )
    if request.method == "POST" and limit.too_large:
        form.errors["file"] = form.error_class([str(too_large(limit.too_large))])
    elif request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        taken = attempt(
            form,
            lambda: actions.take_in(
                file=file,
                name=file.name,
                exhibition=form.cleaned_data["exhibition"],
                by=request.user,
            ),
        )
        if taken:
            return redirect("exchange:matching", taken.pk)
    context = {
        "form": form,
        "most_mb": settings.IMPORT_MAX_BYTES // 1_048_576,
        "most_rows": MOST_ROWS,
        "most_columns": MOST_COLUMNS,
    }
    return page(request, "exchange/new.html", context, status=status_of(form))


@require_POST
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Read another sheet, or the headings from another row."""
    object_list = list_for(request.user, pk)
    form = SheetForm(request.POST, object_list=object_list)
    if form.is_valid():
        read = attempt(
            form,
            lambda: actions.read_again(
                object_list=object_list,
                sheet=form.cleaned_data.get("sheet", object_list.sheet),
                header_row=form.cleaned_data["header_row"],
                by=request.user,
            ),
        )
        if read:
            return redirect("exchange:matching", pk)
    return _matching_page(request, object_list, sheet_form=form)


def matching(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what each column is taken for, and settle it."""
    object_list = list_for(request.user, pk)
    if request.method != "POST":
        return _matching_page(request, object_list)
    form = _match_form(request, object_list)
    if form.is_valid():
        matched = attempt(
            form,
            lambda: actions.match_columns(
                object_list=object_list, values=form.values(), by=request.user
            ),
        )
        if matched:
            return redirect("exchange:preview", pk)
    return _matching_page(request, object_list, form=form)


def preview(request: HttpRequest, pk: int) -> HttpResponse:
    """Show row by row what the list would do; nothing is written."""
    object_list = list_for(request.user, pk)
    if object_list.state == ObjectList.State.READ:
        return redirect("exchange:matching", pk)
    if object_list.state == ObjectList.State.MATCHED:
        return _waiting_page(request, object_list, "exchange:preview", "exchange:matching")
    if _was_waiting(request):
        return HttpResponseClientRedirect(request.path)
    return _preview_page(request, object_list)


@require_POST
def apply(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the list to be brought in as the preview shows it."""
    object_list = list_for(request.user, pk)
    form = ApplyForm(request.POST)
    if form.is_valid():
        asked = attempt(
            form,
            lambda: actions.ask_to_apply(
                object_list=object_list,
                leave_out_refused=form.cleaned_data["leave_out_refused"],
                by=request.user,
            ),
        )
        if asked:
            return redirect("exchange:done", pk)
    return _preview_page(request, object_list, form=form)


def done(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what was brought in, or how far it is."""
    object_list = list_for(request.user, pk)
    if not object_list.is_applied:
        return _waiting_page(request, object_list, "exchange:done", "exchange:preview")
    if _was_waiting(request):
        return HttpResponseClientRedirect(request.path)
    return page(request, "exchange/done.html", {"list": object_list})


def _exhibitions(request: HttpRequest):
    if can(request.user, Right.CHOOSE):
        return exhibitions_for(request.user, Right.CHOOSE)
    return Exhibition.objects.none()


def _match_form(request: HttpRequest, object_list: ObjectList) -> MatchForm:
    return MatchForm(
        posted(request),
        object_list=object_list,
        guesses=guesses(object_list, request.user),
        user=request.user,
    )


def _matching_page(
    request: HttpRequest,
    object_list: ObjectList,
    *,
    form: MatchForm | None = None,
    sheet_form: SheetForm | None = None,
) -> HttpResponse:
    bound = form or sheet_form
    if form is None:
        form = MatchForm(
            object_list=object_list, guesses=guesses(object_list, request.user), user=request.user
        )
    context = {
        "list": object_list,
        "form": form,
        "sheet_form": sheet_form or SheetForm(object_list=object_list),
    }
    status = status_of(bound) if bound else 200
    return page(request, "exchange/matching.html", context, status=status)


def _waiting_page(
    request: HttpRequest, object_list: ObjectList, here: str, back: str
) -> HttpResponse:
    context = {"list": object_list, "job": object_list.job, "here": here, "back": back}
    return page(request, "exchange/waiting.html", context, partial="progress")


def _was_waiting(request: HttpRequest) -> bool:
    """Tell whether the waiting page asks, which then makes way for a whole page."""
    return wants_fragment(request) and request.htmx.target == WAITING


def _preview_page(
    request: HttpRequest, object_list: ObjectList, *, form: ApplyForm | None = None
) -> HttpResponse:
    shown = request.GET.get("show", "")
    shown = shown if shown in SHOWN else ""
    rows = PlanRows(object_list, shown=shown, user=request.user)
    context = {
        "list": object_list,
        "form": form or ApplyForm(),
        "shown": shown,
        "tabs": [
            (name, label, len(PlanRows(object_list, shown=name, user=request.user)))
            for name, label in SHOWN.items()
        ],
        "page_obj": Paginator(rows, PER_PAGE).get_page(request.GET.get("page")),
        "query": f"show={shown}" if shown else "",
    }
    status = status_of(form) if form else 200
    return page(request, "exchange/preview.html", context, partial="rows", status=status)
