"""What only a browser can tell: accessibility, narrow screens, no script, the strict policy."""

from io import BytesIO

import pytest
from PIL import Image

from exhibit_core.demo import hanging, loader
from exhibit_core.hangs.models import HangVersion
from exhibit_core.register.models import Lender, MuseumObject
from exhibit_core.spaces.models import Wall

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def furnished(transactional_db):
    """Load the demonstration, without its pictures, and hang it."""
    exhibition = loader.load(tell=lambda words: None, pictures=False)
    hanging.hang(exhibition, tell=lambda words: None)
    return exhibition


def addresses(exhibition) -> list[str]:
    """Return one address of every kind of page."""
    version, in_rows = HangVersion.objects.order_by("pk")
    wall = Wall.objects.first()
    obj = MuseumObject.objects.first()
    entry = exhibition.entries.first()
    section = exhibition.sections.first()
    e, h = f"/exhibitions/{exhibition.pk}", f"/hangs/{version.hang_id}"
    return [
        "/",
        "/exhibitions/new/",
        f"{e}/",
        f"{e}/edit/",
        f"{e}/list/",
        f"{e}/list/?all=matching",
        f"{e}/list/add/",
        f"{e}/list/columns/",
        f"{e}/list/changes/",
        f"{e}/list/{entry.pk}/",
        f"{e}/sections/",
        f"{e}/sections/{section.pk}/",
        f"{e}/sections/{section.pk}/delete/",
        "/register/",
        "/register/new/",
        f"/register/{obj.pk}/",
        f"/register/{obj.pk}/edit/",
        f"/register/{obj.pk}/measure/",
        f"/register/{obj.pk}/written/",
        f"/register/{obj.pk}/pictures/add/",
        "/register/lenders/",
        f"/register/lenders/{Lender.objects.first().pk}/",
        "/rooms/",
        f"/rooms/venues/{wall.room.venue_id}/",
        f"/rooms/rooms/{wall.room_id}/",
        f"/rooms/walls/{wall.pk}/",
        f"/rooms/walls/{wall.pk}/light/add/",
        f"/hangs/exhibition/{exhibition.pk}/",
        f"/hangs/exhibition/{exhibition.pk}/new/",
        f"{h}/",
        f"{h}/edit/",
        f"/hangs/version/{version.pk}/",
        f"/hangs/version/{in_rows.pk}/",
        "/exchange/new/",
        "/people/",
        "/preferences/",
        "/jobs/",
        "/help/",
        "/nowhere/",
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_accessible(furnished, live_server, enter, axe, scheme):
    page = enter("administrator")
    page.emulate_media(color_scheme=scheme)
    found = {}
    for address in addresses(furnished):
        page.goto(f"{live_server.url}{address}")
        if faults := axe():
            found[address] = faults
    assert found == {}


def test_no_page_uses_an_id_twice(furnished, live_server, enter):
    """Labels and descriptions find their field by id; the checker does not notice doubles."""
    page = enter("administrator")
    doubled = {}
    for address in addresses(furnished):
        page.goto(f"{live_server.url}{address}")
        ids = page.evaluate("[...document.querySelectorAll('[id]')].map(item => item.id)")
        if twice := {name for name in ids if ids.count(name) > 1}:
            doubled[address] = twice
    assert doubled == {}


def test_every_control_has_a_label_of_its_own(furnished, live_server, enter):
    page = enter("administrator")
    nameless = {}
    for address in addresses(furnished):
        page.goto(f"{live_server.url}{address}")
        found = page.evaluate(
            """[...document.querySelectorAll('input:not([type=hidden]), select, textarea')]
            .filter(item => !item.labels.length && !item.getAttribute('aria-label')
              && !item.getAttribute('aria-labelledby'))
            .map(item => item.outerHTML.slice(0, 120))"""
        )
        if found:
            nameless[address] = found
    assert nameless == {}


def test_no_page_scrolls_sideways_at_320_px(furnished, live_server, enter):
    page = enter("administrator")
    page.set_viewport_size({"width": 320, "height": 720})
    wide = {}
    for address in addresses(furnished):
        page.goto(f"{live_server.url}{address}")
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 320:
            wide[address] = width
    assert wide == {}


def test_no_page_breaks_its_policy_or_script(furnished, live_server, enter):
    page = enter("administrator")
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    for address in addresses(furnished):
        if address != "/nowhere/":
            page.goto(f"{live_server.url}{address}")
    assert said == []


def test_pages_stand_on_paper_in_light_without_navigation(furnished, live_server, enter):
    page = enter("curator")
    page.emulate_media(color_scheme="dark", media="print")
    page.goto(f"{live_server.url}/exhibitions/{furnished.pk}/list/")
    with Image.open(BytesIO(page.screenshot())) as paper:
        assert paper.convert("RGB").getpixel((1, 600)) == (255, 255, 255)
    assert page.locator("nav").first.is_hidden()
