"""Carry messages along with fragments, so that HTMX shows them without a reload."""

from collections.abc import Callable

from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from exhibit_core.web.render import wants_fragment


class FragmentMiddleware:
    """Append waiting messages to HTML fragments as an out-of-band child of the status region."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self._get_response(request)
        is_html = response.get("Content-Type", "").startswith("text/html")
        if (
            is_html
            and not response.streaming
            and wants_fragment(request)
            and "HX-Redirect" not in response
            and not 300 <= response.status_code < 400
            and (waiting := list(get_messages(request)))
        ):
            response.content += render_to_string(
                "web/messages.html", {"messages": waiting, "out_of_band": True}, request
            ).encode()
        return response
