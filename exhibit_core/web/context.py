"""What every page template may rely on."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from exhibit_core.web import navigation


def page(request: HttpRequest) -> dict[str, Any]:
    return {"navigation": navigation.links(request), "demo": settings.DEMO}
