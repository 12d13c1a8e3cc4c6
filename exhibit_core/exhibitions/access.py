"""The only way to a row of an exhibition."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from exhibit_core.accounts.access import require
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.exhibitions.queries import entries_of


def exhibitions_for(user: User, right: Right = Right.SEE) -> QuerySet[Exhibition]:
    require(user, right)
    return Exhibition.objects.select_related("venue")


def exhibition_for(user: User, pk: int, right: Right = Right.SEE) -> Exhibition:
    return get_object_or_404(exhibitions_for(user, right), pk=pk)


def section_for(user: User, exhibition_pk: int, pk: int, right: Right = Right.SEE) -> Section:
    require(user, right)
    rows = Section.objects.select_related("exhibition__venue")
    return get_object_or_404(rows, exhibition_id=exhibition_pk, pk=pk)


def entries_for(user: User, exhibition_pk: int, right: Right = Right.SEE) -> QuerySet[ListEntry]:
    require(user, right)
    return entries_of(exhibition_pk)


def entry_for(user: User, exhibition_pk: int, pk: int, right: Right = Right.SEE) -> ListEntry:
    require(user, right)
    rows = entries_of(exhibition_pk).select_related("object__lender", "section", "exhibition")
    return get_object_or_404(rows, pk=pk)
