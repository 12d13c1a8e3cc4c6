"""Who is looking, for every page template."""

from typing import Any

from django.http import HttpRequest

from exhibit_core.accounts.access import can
from exhibit_core.accounts.rights import Right


def person(request: HttpRequest) -> dict[str, Any]:
    """Give the templates `person`, `roles` (words), `may` (a flag by right) and `unit`."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"person": None, "roles": [], "may": {}, "unit": "cm"}
    return {
        "person": user,
        "roles": user.role_words,
        "may": {right.value: can(user, right) for right in Right},
        "unit": user.unit,
    }
