"""Pages that belong to no app's data."""

from django.http import HttpRequest, HttpResponse

from exhibit_core.web.render import page


def help_page(request: HttpRequest) -> HttpResponse:
    return page(request, "web/help.html")
