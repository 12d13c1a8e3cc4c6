"""One object: everything known of it on one page, made and changed."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from exhibit_core.accounts.access import can, require
from exhibit_core.accounts.rights import Right
from exhibit_core.history.record import new_batch
from exhibit_core.register import actions
from exhibit_core.register.access import editable_fields, object_for
from exhibit_core.register.cautions import cautions_for
from exhibit_core.register.changes import lines
from exhibit_core.register.comparison import Comparison
from exhibit_core.register.facts import facts_of, size_history, state_of
from exhibit_core.register.forms import FIELDS, ObjectForm
from exhibit_core.register.models import MuseumObject
from exhibit_core.register.panels import panels_for
from exhibit_core.register.sizes import best_size
from exhibit_core.web.answers import attempt, both_values, posted, status_of, tell_saved
from exhibit_core.web.errors import StaleError
from exhibit_core.web.render import page


def museum_object(request: HttpRequest, pk: int) -> HttpResponse:
    """Show everything known of an object."""
    obj = object_for(request.user, pk)
    size = best_size(obj.measurements.all())
    context: dict[str, Any] = {
        "object": obj,
        "state": state_of(obj, size, request.user),
        "facts": facts_of(obj),
        "cautions": cautions_for(obj),
        "comparison": Comparison(size.height_mm, size.width_mm) if size else None,
        "sizes": size_history(obj, request.user.unit),
        "panels": panels_for(obj, request.user),
        "lines": lines(obj, request.user),
        "may_edit": bool(editable_fields(request.user, FIELDS)),
        "may_measure": can(request.user, Right.MEASURE),
    }
    return page(request, "register/object.html", context)


def new(request: HttpRequest) -> HttpResponse:
    require(request.user, Right.EDIT_REGISTER)
    form = ObjectForm(posted(request), user=request.user)
    if request.method == "POST" and form.is_valid():
        obj = attempt(form, lambda: actions.create_object(values=form.values(), by=request.user))
        if obj is not None:
            messages.success(request, f"Added {obj.number}.")
            return redirect("register:object", obj.pk)
    context = {"form": form, "object": None}
    return page(request, "register/edit.html", context, partial="form", status=status_of(form))


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change the fields that a person's role lets them change."""
    obj = object_for(request.user, pk, _edit_right(request))
    form = ObjectForm(posted(request), instance=obj, user=request.user)
    context: dict[str, Any] = {"form": form, "object": obj}
    status = 200
    if request.method == "POST" and form.is_valid():
        try:
            batch = new_batch()
            saved = attempt(form, lambda: _update(form, obj, request, batch))
            if saved is not None:
                changed = saved.version != form.cleaned_data["version"]
                tell_saved(request, saved.number, batch, changed=changed)
                return redirect("register:object", pk)
        except StaleError as stale:
            context["stale"], status = both_values(form, stale), 409
    status = max(status, status_of(form))
    return page(request, "register/edit.html", context, partial="form", status=status)


def _edit_right(request: HttpRequest) -> Right:
    """Return the widest right to edit that a person has: one field is enough to open the form."""
    wide_first = (Right.EDIT_REGISTER, Right.SET_LIMITS, Right.EDIT_MONEY)
    return next((r for r in wide_first if can(request.user, r)), Right.EDIT_REGISTER)


def _update(form: ObjectForm, obj: MuseumObject, request: HttpRequest, batch: UUID) -> MuseumObject:
    return actions.update_object(
        obj=obj,
        values=form.values(),
        version=form.cleaned_data["version"] or 0,
        by=request.user,
        batch=batch,
    )
