"""A hang in rows as a designer makes it: chosen, asked for, computed, and on paper."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from exhibit_core.demo import loader
from exhibit_core.hangs.models import HangVersion, KeptPlace
from layouts import Problem, Solution, check

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def exhibition(transactional_db):
    return loader.load(tell=lambda words: None, pictures=False)


def test_from_the_choice_of_rows_to_the_schedule(exhibition, live_server, enter, axe):
    page = enter("designer")
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))

    page.goto(f"{live_server.url}/hangs/exhibition/{exhibition.pk}/new/")
    page.get_by_label("Title").fill("Clouds in rows")
    page.get_by_label("Long Gallery, Main wall").first.check()
    page.get_by_label("5 Naming the Clouds").check()
    rows = page.get_by_label("Number of rows")
    page.get_by_role("radio", name="By section").check()
    assert (rows.is_visible(), page.locator("#id_section_gap_mm").is_visible()) == (False, True)
    page.get_by_role("radio", name="In rows").check()
    assert (rows.is_visible(), page.locator("#id_section_gap_mm").is_visible()) == (True, False)
    rows.fill("3")
    page.get_by_label("Smallest gap").fill("80")
    page.locator("#id_label_side").select_option("below")
    assert axe() == []
    page.get_by_role("button", name="Set up the hang").click()

    page.get_by_text("Keep a place").click()
    page.get_by_label("What it is kept for").fill("Loan to come")
    page.get_by_label("Width (mm)").fill("60 cm")
    page.get_by_label("Height (mm)").fill("400")
    page.locator("#id_keep_section").select_option(label="5 Naming the Clouds")
    page.get_by_role("button", name="Keep it").click()
    assert KeptPlace.objects.get().width_mm == 600
    page.get_by_text("Add a rule").click()
    page.get_by_role("radio", name="near each other").check()
    assert page.get_by_label("How much it matters").is_visible()
    assert not page.get_by_label("At least apart").is_visible()
    assert axe() == []

    page.get_by_role("button", name="Compute the hang").click()
    page.wait_for_url("**/hangs/version/*/")
    version = HangVersion.objects.get()
    problem, solution = Problem.from_dict(version.problem), Solution.from_dict(version.solution)
    assert check(problem, solution) == []
    assert {place.row for place in solution.placements} == {0, 1, 2}
    first, box = (page.locator(name).first.bounding_box() for name in (".hung", ".drawing-scroll"))
    assert box["x"] <= first["x"] <= first["x"] + first["width"] <= box["x"] + box["width"]
    told = page.locator("#w1-caption ~ tbody tr").evaluate_all(
        "rows => rows.map(row => [row.cells[1].innerText, row.cells[2].innerText.split(' ')[0]])"
    )
    order = sorted(solution.placements, key=lambda place: (place.row, place.x_mm))
    assert [int(row) for row, _ in told] == [place.row + 1 for place in order]
    assert [name for _, name in told] == [place.id.split(" ")[0] for place in order]
    assert axe() == []
    assert said == []

    with page.expect_download() as waiting:
        page.get_by_role("link", name="PDF for the ladder").click()
    sheets = PdfReader(BytesIO(waiting.value.path().read_bytes())).pages
    text = " ".join(sheet.extract_text() for sheet in sheets)
    assert text.count("PLACE KEPT") == 1
    assert all(text.count(f"row {row}") >= 1 for row in (1, 2, 3))
