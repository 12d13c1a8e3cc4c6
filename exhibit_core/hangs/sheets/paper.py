"""Turn a template into a PDF that fetches nothing but our own fonts and pictures."""

from io import BytesIO
from mimetypes import guess_type
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils import timezone
from weasyprint import HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from exhibit_core.hangs.models import HangVersion
from exhibit_core.register.models import Picture

FONTS = (
    ("Source Sans 3", 400, "normal", "source-sans-3-400.ttf"),
    ("Source Sans 3", 600, "normal", "source-sans-3-600.ttf"),
    ("Source Sans 3", 700, "normal", "source-sans-3-700.ttf"),
    ("Source Serif 4", 400, "normal", "source-serif-4-400.ttf"),
    ("Source Serif 4", 400, "italic", "source-serif-4-400-italic.ttf"),
)
SMALL, MEDIUM = "small", "medium"


class OwnFilesOnly(URLFetcher):
    """Answer `font:` and `picture:` addresses from our files and refuse every other one."""

    def __init__(self, version: HangVersion) -> None:
        super().__init__(allowed_protocols=[], allow_redirects=False)
        captions = version.captions.get("pieces", {}).values()
        wanted = {caption["picture"] for caption in captions if caption.get("picture")}
        self._pictures = Picture.objects.in_bulk(wanted)

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        scheme, _, rest = url.partition(":")
        if scheme == "font" and rest in {name for *_, name in FONTS}:
            path = finders.find(f"web/fonts/{rest}")
            return _answer(url, Path(path).read_bytes(), "font/ttf")
        if scheme == "picture":
            size, _, key = rest.partition("/")
            stored = getattr(self._pictures[int(key)], size)
            with stored.open("rb") as file:
                return _answer(url, file.read(), guess_type(stored.name)[0] or "image/jpeg")
        raise ValueError(f"Sheets fetch nothing from outside: {url[:80]}")


def picture_address(size: str, caption: dict[str, Any]) -> str:
    """Return the address under which a sheet asks for a piece's picture; empty without one."""
    return f"picture:{size}/{caption['picture']}" if caption.get("picture") else ""


def pdf_of(template: str, version: HangVersion, context: dict[str, Any]) -> bytes:
    """Render a template of one version to PDF."""
    html = render_to_string(
        template,
        {
            "version": version,
            "hang": version.hang,
            "exhibition": version.hang.exhibition,
            "fonts": FONTS,
            "printed": timezone.localtime(),
            **context,
        },
    )
    output = BytesIO()
    HTML(string=html, base_url="sheet:", url_fetcher=OwnFilesOnly(version)).write_pdf(
        output, font_config=FontConfiguration()
    )
    return output.getvalue()


def _answer(url: str, body: bytes, mime_type: str) -> URLFetcherResponse:
    return URLFetcherResponse(url, body, {"Content-Type": mime_type})
