"""A real Chromium against the real server."""

import shutil
from pathlib import Path

import pytest

CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]
AXE = Path(__file__).with_name("vendor") / "axe.min.js"


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict:
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.fail("The browser suite needs Chromium: apt-get install chromium.")
    return {"executable_path": chromium, "args": CHROMIUM_FLAGS}


@pytest.fixture
def enter(live_server, page, make_person):
    """Return a function that signs a person of the given roles in and gives the page."""
    from django.conf import settings
    from django.test import Client

    def as_role(*roles: str):
        client = Client()
        client.force_login(make_person(*roles))
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies(
            [{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}]
        )
        page.goto(live_server.url)
        page.bring_to_front()
        return page

    return as_role


@pytest.fixture
def axe(page):
    """Return a function that lists what the accessibility checker finds on the page."""

    def found() -> list[str]:
        # Evaluated by the debugger, so that the page's own strict policy stays in force.
        page.evaluate(AXE.read_text(encoding="utf-8"))
        tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
        answer = page.evaluate("tags => axe.run({runOnly: tags})", tags)
        return [
            f"{fault['id']}: {fault['help']} ({node['html'][:120]})"
            for fault in answer["violations"]
            for node in fault["nodes"]
        ]

    return found
