"""An XLSX workbook, read sheet by sheet and row by row."""

from collections.abc import Iterator
from functools import cached_property
from typing import BinaryIO

from exhibit_core.exchange.reading import sheet_xml
from exhibit_core.exchange.reading.cells import Row
from exhibit_core.exchange.reading.content import damage_in_words
from exhibit_core.exchange.reading.package import Sheet, opened, read_package
from exhibit_core.exchange.reading.sheet_xml import Scan


class Workbook:
    """Raises RefusedError with a sentence whenever the file is broken or hostile."""

    kind = "xlsx"

    def __init__(self, file: BinaryIO) -> None:
        with damage_in_words():
            self._archive = opened(file)
            self._package = read_package(self._archive)
        self.notes: list[str] = []

    @property
    def sheets(self) -> list[Sheet]:
        return self._package.sheets

    def scan(self, sheet: Sheet) -> Scan:
        with damage_in_words():
            return sheet_xml.scan(self._archive, sheet.part)

    def rows(self, sheet: Sheet) -> Iterator[Row]:
        with damage_in_words():
            yield from sheet_xml.rows(self._archive, sheet.part, self._package, self._strings)

    @cached_property
    def _strings(self) -> list[str]:
        return sheet_xml.shared_strings(self._archive, self._package.strings_part)
