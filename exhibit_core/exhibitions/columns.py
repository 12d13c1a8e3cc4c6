"""The columns of an exhibition's list: which there are, and what stands in each cell."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.register.models import Picture
from exhibit_core.register.sizes import BestSize, best_size
from exhibit_core.web import units
from exhibit_core.web.scale import Scale, scale_for


@dataclass(frozen=True)
class Cell:
    """Words in a cell; `missing` says instead why there are none, `basis` where they come from."""

    words: str = ""
    missing: str = ""
    basis: str = ""


@dataclass(frozen=True)
class Column:
    name: str
    label: str
    fill: Callable[["Row", str], Cell] | None = None
    sort: str = ""
    numeric: bool = False
    right: Right = Right.SEE

    def heading(self, unit: str) -> str:
        return f"{self.label} ({unit})" if self.name == "size" else self.label


@dataclass
class Row:
    """A list entry as the table shows it."""

    entry: ListEntry
    size: BestSize | None
    picture: Picture | None
    scale: Scale | None = None
    cells: Sequence[tuple[Column, Cell]] = ()

    @property
    def width_px(self) -> float:
        return self.scale.px(self.size.width_mm)

    @property
    def height_px(self) -> float:
        return self.scale.px(self.size.height_mm)


def _text(name: str, missing: str) -> Callable[[Row, str], Cell]:
    def fill(row: Row, unit: str) -> Cell:
        return Cell(words=getattr(row.entry.object, name), missing=missing)

    return fill


def _lender(row: Row, unit: str) -> Cell:
    return Cell(words=str(row.entry.object.lender or ""), missing="own collection")


def _size(row: Row, unit: str) -> Cell:
    if row.size is None:
        return Cell(missing="no size known")
    sides_mm = (row.size.height_mm, row.size.width_mm, row.size.depth_mm)
    return Cell(words=units.lengths(sides_mm, unit), basis=row.size.source)


def _weight(row: Row, unit: str) -> Cell:
    if row.size is None or row.size.mass_g is None:
        return Cell(missing="not weighed")
    return Cell(words=units.kilograms(row.size.mass_g), basis=row.size.mass_basis)


def _light(row: Row, unit: str) -> Cell:
    limit = row.entry.object.max_lux
    return Cell(words="" if limit is None else str(limit), missing="no limit set")


def _section(row: Row, unit: str) -> Cell:
    return Cell(words=str(row.entry.section or ""), missing="no section")


def _order(row: Row, unit: str) -> Cell:
    return Cell(words=str(row.entry.position or ""), missing="no order")


def _hazards(row: Row, unit: str) -> Cell:
    obj = row.entry.object
    return Cell(words=", ".join(obj.hazard_words), missing="none recorded", basis=obj.hazard_note)


def _value(row: Row, unit: str) -> Cell:
    obj = row.entry.object
    if obj.value is None:
        return Cell(missing="not valued")
    return Cell(words=f"{obj.value.normalize():,f} {obj.currency}")


def _stage(row: Row, unit: str) -> Cell:
    return Cell(words=row.entry.get_stage_display(), basis=row.entry.reason)


def _shown_on(row: Row, unit: str) -> Cell:
    return Cell(words=row.entry.get_shown_on_display())


def _note(row: Row, unit: str) -> Cell:
    return Cell(words=row.entry.note, missing="no note")


COLUMNS = {
    column.name: column
    for column in (
        Column("picture", "Picture"),
        Column("number", "Object number", _text("number", ""), sort="number"),
        Column("title", "Title", _text("title", ""), sort="title"),
        Column("object_type", "Type", _text("object_type", "no type"), sort="type"),
        Column("maker", "Maker", _text("maker", "no maker known"), sort="maker"),
        Column("date_text", "Date", _text("date_text", "undated"), sort="date"),
        Column("size", "Size, h × w × d", _size, numeric=True),
        Column("weight", "Weight (kg)", _weight, numeric=True),
        Column("light", "Light limit (lx)", _light, sort="light", numeric=True),
        Column("stage", "Stage", _stage, sort="stage"),
        Column("section", "Section", _section, sort="story"),
        Column("order", "Order", _order, numeric=True),
        Column("shown_on", "Shown on", _shown_on, sort="shown_on"),
        Column("hazards", "Hazards", _hazards),
        Column("lender", "Lender", _lender, sort="lender"),
        Column("place", "Place", _text("place", "no place known")),
        Column("materials", "Materials", _text("materials", "not recorded")),
        Column("technique", "Technique", _text("technique", "not recorded")),
        Column("restricted", "Restricted materials", _text("restricted_materials", "none")),
        Column("credit", "Credit line", _text("credit_line", "no credit line")),
        Column("note", "Note", _note),
        Column("value", "Insurance value", _value, numeric=True, right=Right.SEE_MONEY),
    )
}
FIRST_CHOICE = [
    *("picture", "number", "title", "object_type", "date_text", "size", "weight", "light"),
    *("stage", "section", "order", "shown_on", "hazards"),
]
TO_CHOOSE_FROM = frozenset(
    {"picture", "number", "title", "object_type", "maker", "date_text", "size", "light", "lender"}
)


def offered(user: User) -> list[Column]:
    return [column for column in COLUMNS.values() if can(user, column.right)]


def in_order(user: User, names: Sequence[str]) -> list[Column]:
    """Return the columns of these names that the person may see; the number always stands."""
    allowed = {column.name: column for column in offered(user)}
    chosen = [allowed[name] for name in names if name in allowed] or [
        allowed[name] for name in FIRST_CHOICE
    ]
    if COLUMNS["number"] not in chosen:
        chosen.insert(0, COLUMNS["number"])
    return chosen


def table_rows(
    entries: Sequence[ListEntry], columns: Sequence[Column], unit: str
) -> tuple[list[Row], Scale | None]:
    """Return entries as rows, all drawn to the scale that fits the largest of them."""
    rows = [
        Row(
            entry,
            best_size(entry.object.measurements.all()),
            next(iter(entry.object.pictures.all()), None),
        )
        for entry in entries
    ]
    scale = scale_for((row.size.width_mm, row.size.height_mm) for row in rows if row.size)
    for row in rows:
        row.scale = scale
        row.cells = [(c, c.fill(row, unit) if c.fill else Cell()) for c in columns]
    return rows, scale
