"""The hanging schedule on paper."""

from functools import partial

from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.schedule import wall_sheets
from exhibit_core.hangs.sheets.paper import SMALL, pdf_of, picture_address


def schedule_pdf(version: HangVersion) -> bytes:
    """Return the hanging schedule, one table a wall, for someone on a ladder."""
    walls = wall_sheets(version, picture=partial(picture_address, SMALL))
    return pdf_of("hangs/sheets/schedule.html", version, {"walls": walls})
