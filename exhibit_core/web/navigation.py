"""The main navigation: apps name their entry once, in their AppConfig."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse


@dataclass(frozen=True)
class Entry:
    order: int
    label: str
    url_name: str


@dataclass(frozen=True)
class Link:
    label: str
    url: str
    current: bool


_entries: dict[str, Entry] = {}


def add(*, order: int, label: str, url_name: str) -> None:
    _entries[url_name] = Entry(order, label, url_name)


def links(request: HttpRequest) -> list[Link]:
    """Return the entries in order, the one whose app shows this page marked current."""
    match = request.resolver_match
    here = match.app_name if match else ""
    return [
        Link(entry.label, reverse(entry.url_name), entry.url_name.split(":")[0] == here)
        for entry in sorted(_entries.values(), key=lambda entry: entry.order)
    ]
