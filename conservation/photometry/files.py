"""Open photometric files within bounds; name file, line and cure of every fault.

A file is taken up to 10 MB; it must be an ordinary file, so that no pipe or device is waited for.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass, field
from pathlib import Path

from conservation.ranges import ConservationError

LARGEST_BYTES = 10_000_000
MOST_ANGLES = 3_700
MOST_VALUES = 1_000_000


class PhotometricFileError(ConservationError):
    """A photometric file cannot be used; the text names file, line, fault and cure."""

    def __init__(self, file: str, line: int | None, what: str, cure: str) -> None:
        self.file, self.line, self.what, self.cure = file, line, what, cure
        where = file if line is None else f"{file}, line {line}"
        super().__init__(f"{where}: {what}; {cure}.")


def read_text(path: str | Path) -> str:
    """Return the text of a photometric file of at most 10 MB, in UTF-8 or else Latin-1.

    Raises PhotometricFileError where it cannot be opened, is too large or is not text. Source: both
    formats are plain text (ANSI/IES LM-63; EULUMDAT).

    >>> read_text("no such file.ies")
    Traceback (most recent call last):
        ...
    conservation.photometry.files.PhotometricFileError: no such file.ies: there is no such file; \
give the path of a photometric file.
    """
    name = str(path)
    try:
        if not Path(path).is_file():
            found = Path(path).exists()
            what = "this is no ordinary file" if found else "there is no such file"
            raise PhotometricFileError(name, None, what, "give the path of a photometric file")
        with Path(path).open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, PhotometricFileError):
            raise
        why = getattr(error, "strerror", None) or str(error)
        raise PhotometricFileError(
            name, None, f"it cannot be opened ({why})", "check path and rights"
        ) from error
    return decode(raw, name)


def decode(raw: bytes, name: str) -> str:
    """Return bytes as text; raises PhotometricFileError for what is too large or is not text.

    Source: both formats are plain text; a byte 0 or a stray control character is none.

    >>> decode(b"TILT=NONE", "a.ies")
    'TILT=NONE\\n'
    """
    if len(raw) > LARGEST_BYTES:
        what = f"the file is larger than {LARGEST_BYTES:,} bytes"
        raise PhotometricFileError(name, None, what, "ask its maker for a coarser table")
    if not raw.strip(b"\x1a \r\n\t\f"):
        raise PhotometricFileError(name, None, "the file is empty", "ask its maker for it again")
    raw = raw.rstrip(b"\x1a \r\n\t") + b"\n"
    stray = next((n for n, byte in enumerate(raw) if byte < 32 and byte not in b"\t\n\r\f"), None)
    if stray is not None:
        line = raw[:stray].count(b"\n") + 1
        cure = "save it as plain text or ask its maker for it again"
        raise PhotometricFileError(name, line, "these are bytes of no text", cure)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


@dataclass
class Numbers:
    """The numbers of a file from some line on, taken in order; knows on which line each stands."""

    name: str
    values: list[float] = field(default_factory=list)
    _lines: list[int] = field(default_factory=list)
    _starts: list[int] = field(default_factory=list)
    at: int = 0

    @classmethod
    def of(cls, name: str, lines: list[str], first: int, *, decimal_comma: bool = False) -> Numbers:
        """Read all numbers of the lines from index `first`; raises PhotometricFileError."""
        numbers = cls(name)
        for at in range(first, len(lines)):
            words = lines[at].replace(",", "." if decimal_comma else " ").split()
            if words:
                numbers._lines.append(at + 1)
                numbers._starts.append(len(numbers.values))
                numbers.values.extend(number(word, name, at + 1) for word in words)
            if len(numbers.values) > 2 * MOST_VALUES:
                what = f"it holds more than {2 * MOST_VALUES:,} numbers"
                raise PhotometricFileError(name, at + 1, what, "ask its maker for a coarser table")
        return numbers

    @property
    def left(self) -> int:
        """How many numbers have not been taken."""
        return len(self.values) - self.at

    def line_of(self, index: int) -> int | None:
        """Return the line on which a number stands, or the last line with numbers."""
        if not self._lines:
            return None
        return self._lines[max(0, bisect_right(self._starts, index) - 1)]

    def take(self, count: int, what: str) -> list[float]:
        """Return the next numbers; raises PhotometricFileError where the file ends before."""
        if self.left < count:
            line = self.line_of(len(self.values))
            raise PhotometricFileError(
                self.name,
                line,
                f"the file ends after {self.left} of {count} {what}",
                "ask its maker for the whole file, or correct the counts",
            )
        found = self.values[self.at : self.at + count]
        self.at += count
        return found

    def whole(self, what: str, least: int, most: int) -> int:
        """Return the next number, which must be whole and within bounds."""
        value = self.take(1, what)[0]
        if value != int(value) or not least <= value <= most:
            raise self.wrong(
                f"{what} is {value:g}", f"give a whole number from {least} to {most:,}"
            )
        return int(value)

    def wrong(self, what: str, cure: str, index: int | None = None) -> PhotometricFileError:
        """Return the error for a number, by default for the last one taken."""
        line = self.line_of(self.at - 1 if index is None else index)
        return PhotometricFileError(self.name, line, what, cure)


def number(word: str, name: str, line: int) -> float:
    """Return a word of a file as a finite number; raises PhotometricFileError.

    Source: the formats know decimal numbers only.

    >>> number("1.5e3", "a.ies", 12)
    1500.0
    """
    try:
        value = float(word) if word.isascii() and "_" not in word else math.nan
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or abs(value) > 1e12:
        what = f"{word[:30]!r} stands where a number is needed"
        raise PhotometricFileError(
            name, line, what, "correct it or ask the maker for the file again"
        )
    return value
