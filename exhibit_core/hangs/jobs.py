"""Long work on hangs, done by a worker."""

from typing import Any

from django.urls import reverse

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.hangs.computing import compute
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.jobs.handlers import Progress, handles
from exhibit_core.web.errors import RefusedError

STATUS_WORDS = {
    "optimal": "Hung, and proved to be as even as it can be.",
    "feasible": "Hung; whether it could be more even is not proved.",
    "infeasible": "No hang keeps every demand: see why.",
    "not_found": "No hang was found in the time given, and none is excluded.",
    "invalid": "The demands contradict themselves: see why.",
}
STOPPED = "Stopped on request; the best hang found until then is kept."


@handles("hangs.solve")
def solve_hang(*, payload: dict[str, Any], by: User, progress: Progress) -> dict[str, Any]:
    hang = Hang.objects.select_related("exhibition").filter(pk=payload["hang"]).first()
    if hang is None:
        raise RefusedError("The hang is gone.")
    if not can(by, Right.HANG):
        raise RefusedError(f"Your role does not let you {Right.HANG.label}.")
    version = compute(hang=hang, by=by, keep=payload.get("keep", False), progress=progress)
    words = STOPPED if version.captions.get("stopped") else STATUS_WORDS[version.status]
    return {"url": reverse("hangs:version", args=[version.pk]), "words": words}


@handles("hangs.sheets")
def write_sheets(*, payload: dict[str, Any], by: User, progress: Progress) -> dict[str, Any]:
    """Write every sheet of a version where it can be fetched."""
    from exhibit_core.hangs import sheets

    version = HangVersion.objects.select_related("hang__exhibition__venue").filter(
        pk=payload["version"]
    )
    if (row := version.first()) is None:
        raise RefusedError("The version is gone.")
    paths = sheets.write_sheets(row, sheets.folder_of(row), progress=progress)
    return {
        "url": reverse("hangs:version", args=[row.pk]) + "#sheets",
        "words": f"Wrote {len(paths)} sheets.",
    }
