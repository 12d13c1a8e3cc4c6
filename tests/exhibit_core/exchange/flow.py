"""Bring lists in the way a person does, without the pages."""

from typing import Any

from django.core.files.base import ContentFile

from exhibit_core.exchange import actions
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.pages import guesses
from exhibit_core.exchange.plans import RowPlan, from_line
from exhibit_core.exhibitions.models import Exhibition


def send(data: bytes, *, by, exhibition: Exhibition | None = None, name="list.csv") -> ObjectList:
    return actions.take_in(file=ContentFile(data, name), name=name, exhibition=exhibition, by=by)


def match(object_list: ObjectList, *, by, **values: Any) -> ObjectList:
    """Match as guessed, leave out what is undecided, and preview; jobs run at once in tests."""
    matching = {
        str(column["place"]): {
            "field": "" if guess.match.field == "?" else guess.match.field,
            "unit": guess.match.unit,
        }
        for column, guess in zip(object_list.columns, guesses(object_list, by), strict=True)
    }
    actions.match_columns(object_list=object_list, values={"matching": matching, **values}, by=by)
    object_list.refresh_from_db()
    return object_list


def preview(data: bytes, *, by, exhibition=None, name="list.csv", **values: Any) -> ObjectList:
    return match(send(data, by=by, exhibition=exhibition, name=name), by=by, **values)


def plans(object_list: ObjectList) -> list[RowPlan]:
    with object_list.plan.open("rb") as file:
        return [from_line(line) for line in file]


def bring_in(object_list: ObjectList, *, by, leave_out_refused: bool = False) -> ObjectList:
    actions.ask_to_apply(object_list=object_list, leave_out_refused=leave_out_refused, by=by)
    object_list.refresh_from_db()
    return object_list


def csv(*lines: str) -> bytes:
    return "".join(f"{line}\n" for line in lines).encode()
