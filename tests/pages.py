"""Look into answered pages as a reader does, by element and not by text."""

import cssselect2
from django.http import HttpResponse
from lxml import html
from lxml.etree import _Element


def select(answer: HttpResponse, css: str) -> list[_Element]:
    """Return the elements of a page or fragment that a CSS selector names."""
    root = html.fromstring(f"<div>{answer.content.decode()}</div>")
    wrapper = cssselect2.ElementWrapper.from_html_root(root)
    return [found.etree_element for found in wrapper.query_all(css)]


def words(element: _Element) -> str:
    """Return the text of an element, that of each element in it apart from its neighbours'."""
    return " ".join(" ".join(element.itertext()).split())
