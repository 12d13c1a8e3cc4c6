"""What the pages of a list show: its matching as far as it is settled, and its plan by pages."""

from collections.abc import Sequence
from itertools import islice
from typing import Any

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange.matching import Guess, Match, guess
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.plans import RowPlan, from_line, lines_of, without_money
from exhibit_core.exchange.queries import remembered

WARNED = "warned"
SHOWN = {
    "": "All",
    "new": "New",
    "changed": "Changed",
    "unchanged": "Unchanged",
    "refused": "Refused",
    WARNED: "With remarks",
}


def guesses(object_list: ObjectList, user: User) -> list[Guess]:
    """Return what a person settled for each column, or else what it is taken for."""
    if object_list.matching:
        return [
            Guess(Match(**object_list.matching[str(column["place"])]))
            for column in object_list.columns
        ]
    headings = [column["name"] for column in object_list.columns]
    return guess(
        headings,
        by=user,
        with_list=object_list.exhibition_id is not None,
        remembered=remembered(headings),
    )


class PlanRows(Sequence[RowPlan]):
    """The rows of a plan with one outcome, read from its file as far as a page needs them."""

    def __init__(self, object_list: ObjectList, *, shown: str, user: User) -> None:
        self._list = object_list
        self._shown = shown
        self._sees_money = can(user, Right.SEE_MONEY)

    def __len__(self) -> int:
        summary = self._list.summary
        if self._shown:
            return summary[self._shown]
        return sum(count for name, count in summary.items() if name != WARNED)

    def __getitem__(self, place: Any) -> Any:
        if not isinstance(place, slice):
            return self[place : place + 1][0]
        with self._list.plan.open("rb") as file:
            lines = lines_of(
                file.file,
                outcome="" if self._shown == WARNED else self._shown,
                remarked=self._shown == WARNED,
            )
            plans = [from_line(line) for line in islice(lines, place.start, place.stop)]
        return plans if self._sees_money else [without_money(plan) for plan in plans]
