"""Choose between a whole page and the fragment that HTMX asked for."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers


def wants_fragment(request: HttpRequest) -> bool:
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request


def page(
    request: HttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    *,
    partial: str = "",
    status: int = 200,
) -> HttpResponse:
    """Render `template`, or only its `partial` when HTMX asks for a fragment."""
    name = f"{template}#{partial}" if partial and wants_fragment(request) else template
    response = render(request, name, context or {}, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response
