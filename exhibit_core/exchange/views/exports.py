"""Lists to take away."""

from collections.abc import Iterator
from typing import Any

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect
from django.utils.http import content_disposition_header
from django.utils.text import slugify

from exhibit_core.exchange.access import list_for
from exhibit_core.exchange.exporting.columns import Subject, columns_for, rows_of, subject
from exhibit_core.exchange.exporting.files import csv_lines, xlsx_file
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.plans import Remark, from_line, lines_of
from exhibit_core.exhibitions.access import entries_for, exhibition_for
from exhibit_core.exhibitions.queries import ordered
from exhibit_core.register.access import objects_for
from exhibit_core.web.errors import RefusedError

CHUNK = 500
ROW_OF_THE_LIST, WHY_REFUSED = "Row of the list", "Why it was refused"


def register_xlsx(request: HttpRequest) -> HttpResponse:
    headings, rows = _register(request)
    return _xlsx(request, "register", headings, rows)


def register_csv(request: HttpRequest) -> HttpResponse:
    return _csv("register", *_register(request))


def list_xlsx(request: HttpRequest, pk: int) -> HttpResponse:
    name, headings, rows = _list(request, pk)
    return _xlsx(request, name, headings, rows)


def list_csv(request: HttpRequest, pk: int) -> HttpResponse:
    return _csv(*_list(request, pk))


def refused(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the refused rows as they came, each with the reasons, to be corrected and sent again."""
    object_list = list_for(request.user, pk)
    headings = [*_names(object_list), ROW_OF_THE_LIST, WHY_REFUSED]
    return _xlsx(request, "refused rows", headings, _refused_rows(object_list))


def _register(request: HttpRequest) -> tuple[list[str], Iterator[list[Any]]]:
    objects = objects_for(request.user).order_by("number_key", "pk")
    columns = columns_for(request.user, with_list=False)
    subjects = (subject(obj) for obj in objects.iterator(CHUNK))
    return [column.heading for column in columns], rows_of(columns, subjects)


def _list(request: HttpRequest, pk: int) -> tuple[str, list[str], Iterator[list[Any]]]:
    exhibition = exhibition_for(request.user, pk)
    columns = columns_for(request.user, with_list=True)
    headings = [column.heading for column in columns]
    return f"list of {exhibition}", headings, rows_of(columns, _entries(request, pk))


def _entries(request: HttpRequest, pk: int) -> Iterator[Subject]:
    """Yield the entries in the order of the story, their objects read chunk by chunk."""
    keys = list(ordered(entries_for(request.user, pk), "story").values_list("pk", flat=True))
    rows = entries_for(request.user, pk).select_related("section")
    for start in range(0, len(keys), CHUNK):
        entries = rows.in_bulk(keys[start : start + CHUNK])
        objects = objects_for(request.user).in_bulk([e.object_id for e in entries.values()])
        for key in keys[start : start + CHUNK]:
            if key in entries:
                yield subject(objects[entries[key].object_id], entries[key])


def _names(object_list: ObjectList) -> list[str]:
    """Return a heading for each place up to the last column, also where it had none."""
    names = {column["place"]: column["name"] for column in object_list.columns}
    return [names.get(place, "") for place in range(max(names, default=-1) + 1)]


def _refused_rows(object_list: ObjectList) -> Iterator[list[str]]:
    width = len(_names(object_list))
    with object_list.plan.open("rb") as file:
        for line in lines_of(file.file, outcome="refused"):
            plan = from_line(line)
            cells = [*plan.cells, *[""] * width][:width]
            yield [*cells, str(plan.row), "\n".join(_reason(remark) for remark in plan.refusals)]


def _reason(remark: Remark) -> str:
    return f"{remark.address} “{remark.value}”, {remark.sentence}"


def _csv(name: str, headings: list[str], rows: Iterator[list[Any]]) -> HttpResponse:
    answer = StreamingHttpResponse(
        csv_lines(headings, rows), content_type="text/csv; charset=utf-8"
    )
    answer["Content-Disposition"] = content_disposition_header(True, f"{_slug(name)}.csv")
    return answer


def _xlsx(
    request: HttpRequest, name: str, headings: list[str], rows: Iterator[list[Any]]
) -> HttpResponse:
    try:
        file = xlsx_file("Objects", headings, rows)
    except RefusedError as refusal:
        messages.error(request, str(refusal))
        return redirect("exchange:index")
    return FileResponse(file, as_attachment=True, filename=f"{_slug(name)}.xlsx")


def _slug(name: str) -> str:
    return slugify(name)[:80] or "list"
