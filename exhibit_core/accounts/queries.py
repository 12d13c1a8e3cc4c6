"""Reading people."""

from collections.abc import Iterable

from django.db.models import QuerySet

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import RIGHTS, Right, Role


def people() -> QuerySet[User]:
    return User.objects.order_by("name", "username")


def rights_table() -> Iterable[tuple[Right, list[bool]]]:
    """Return one row a right: whether each role, in the order of `Role`, holds it."""
    return [(right, [role in RIGHTS[right] for role in Role]) for right in Right]


def first_in_each_role() -> list[tuple[Role, User]]:
    """Return one active person for every role that somebody holds."""
    found: dict[Role, User] = {}
    for person in people().filter(is_active=True):
        for code in person.roles:
            found.setdefault(Role(code), person)
    return [(role, found[role]) for role in Role if role in found]
