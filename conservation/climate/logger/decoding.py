"""Bytes to text: byte-order marks, UTF-8, UTF-16 and the Western code page; limits of size."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from conservation.climate.logger.asking import Assumption, FileRefusedError

LARGEST_BYTES = 100_000_000
MOST_LINES = 2_000_000
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
_NOT_TEXT = (
    (b"PK\x03\x04", "a spreadsheet or another zipped file: save it as CSV first"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet: save it as CSV first"),
    (b"%PDF", "a PDF: export the readings as CSV"),
    (b"\x1f\x8b", "compressed: unpack it first"),
)
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1b]")


def load(source: bytes | str | Path) -> bytes:
    """Return the bytes of a file or of bytes given; raises FileRefusedError where too large.

    Range: 100 000 000 bytes. Source: none, definition.

    >>> load(b"Date;Temp")
    b'Date;Temp'
    """
    if isinstance(source, bytes):
        raw = source
    else:
        path = Path(source)
        try:
            if not path.is_file():
                raise FileRefusedError("There is no such file, or it is not an ordinary file.")
            with path.open("rb") as stream:
                raw = stream.read(LARGEST_BYTES + 1)
        except (OSError, ValueError) as error:
            why = getattr(error, "strerror", None) or str(error)
            raise FileRefusedError(f"The file cannot be opened ({why}).") from error
    if len(raw) > LARGEST_BYTES:
        raise FileRefusedError(f"The file is larger than {LARGEST_BYTES:,} bytes; split it.")
    return raw


def decode(raw: bytes, encoding: str | None) -> tuple[str, list[Assumption]]:
    """Return the text of a file with plain line ends, and what was assumed about its encoding.

    Raises FileRefusedError for what is no text or has more than 2 000 000 lines. Source: Unicode
    byte-order marks; the rest common practice, no source.

    >>> decode("Temp °C".encode("cp1252"), None)[0]
    'Temp °C'
    """
    if not raw.strip():
        raise FileRefusedError("The file is empty.")
    text, assumed = _text(raw, encoding)
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if len(_CONTROL.findall(text[:200_000])) > 2:
        raise FileRefusedError("The file holds bytes that no text has: it is no export as text.")
    lines = text.count("\n") + 1
    if lines > MOST_LINES + 1:
        raise FileRefusedError(f"The file has {lines:,} lines; at most {MOST_LINES:,} are read.")
    return text, assumed


def _text(raw: bytes, encoding: str | None) -> tuple[str, list[Assumption]]:
    if encoding is not None:
        return _decoded(raw, encoding, encoding), []
    for start, what in _NOT_TEXT:
        if raw.startswith(start):
            raise FileRefusedError(f"The file is {what}.")
    for mark, name, words in _MARKS:
        if raw.startswith(mark):
            return _decoded(raw, name, words), [_told(f"{words}, by its byte-order mark.")]
    if raw[:4000].count(0):
        return _without_mark(raw)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        if "unexpected end" in error.reason and error.end >= len(raw) - 4:
            return raw[: error.start].decode("utf-8"), [_told("UTF-8, cut off in its last letter.")]
        text = _decoded(raw, "cp1252", "UTF-8 or Windows-1252")
        return text, [_told("Windows-1252, because it is not valid UTF-8.")]
    return text, [] if raw.isascii() else [_told("UTF-8, because all of it is valid.")]


def _without_mark(raw: bytes) -> tuple[str, list[Assumption]]:
    sample = raw[:4000]
    even, odd = sample[0::2].count(0), sample[1::2].count(0)
    for here, other, name in ((odd, even, "utf-16-le"), (even, odd, "utf-16-be")):
        if other == 0 and here > 0.3 * len(sample) / 2:
            return _decoded(raw, name, "UTF-16"), [_told("UTF-16 without a byte-order mark.")]
    raise FileRefusedError("The file holds bytes that no text has: it is no export as text.")


def _decoded(raw: bytes, name: str, words: str) -> str:
    try:
        text = raw.decode(name)
    except UnicodeDecodeError as error:
        # A file cut off in the middle of a character is whole up to there.
        if error.end >= len(raw) - 4 and error.start > 0 and "truncated" in error.reason:
            return _decoded(raw[: error.start], name, words)
        raise FileRefusedError(f"The file cannot be read as {words}.") from error
    except (LookupError, ValueError) as error:
        raise FileRefusedError(f"There is no encoding {name!r} of text.") from error
    return text.removeprefix("\ufeff")


def _told(words: str) -> Assumption:
    return Assumption("encoding", f"The text is taken to be {words}")
