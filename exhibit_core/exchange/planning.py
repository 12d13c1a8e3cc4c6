"""Plan what a list does: preview and apply both read a list through here."""

from collections.abc import Iterable, Iterator
from itertools import islice

from exhibit_core.accounts.models import User
from exhibit_core.exchange import queries
from exhibit_core.exchange.comparing import Known, compare
from exhibit_core.exchange.fields import FIELDS
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.plans import RowPlan
from exhibit_core.exchange.reading.cells import Row, text_of
from exhibit_core.exchange.row_reading import ReadRow, RowReader
from exhibit_core.register.numbers import natural_key

AT_ONCE = 500


class Planner:
    """Plan rows of a list against the register as it was when the planner was made."""

    def __init__(self, object_list: ObjectList, *, by: User) -> None:
        self._list = object_list
        self._lenders = queries.lender_names()
        self._sections = queries.sections_by_key(object_list.exhibition)
        self._last_key = queries.last_object_key()
        self._reader = RowReader(
            object_list, by=by, lenders=self._lenders, sections=self._sections.values()
        )
        self._addresses: dict[str, str] = {}

    def plans(self, rows: Iterable[Row]) -> Iterator[RowPlan]:
        """Yield a plan for each row, with the same number of queries for each chunk of rows."""
        rows = iter(rows)
        while chunk := list(islice(rows, AT_ONCE)):
            found = [read for row in chunk if (read := self._reader.read(row))]
            known = self._known(found)
            for read in found:
                yield self._plan(read, known)

    def _known(self, found: list[ReadRow]) -> Known:
        columns = self._reader.columns
        numbers = {read.plan.number for read in found if read.plan.number}
        names = {name for name, column in columns.items() if column.field.target == "object"}
        names |= {"title", "year_from", "year_to", "value", "currency"}
        objects = queries.objects_by_number(numbers, sorted(names - {"number"}))
        keys = {row["pk"] for row in objects.values()}
        new = {number: natural_key(number) for number in numbers if number not in objects}
        alike = queries.numbers_by_key(set(new.values()), up_to=self._last_key)
        measured = any(column.field.target == "size" for column in columns.values())
        exhibition = self._list.exhibition
        return Known(
            objects=objects,
            sizes=queries.sizes_by_object(keys) if measured else {},
            entries=queries.entries_by_object(exhibition, keys) if exhibition else {},
            alike={number: alike[key] for number, key in new.items() if key in alike},
            lenders=self._lenders,
            sections=self._sections,
        )

    def _plan(self, read: ReadRow, known: Known) -> RowPlan:
        plan = read.plan
        if not plan.number and not any(r.field == "number" for r in plan.refusals):
            read.refuse("number", f"{FIELDS['number'].expects}; the cell is empty")
        elif before := self._addresses.get(plan.number):
            read.refuse("number", f"each number once; {before} holds the same")
        elif plan.number:
            self._addresses[plan.number] = read.address("number")
        compare(read, known, self._list)
        if plan.refusals:
            plan.outcome = "refused"
            plan.changes, plan.values, plan.sizes, plan.entry = [], {}, [], None
            plan.cells = [text_of(cell) for cell in read.row.cells]
        return plan
