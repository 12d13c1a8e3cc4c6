"""The only way to a list that came in: whoever sent it, and those who may see money values."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from exhibit_core.accounts.access import can, require
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.queries import lists


def lists_for(user: User) -> QuerySet[ObjectList]:
    """Return the lists a person may open; a list may hold money values in any column."""
    require(user, Right.IMPORT)
    rows = lists()
    return rows if can(user, Right.SEE_MONEY) else rows.filter(sent_by=user)


def list_for(user: User, pk: int) -> ObjectList:
    return get_object_or_404(lists_for(user), pk=pk)
