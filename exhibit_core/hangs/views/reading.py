"""A version of a hang on screen, accepted, and taken away as sheets."""

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from exhibit_core.accounts.rights import Right
from exhibit_core.hangs import actions, queries, sheets
from exhibit_core.hangs.access import version_for
from exhibit_core.hangs.forms import ScaleForm
from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.moves import Move, in_words, moves
from exhibit_core.hangs.schedule import wall_sheets
from exhibit_core.hangs.screen import ZOOMS, drawn, whole, zoom_of
from exhibit_core.hangs.verdict import clashes, facts, verdict
from exhibit_core.history.record import new_batch
from exhibit_core.web.answers import tell_done
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page
from layouts.drawing import SCALES

PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def version(request: HttpRequest, pk: int) -> HttpResponse:
    """Show every wall with its elevation and the table of what hangs there."""
    row = version_for(request.user, pk)
    zoom = zoom_of(request.GET.get("zoom", ""))
    walls = wall_sheets(row, picture=_picture, link=_row) if row.places else []
    other = queries.placed_version(row, request.GET.get("against", "")) if row.places else None
    moved = _moves(other, row) if other else []
    context = {
        "exhibition": row.hang.exhibition,
        "hang": row.hang,
        "version": row,
        "walls": drawn(walls, zoom),
        "whole": whole(walls),
        "other": other,
        "moves": moved,
        "moved": in_words(moved),
        "reasons": queries.out_of_date(row),
        "solution": row.solution,
        "verdict": verdict(row),
        "facts": facts(row),
        "clashes": clashes(row.solution["conflicts"]),
        "zoom": zoom,
        "zooms": ZOOMS,
        "scales": SCALES,
        "quick": sheets.are_quick(row),
        "written": sheets.written(row),
        "versions": queries.versions_of(row.hang),
    }
    return page(request, "hangs/version.html", context, partial="walls")


@require_POST
def accept(request: HttpRequest, pk: int) -> HttpResponse:
    row = version_for(request.user, pk, Right.HANG)
    batch = new_batch()
    try:
        actions.accept_version(version=row, by=request.user, batch=batch)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
    else:
        tell_done(request, f"Accepted {row}: it is the one to hang by.", batch)
    return redirect("hangs:version", pk)


@require_POST
def write(request: HttpRequest, pk: int) -> HttpResponse:
    """Queue the writing of all sheets, for hangs too large to wait for."""
    row = version_for(request.user, pk)
    job = actions.ask_for_sheets(version=row, by=request.user)
    return redirect("jobs:detail", job.pk)


def schedule_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    return _download(request, pk, "hanging-schedule.pdf", PDF)


def schedule_xlsx(request: HttpRequest, pk: int) -> HttpResponse:
    return _download(request, pk, "hanging-schedule.xlsx", XLSX)


def elevation_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the elevation at ?scale=, or at the scale that suits its walls."""
    row = _placed(request, pk)
    form = ScaleForm(request.GET)
    scale = form.cleaned_data["scale"] if form.is_valid() else 0
    if scale is None:
        return _download(request, pk, "elevation.pdf", PDF)
    try:
        content = sheets.elevation_pdf(row, scale)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
        return redirect("hangs:version", pk)
    return _attached(content, sheets.file_name(row, f"elevation-1-{scale}.pdf"), PDF)


def elevation_svg(request: HttpRequest, pk: int) -> HttpResponse:
    row = _placed(request, pk)
    form = ScaleForm(request.GET)
    if not form.is_valid():
        raise Http404
    wall, scale = form.cleaned_data["wall"] or 1, form.cleaned_data["scale"] or 20
    try:
        content = sheets.elevation_svg(row, wall, scale)
    except RefusedError as refusal:
        raise Http404(str(refusal)) from refusal
    name = sheets.file_name(row, f"elevation-wall-{wall}.svg")
    return _attached(content.encode(), name, "image/svg+xml")


def _download(request: HttpRequest, pk: int, what: str, kind: str) -> HttpResponse:
    """Send a sheet: one written before, or a fresh one where that takes but a moment."""
    row = _placed(request, pk)
    path = sheets.folder_of(row) / sheets.file_name(row, what)
    if path.is_file():
        return FileResponse(path.open("rb"), as_attachment=True, filename=path.name)
    if not sheets.are_quick(row):
        messages.info(request, "These sheets take a while: have them written first.")
        return redirect(reverse("hangs:version", args=[pk]) + "#sheets")
    return _attached(sheets.MAKERS[what](row), sheets.file_name(row, what), kind)


def _placed(request: HttpRequest, pk: int) -> HangVersion:
    row = version_for(request.user, pk)
    if not row.places:
        raise Http404("This version hangs nothing: there is no sheet of it.")
    return row


def _attached(content: bytes, name: str, kind: str) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type=kind, headers=headers)


def _moves(other: HangVersion, version: HangVersion) -> list[Move]:
    asked = version.problem.get("previous") or {}
    kept = asked.get("placements") == other.solution["placements"]
    return moves(other.solution, version.solution, kept=kept)


def _picture(caption: dict) -> str:
    key = caption.get("picture")
    return reverse("register:picture", args=[key, "small"]) if key else ""


def _row(wall: int, order: int) -> str:
    return f"#w{wall}-row-{order}"
