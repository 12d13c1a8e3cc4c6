"""The hanging schedule as a spreadsheet, ready to print."""

from io import BytesIO

from django.utils import timezone
from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.drawing.image import Image
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.schedule import Line, WallSheet, wall_sheets
from exhibit_core.register.models import Picture

CAUTION = (
    "Fixings and loads over people's heads are decided by local codes and by people licensed to do "
    "so; this sheet certifies nothing."
)
COLUMNS = (
    ("Done", 6),
    ("No.", 5),
    ("Row", 5),
    ("Picture", 11),
    ("Object number", 16),
    ("Title", 34),
    ("Size, h × w × d (mm)", 17),
    ("Weight (kg)", 9),
    ("Left edge (mm)", 10),
    ("Hooks at (mm)", 14),
    ("Hook height (mm)", 10),
    ("Gap after (mm)", 9),
    ("Hands", 8),
    ("Hazard", 22),
)
HEADER_ROW = 4
PICTURE_COLUMN = get_column_letter([title for title, _ in COLUMNS].index("Picture") + 1)
PICTURE_PX = 62
ROW_POINTS = 50
_LINE = Border(bottom=Side(style="thin", color="CFC9BD"))
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def schedule_xlsx(version: HangVersion) -> bytes:
    """Return the hanging schedule, one worksheet a wall, with print set-up and pictures."""
    book = Workbook()
    book.remove(book.active)
    walls = wall_sheets(version)
    wanted = {line.picture for wall in walls for line in wall.lines if line.picture}
    pictures = Picture.objects.in_bulk(wanted)
    for wall in walls:
        _worksheet(book.create_sheet(_sheet_title(wall)), version, wall, pictures)
    output = BytesIO()
    book.save(output)
    return output.getvalue()


def _sheet_title(wall: WallSheet) -> str:
    """Return a name that a spreadsheet accepts: at most 31 characters, none of []:*?/\\."""
    plain = "".join(" " if char in "[]:*?/\\'" else char for char in wall.name)
    return f"{wall.number} {' '.join(plain.split())}"[:31]


def _worksheet(
    sheet: Worksheet, version: HangVersion, wall: WallSheet, pictures: dict[int, Picture]
) -> None:
    _write(sheet.cell(1, 1), f"Hanging schedule: {wall.name}", Font(bold=True, size=14))
    accepted = "accepted" if version.accepted_at else "proposal, not accepted"
    _write(
        sheet.cell(2, 1),
        f"{version.hang.exhibition}: {version.hang}, version {version.number} ({accepted}). "
        f"{wall.elevation.wall.length_mm} mm of wall, measured from its left end as one faces it; "
        "heights from the floor; lengths in mm.",
    )
    _write(sheet.cell(3, 1), CAUTION, Font(italic=True))
    for column, (title, width) in enumerate(COLUMNS, 1):
        cell = sheet.cell(HEADER_ROW, column)
        _write(cell, title, Font(bold=True))
        cell.fill = PatternFill("solid", fgColor="F7F5F0")
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[cell.column_letter].width = width
    for row, line in enumerate(wall.lines, HEADER_ROW + 1):
        _line(sheet, row, line, pictures.get(line.picture or 0))
    _set_up_print(sheet, version, wall)


def _line(sheet: Worksheet, row: int, line: Line, picture: Picture | None) -> None:
    hung = line.hung
    values = (
        "☐",
        hung.order,
        line.row,
        None,
        line.number,
        "Place kept: do not drill" if line.kept else line.title,
        line.size,
        _weight(line),
        hung.x_mm,
        *_hooks(line),
        hung.after_mm,
        _hands(line),
        line.hazard,
    )
    for column, value in enumerate(values, 1):
        cell = sheet.cell(row, column)
        strong = COLUMNS[column - 1][0] in {"No.", "Hook height (mm)", "Object number"}
        _write(cell, value, Font(bold=True) if strong else None)
        cell.alignment = Alignment(wrap_text=True, vertical="center")
        cell.border = _LINE
    sheet.row_dimensions[row].height = ROW_POINTS
    if picture is not None:
        with picture.small.open("rb") as file:
            image = Image(BytesIO(file.read()))
        ratio = PICTURE_PX / max(image.width, image.height)
        image.width, image.height = round(image.width * ratio), round(image.height * ratio)
        sheet.add_image(image, f"{PICTURE_COLUMN}{row}")


def _weight(line: Line) -> object:
    if line.kept:
        return "still to come"
    return float(line.weight) if line.weight else "not known"


def _hands(line: Line) -> str | None:
    if line.kept:
        return None
    return "two people" if line.people == 2 else "one person"


def _hooks(line: Line) -> tuple[object, object]:
    """Return where hooks go and how high; a place kept has none yet."""
    if line.kept:
        return "none yet", "none yet"
    hooks = line.hung.hooks_mm
    return line.hooks if len(hooks) > 1 else hooks[0], line.hung.hook_mm


def _write(cell: Cell, value: object, font: Font | None = None) -> None:
    """Write a value; text never becomes a formula, also after copying it elsewhere."""
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"
        cell.quotePrefix = value.startswith(_FORMULA_STARTS)
    if font:
        cell.font = font


def _set_up_print(sheet: Worksheet, version: HangVersion, wall: WallSheet) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_title_rows = f"{HEADER_ROW}:{HEADER_ROW}"
    sheet.freeze_panes = sheet.cell(HEADER_ROW + 1, 1)
    # An ampersand begins a code in a spreadsheet's header and footer.
    name = f"{version.hang}, version {version.number}, {wall.name}".replace("&", "&&")
    sheet.oddFooter.left.text = name
    sheet.oddFooter.center.text = "Page &P of &N"
    sheet.oddFooter.right.text = f"Printed {timezone.localtime():%d %b %Y}"
