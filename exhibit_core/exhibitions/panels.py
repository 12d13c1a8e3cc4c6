"""What exhibitions show on an object's page of the register."""

from collections.abc import Mapping
from typing import Any

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions import queries
from exhibit_core.register.models import MuseumObject


def listed_in(obj: MuseumObject, user: User) -> tuple[str, Mapping[str, Any]]:
    """Show on which exhibitions' lists an object stands, and how far it is chosen there."""
    return "exhibitions/listed_in.html", {
        "entries": queries.entries_with(obj),
        "may_choose": can(user, Right.CHOOSE),
    }
