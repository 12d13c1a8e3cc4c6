"""The register looked through."""

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse

from exhibit_core.accounts.access import can
from exhibit_core.accounts.rights import Right
from exhibit_core.register import queries
from exhibit_core.register.access import objects_for
from exhibit_core.register.forms import NarrowForm
from exhibit_core.register.models import MuseumObject, Picture
from exhibit_core.register.sizes import BestSize, best_size
from exhibit_core.web import units
from exhibit_core.web.render import page
from exhibit_core.web.scale import Scale, scale_for

PER_PAGE = 50
COLUMNS = (
    ("number", "Object number", False),
    ("title", "Title", False),
    ("type", "Type", False),
    ("maker", "Maker", False),
    ("date", "Date", False),
    ("lender", "Lender", False),
    ("light", "Light limit (lx)", True),
)


@dataclass(frozen=True)
class Row:
    """An object as the table shows it, its picture drawn to the scale of the page."""

    obj: MuseumObject
    size: BestSize | None
    picture: Picture | None
    scale: Scale | None
    unit: str

    @property
    def width_px(self) -> float:
        return self.scale.px(self.size.width_mm)

    @property
    def height_px(self) -> float:
        return self.scale.px(self.size.height_mm)

    @property
    def size_words(self) -> str:
        return units.lengths(
            (self.size.height_mm, self.size.width_mm, self.size.depth_mm), self.unit
        )


@dataclass(frozen=True)
class Heading:
    """A column's head: `state` is its aria-sort, `url` the list sorted by it."""

    label: str
    url: str
    state: str
    numeric: bool


def index(request: HttpRequest) -> HttpResponse:
    everything = objects_for(request.user)
    form = NarrowForm(request.GET)
    status = 200 if form.is_valid() else 422
    found = queries.ordered(queries.narrowed(form.asked()), form.cleaned_data["sort"])
    pages = Paginator(found.values_list("pk", flat=True), PER_PAGE)
    shown = pages.get_page(request.GET.get("page"))
    total = everything.count()
    rows, scale = _rows(queries.objects_shown(list(shown)), request.user.unit)
    context: dict[str, Any] = {
        "narrow": form,
        "narrowing": any(vars(form.asked()).values()),
        "sort": form.cleaned_data["sort"],
        "headings": [_heading(request, *column, form.cleaned_data["sort"]) for column in COLUMNS],
        "rows": rows,
        "scale": scale,
        "page_obj": shown,
        "total": total,
        "query": _query(request, "page"),
        "may_import": can(request.user, Right.IMPORT),
    }
    return page(request, "register/index.html", context, partial="found", status=status)


def _rows(objects: list[MuseumObject], unit: str) -> tuple[list[Row], Scale | None]:
    sizes = {obj.pk: best_size(obj.measurements.all()) for obj in objects}
    scale = scale_for((size.width_mm, size.height_mm) for size in sizes.values() if size)
    return [
        Row(obj, sizes[obj.pk], next(iter(obj.pictures.all()), None), scale, unit)
        for obj in objects
    ], scale


def _heading(request: HttpRequest, key: str, label: str, numeric: bool, sort: str) -> Heading:
    state = ""
    if key == sort.removeprefix("-"):
        state = "descending" if sort.startswith("-") else "ascending"
    params = request.GET.copy()
    params.pop("page", None)
    params["sort"] = f"-{key}" if state == "ascending" else key
    return Heading(label, f"?{params.urlencode()}", state, numeric)


def _query(request: HttpRequest, *left_out: str) -> str:
    params = request.GET.copy()
    for name in left_out:
        params.pop(name, None)
    return params.urlencode()
