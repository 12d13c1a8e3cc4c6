"""Changes to people."""

from collections.abc import Sequence

from django.db import transaction

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Role
from exhibit_core.history.record import record
from exhibit_core.web.errors import RefusedError


@transaction.atomic
def set_roles(*, person: User, roles: Sequence[str], by: User) -> User:
    """Give a person exactly these roles; the last administrator keeps theirs."""
    losing = Role.ADMINISTRATOR in person.roles and Role.ADMINISTRATOR not in roles
    if losing and not _other_administrators(person):
        raise RefusedError(f"{person} is the only administrator: make someone else one first.")
    before = list(person.roles)
    person.roles = sorted(set(roles))
    person.full_clean()
    person.save(update_fields=["roles"])
    record(
        by=by,
        action="accounts.set_roles",
        target=person,
        sentence=f"Gave {person} the roles {_words(person.roles)}",
        changes={"roles": (before, person.roles)},
    )
    return person


@transaction.atomic
def set_unit(*, person: User, unit: str) -> User:
    """Choose the unit in which a person reads lengths."""
    before = person.unit
    person.unit = unit
    person.full_clean()
    person.save(update_fields=["unit"])
    record(
        by=person,
        action="accounts.set_unit",
        target=person,
        sentence=f"Reads lengths in {person.get_unit_display()}",
        changes={"unit": (before, unit)},
    )
    return person


def _other_administrators(person: User) -> bool:
    others = User.objects.filter(is_active=True).exclude(pk=person.pk)
    return any(Role.ADMINISTRATOR in other.roles for other in others)


def _words(roles: Sequence[str]) -> str:
    return ", ".join(Role(code).label for code in roles) or "none"
