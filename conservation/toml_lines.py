"""Find the line on which a section or a field of a TOML text stands; TOML readers do not tell."""

from __future__ import annotations

import re

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(#.*)?$")
_FIELD = re.compile(r"^\s*\"?([\w.-]+)\"?\s*=")


class Lines:
    """The lines of one TOML text; every answer is a line number from 1, or 0 where unknown."""

    def __init__(self, text: str) -> None:
        self._headers: list[tuple[int, str]] = []
        self._fields: list[tuple[int, str]] = []
        inside = ""
        for number, line in enumerate(text.splitlines(), 1):
            if inside:
                inside = "" if line.count(inside) % 2 else inside
                continue
            if header := _HEADER.match(line):
                self._headers.append((number, header[2].replace(" ", "").replace('"', "")))
            elif name := _FIELD.match(line):
                self._fields.append((number, name[1]))
            inside = next((mark for mark in ('"""', "'''") if line.count(mark) % 2), "")

    def of(self, name: str) -> int:
        """Return the line of the first field or section of this name."""
        return next((n for n, key in self._fields if key == name), self.header(name))

    def header(self, name: str) -> int:
        """Return the line of the section of this name."""
        return next((n for n, key in self._headers if key == name), 0)

    def row(self, number: int) -> int:
        """Return the line of the header of the row of this number, counted from 0."""
        rows = [n for n, key in self._headers if key == "rows"]
        return rows[number] if number < len(rows) else self.of("rows")

    def within(self, line: int, name: str) -> int:
        """Return the line of a field in the section that begins at a line, or that line."""
        end = next((n for n, _ in self._headers if n > line), 10**9)
        return next((n for n, key in self._fields if line < n < end and key == name), line)
