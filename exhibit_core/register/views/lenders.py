"""Lenders and what they lend."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from exhibit_core.accounts.access import require
from exhibit_core.accounts.rights import Right
from exhibit_core.history.record import new_batch
from exhibit_core.register import actions
from exhibit_core.register.access import lender_for, lenders_for, objects_for
from exhibit_core.register.changes import lines
from exhibit_core.register.forms import LenderForm
from exhibit_core.register.models import Lender
from exhibit_core.web.answers import attempt, both_values, posted, status_of, tell_saved
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page

PER_PAGE = 100


def index(request: HttpRequest) -> HttpResponse:
    return page(request, "register/lenders.html", {"lenders": lenders_for(request.user)})


def lender(request: HttpRequest, pk: int) -> HttpResponse:
    row = lender_for(request.user, pk)
    objects = objects_for(request.user).filter(lender=row).order_by("number_key")
    context = {
        "lender": row,
        "page_obj": Paginator(objects, PER_PAGE).get_page(request.GET.get("page")),
        "lines": lines(row, request.user),
    }
    return page(request, "register/lender.html", context)


def new(request: HttpRequest) -> HttpResponse:
    require(request.user, Right.EDIT_MONEY)
    form = LenderForm(posted(request))
    if request.method == "POST" and form.is_valid():
        row = attempt(form, lambda: actions.create_lender(values=form.values(), by=request.user))
        if row is not None:
            messages.success(request, f"Added {row}.")
            return redirect("register:lender", row.pk)
    context = {"form": form, "lender": None}
    return page(request, "register/edit_lender.html", context, status=status_of(form))


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = lender_for(request.user, pk, Right.EDIT_MONEY)
    form = LenderForm(posted(request), instance=row)
    context: dict[str, Any] = {"form": form, "lender": row}
    status = 200
    if request.method == "POST" and form.is_valid():
        try:
            batch = new_batch()
            saved = attempt(form, lambda: _update(form, row, request, batch))
            if saved is not None:
                changed = saved.version != form.cleaned_data["version"]
                tell_saved(request, str(saved), batch, changed=changed)
                return redirect("register:lender", pk)
        except StaleError as stale:
            context["stale"], status = both_values(form, stale), 409
    status = max(status, status_of(form))
    return page(request, "register/edit_lender.html", context, status=status)


def _update(form: LenderForm, row: Lender, request: HttpRequest, batch: UUID) -> Lender:
    return actions.update_lender(
        lender=row,
        values=form.values(),
        version=form.cleaned_data["version"] or 0,
        by=request.user,
        batch=batch,
    )
