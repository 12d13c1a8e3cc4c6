"""What the shared script and stylesheets do in a real browser."""

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_failed_sign_in_moves_the_focus_to_what_is_wrong(live_server, page):
    page.goto(f"{live_server.url}/sign-in/")
    page.get_by_label("Username").fill("nobody")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    assert page.evaluate("document.activeElement.getAttribute('role')") == "alert"


def test_ticking_rows_is_counted_where_the_button_says_it(live_server, enter):
    from tests.factories import ListEntryFactory

    first = ListEntryFactory()
    ListEntryFactory.create_batch(2, exhibition=first.exhibition)
    page = enter("curator")
    page.goto(f"{live_server.url}/exhibitions/{first.exhibition_id}/list/")
    boxes = page.get_by_role("checkbox", name="Select")
    boxes.nth(0).check()
    boxes.nth(2).check()
    assert page.locator("[data-selected-count=entry]").inner_text() == "2"
    boxes.nth(2).uncheck()
    assert page.locator("[data-selected-count=entry]").inner_text() == "1"


def test_leaving_an_unsent_form_asks_first(live_server, enter):
    page = enter("curator")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(f"{live_server.url}/exhibitions/new/")
    page.get_by_label("Title").first.press_sequentially("Reading the Sky")
    page.get_by_role("link", name="Help").click()
    page.wait_for_url("**/help/")
    assert asked == ["beforeunload"]


def test_sending_a_form_asks_nothing(live_server, enter):
    page = enter("curator")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(f"{live_server.url}/exhibitions/new/")
    page.get_by_label("Title").first.press_sequentially("Reading the Sky")
    page.get_by_role("button", name="Set it up").click()
    page.wait_for_selector("[role=alert]")
    assert asked == []


def test_a_refused_fragment_is_said_in_the_message_region(live_server, enter):
    from tests.factories import ListEntryFactory

    entry = ListEntryFactory()
    page = enter("curator")
    page.goto(f"{live_server.url}/exhibitions/{entry.exhibition_id}/list/")
    entry.delete()
    page.get_by_role("link", name="Edit").click()
    message = page.locator("#messages .message--error")
    message.wait_for()
    assert "no longer here" in message.inner_text()


@pytest.mark.parametrize("path", ["/sign-in/", "/help/", "/people/", "/nowhere/"])
def test_no_page_scrolls_sideways_on_a_narrow_phone(live_server, enter, path):
    page = enter("administrator")
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto(f"{live_server.url}{path}")
    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_title_is_set_in_the_shipped_typeface(live_server, page):
    page.goto(f"{live_server.url}/sign-in/")
    page.evaluate("document.fonts.ready")
    assert page.evaluate("document.fonts.check('600 16px \"Source Sans 3\"')") is True
    loaded = page.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => `${f.family} ${f.weight}`)"
    )
    assert '"Source Sans 3" 600' in loaded or "Source Sans 3 600" in loaded
