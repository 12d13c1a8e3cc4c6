"""The door every page goes through."""

from django.core.exceptions import PermissionDenied
from django.http import Http404

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right


def require(user: User, right: Right = Right.SEE) -> None:
    """Raise Http404 for an outsider and PermissionDenied for a person without the right."""
    if not user.is_authenticated or not user.has_right(Right.SEE):
        raise Http404
    if not user.has_right(right):
        raise PermissionDenied(f"Your role does not let you {right.label}.")


def can(user: User, right: Right) -> bool:
    return bool(user.is_authenticated) and user.has_right(right)
