"""Read a photometric file of either format."""

from __future__ import annotations

from pathlib import Path

from conservation.photometry.eulumdat import parse_eulumdat
from conservation.photometry.files import read_text
from conservation.photometry.lm63 import parse_lm63
from conservation.photometry.model import Photometry


def read_photometry(path: str | Path) -> Photometry:
    """Return the photometry of an LM-63 or EULUMDAT file; intensities in cd, sizes in mm.

    A file is EULUMDAT if its name ends so (.ldt), or if no line begins with TILT= and its name does
    not end with .ies. Raises PhotometricFileError; range as read_lm63. Source: ANSI/IES LM-63;
    EULUMDAT.

    >>> read_photometry("fixtures/reference/photometry/spot.ies").form
    'LM-63-2002'
    >>> read_photometry("fixtures/reference/photometry/quadrant.ldt").form
    'EULUMDAT'
    """
    text, name = read_text(path), str(path)
    suffix = Path(path).suffix.lower()
    tilted = any(line.strip().upper().startswith("TILT=") for line in text.splitlines())
    if suffix == ".ldt" or (suffix != ".ies" and not tilted):
        return parse_eulumdat(text, name)
    return parse_lm63(text, name)
