"""Sizes of an object: measured, taken over from what somebody wrote, withdrawn."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.history.record import new_batch
from exhibit_core.register import actions
from exhibit_core.register.access import measurement_for, object_for
from exhibit_core.register.cautions import cautions_for
from exhibit_core.register.facts import size_in_words
from exhibit_core.register.forms import MeasureForm, ReadForm, WrittenForm
from exhibit_core.register.models import MuseumObject
from exhibit_core.register.sizes import best_size, compared
from exhibit_core.register.written import Read, read
from exhibit_core.web.answers import attempt, posted, status_of, tell_done
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page


def measure(request: HttpRequest, pk: int) -> HttpResponse:
    """Record one act of measuring."""
    obj = object_for(request.user, pk, Right.MEASURE)
    known = best_size(obj.measurements.all())
    form = MeasureForm(posted(request), user=request.user, known=known)
    if request.method == "POST" and form.is_valid():
        batch = new_batch()
        added = attempt(
            form,
            lambda: actions.add_measurements(
                obj=obj, each=[form.values()], by=request.user, batch=batch
            ),
        )
        if added is not None:
            _tell_recorded(request, f"Recorded the size of {obj.number}.", obj, batch)
            return redirect("register:object", pk)
    context = {"object": obj, "form": form, "known": known, "cautions": cautions_for(obj)}
    if known:
        context["known_words"] = size_in_words(known, request.user.unit)
    return page(request, "register/measure.html", context, status=status_of(form))


def _tell_recorded(request: HttpRequest, words: str, obj: MuseumObject, batch: UUID) -> None:
    """Say what was recorded and what it means for hanging; `obj` is as it was before."""
    before = best_size(obj.measurements.all())
    after = best_size(object_for(request.user, obj.pk).measurements.all())
    tell_done(request, f"{words} {compared(before, after)}", batch)


def written(request: HttpRequest, pk: int) -> HttpResponse:
    """Read a text, show what was read and what to mind, and record it once that was seen."""
    obj = object_for(request.user, pk, Right.MEASURE)
    form = WrittenForm(posted(request), user=request.user, lender=obj.lender)
    context: dict[str, Any] = {"object": obj, "form": form}
    if request.method == "POST" and form.is_valid():
        text, unit = form.cleaned_data["source_text"], form.cleaned_data["unit"]
        found, said = read(text, default_unit=unit)
        seen = form.cleaned_data["seen"] == _seen(text, unit)
        picks = [_pick(request if seen else None, place, one) for place, one in enumerate(found)]
        if not found:
            form.add_error("source_text", "No size could be read in it: see the example.")
        elif (
            seen
            and all(pick.is_valid() for pick in picks)
            and _record(request, form, obj, found, picks)
        ):
            return redirect("register:object", pk)
        form.data = form.data.copy()
        form.data["seen"] = _seen(text, unit) if found else ""
        context["warnings"] = said
        context["found"] = [
            (one, one.in_words(request.user.unit), pick)
            for one, pick in zip(found, picks, strict=True)
        ]
    return page(request, "register/written.html", context, status=status_of(form))


def _seen(text: str, unit: str) -> str:
    """Name a reading, so that a text changed after it was shown is read and shown again."""
    return f"{unit} {text}"


def _pick(request: HttpRequest | None, place: int, one: Read) -> ReadForm:
    data = request.POST if request else None
    return ReadForm(data, prefix=f"read-{place}", initial={"state": one.likely_state})


def _record(
    request: HttpRequest,
    form: WrittenForm,
    obj: MuseumObject,
    found: list[Read],
    picks: list[ReadForm],
) -> bool:
    each = [
        {**one.values, **form.common(), "state": pick.cleaned_data["state"]}
        for one, pick in zip(found, picks, strict=True)
        if pick.cleaned_data["state"]
    ]
    if not each:
        form.add_error(None, "Everything is left out: choose what at least one of them measures.")
        return False
    batch = new_batch()
    added = attempt(
        form,
        lambda: actions.add_measurements(obj=obj, each=each, by=request.user, batch=batch),
    )
    if added is None:
        return False
    counted = "one size" if len(added) == 1 else f"{len(added)} sizes"
    _tell_recorded(request, f"Recorded {counted} of {obj.number}.", obj, batch)
    return True


@require_POST
def withdraw(request: HttpRequest, pk: int, measurement_pk: int) -> HttpResponse:
    """Take a record out of use; it stays in the table of sizes."""
    row = measurement_for(request.user, pk, measurement_pk, Right.MEASURE)
    batch = new_batch()
    try:
        actions.withdraw_measurement(measurement=row, by=request.user, batch=batch)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
    else:
        tell_done(request, f"Withdrew a size of {row.object.number}.", batch)
    return redirect("register:object", pk)
