"""Make object lists for tests: sound, dirty and hostile ones."""

import io
import re
import zipfile
from collections.abc import Iterable
from typing import Any

from openpyxl import Workbook

from exhibit_core.exchange.reading.look import Look, look_into

SHEET = "xl/worksheets/sheet1.xml"
STRINGS = "xl/sharedStrings.xml"
TYPES = "[Content_Types].xml"
RELATIONS = "xl/_rels/workbook.xml.rels"
SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_KINDS = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def xlsx(*rows: Iterable[Any], sheets: dict[str, Iterable[Iterable[Any]]] | None = None) -> bytes:
    """Return a workbook with these rows on its sheet, or with several sheets by name."""
    book = Workbook()
    book.remove(book.active)
    for name, lines in (sheets or {"Objects": rows}).items():
        sheet = book.create_sheet(name)
        for line in lines:
            sheet.append(list(line))
    return saved(book)


def saved(book: Workbook) -> bytes:
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def with_parts(data: bytes, **parts: bytes) -> bytes:
    """Return a package with parts put in place of others, or added; / is written __ in names."""
    parts = {name.replace("__", "/"): content for name, content in parts.items()}
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, content in parts.items():
            new.writestr(name, content)
    return out.getvalue()


def with_shared_texts(data: bytes) -> bytes:
    """Return the workbook with its texts in a table of shared strings, as most programs write."""
    items: dict[str, int] = {}

    def share(match: re.Match[str]) -> str:
        return f'{match[1]}t="s"><v>{items.setdefault(match[2], len(items))}</v></c>'

    sheet = re.sub(
        r'(<c [^>]*)t="inlineStr"><is>(.*?)</is></c>', share, part(data, SHEET).decode(), flags=re.S
    )
    texts = "".join(f"<si>{item}</si>" for item in items)
    relation = (
        f'<Relationship Id="texts" Target="sharedStrings.xml" Type="{_OFFICE}/sharedStrings"/>'
    )
    relations = part(data, RELATIONS).decode().replace("</Rel", f"{relation}</Rel")
    kind = f'<Override PartName="/{STRINGS}" ContentType="{_KINDS}.sharedStrings+xml"/>'
    kinds = part(data, TYPES).decode().replace("</Types", f"{kind}</Types")
    return with_parts(
        data,
        **{
            SHEET: sheet.encode(),
            TYPES: kinds.encode(),
            STRINGS: f'<sst xmlns="{SPACE}">{texts}</sst>'.encode(),
            RELATIONS: relations.encode(),
        },
    )


def part(data: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read(name)


def look(data: bytes, **details: Any) -> Look:
    details.setdefault("is_known", lambda heading: heading in {"Number", "Title"})
    return look_into(io.BytesIO(data), size=len(data), **details)
