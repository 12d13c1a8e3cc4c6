"""What leaves the program as paper and files: hanging schedule and elevations of a version."""

from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.utils.text import slugify

from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.sheets.elevation import elevation_pdf, elevation_svg
from exhibit_core.hangs.sheets.schedule import schedule_pdf
from exhibit_core.hangs.sheets.workbook import schedule_xlsx
from exhibit_core.jobs.handlers import Progress

__all__ = [
    "MAKERS",
    "are_quick",
    "elevation_pdf",
    "elevation_svg",
    "file_name",
    "folder_of",
    "schedule_pdf",
    "schedule_xlsx",
    "write_sheets",
    "written",
]

# Measured: 60 pieces take about 1.0 s for the schedule and 1.4 s for the elevation.
QUICK_PIECES = 80
MAKERS: dict[str, Callable[[HangVersion], bytes]] = {
    "hanging-schedule.pdf": schedule_pdf,
    "hanging-schedule.xlsx": schedule_xlsx,
    "elevation.pdf": elevation_pdf,
}


def file_name(version: HangVersion, what: str) -> str:
    """Return a name that tells hang, version and content, as in `long-gallery-v3-schedule.pdf`."""
    return f"{slugify(version.hang.title) or 'hang'}-v{version.number}-{what}"


def folder_of(version: HangVersion) -> Path:
    """Return where a version's sheets are kept: a proposal's apart from an accepted one's."""
    accepted = version.accepted_at
    state = f"accepted-{accepted:%Y%m%d-%H%M%S}" if accepted else "proposal"
    return settings.SHEETS_ROOT / f"hang-{version.hang_id}" / f"v{version.number}-{state}"


def written(version: HangVersion) -> bool:
    """True when every sheet of the version, as it stands now, has been written."""
    folder = folder_of(version)
    return all((folder / file_name(version, what)).is_file() for what in MAKERS)


def are_quick(version: HangVersion) -> bool:
    """True when no one needs to be shown progress while the sheets are made."""
    return len(version.solution["placements"]) <= QUICK_PIECES


def write_sheets(
    version: HangVersion, folder: Path, *, progress: Progress | None = None
) -> list[Path]:
    """Write schedule (PDF and XLSX) and elevation (PDF) into a folder and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for done, (what, make) in enumerate(MAKERS.items()):
        if progress:
            progress(100 * done // len(MAKERS), f"Writing {what}")
        path = folder / file_name(version, what)
        path.write_bytes(make(version))
        paths.append(path)
    return paths
