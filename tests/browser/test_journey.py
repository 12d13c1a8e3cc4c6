"""The whole line by the keyboard alone: a list comes in, a wall is hung, the schedule is paper."""

from io import BytesIO

import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

from exhibit_core.hangs.models import HangVersion
from layouts import Problem, Solution, check

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LIST = """Inv.-Nr.;Bezeichnung;Maße (H x B x T);Gewicht;Licht (lx)
K 12;Wolkenstudie, Morgen;42 x 58,5 x 3 cm;2,1 kg;50
K 13;Wolkenstudie, Abend;415 x 590 mm;2,0 kg;50
K 2;Sturmwarnung, Plakat;84 x 59 cm;3,4 kg;100
M 7;Stockbarometer;96 x 11 x 6 cm;3,9 kg;
"""

ACTIVE = """() => {
  const here = document.activeElement;
  if (here === document.body) return ["", ""];
  const labels = here.labels ? [...here.labels].map(label => label.innerText) : [];
  const names = [here.getAttribute("aria-label"), ...labels, here.innerText].filter(Boolean);
  return [here.tagName, (names[0] || "").replace(/\\s+/g, " ").trim()];
}"""


class Keyboard:
    """A person who has no mouse."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def reach(self, words: str, *tags: str, whole: bool = False) -> "Keyboard":
        """Press Tab until what is focused is called so."""
        met = []
        for _ in range(200):
            tag, name = self.page.evaluate(ACTIVE)
            met.append(name)
            if (name == words if whole else name.startswith(words)) and (not tags or tag in tags):
                return self
            self.page.keyboard.press("Tab")
        raise AssertionError(f"“{words}” cannot be reached on {self.page.url}: {set(met)}")

    def type(self, words: str, text: str) -> "Keyboard":
        self.reach(words, "INPUT", "TEXTAREA")
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)
        return self

    def press(self, words: str, *, whole: bool = False) -> "Keyboard":
        """Press Enter on a link or button and wait for the page it leads to."""
        self.reach(words, "A", "BUTTON", whole=whole)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        return self

    def follow(self, *links: str) -> "Keyboard":
        """Follow links called exactly so, one after another."""
        for link in links:
            self.press(link, whole=True)
        return self

    def tick(self, words: str) -> "Keyboard":
        self.reach(words, "INPUT")
        self.page.keyboard.press("Space")
        return self

    def choose(self, words: str, option: str) -> "Keyboard":
        """Choose in a list by typing the beginning of the option."""
        self.reach(words, "SELECT")
        self.page.keyboard.type(option)
        return self


def test_from_a_list_to_the_schedule_by_keyboard(enter, tmp_path):
    page = enter("administrator")
    keys = Keyboard(page)

    keys.follow("Set up an exhibition")
    keys.type("Title", "Wetterbilder").type("Or a new venue", "Kleine Galerie")
    keys.reach("Opening day", "INPUT")
    page.keyboard.type("03062027")
    keys.reach("Closing day", "INPUT")
    page.keyboard.type("09052027")
    keys.press("Set it up")

    keys.follow("Import")
    file = tmp_path / "Liste.csv"
    file.write_text(LIST, encoding="utf-8")
    keys.reach("Object list", "INPUT")
    page.locator("input[type=file]").set_input_files(file)
    keys.press("Send it")
    keys.choose("Licht (lx)", "Light limit").press("Preview")
    assert page.locator("#show-new").inner_text().split()[-1] == "4"
    keys.press("Bring in 4 rows")

    keys.follow("Exhibitions", "Wetterbilder", "List")
    for number in ("K 2", "K 12", "K 13", "M 7"):
        keys.tick(f"Select {number}")
    keys.choose("Stage", "selected").choose("Shown on", "wall")
    keys.press("Change 4 selected")

    keys.follow("Rooms", "Kleine Galerie")
    keys.type("Name", "Saal 1").press("Add the room")
    keys.type("Name", "Nordwand").type("Length", "8 m").type("Height", "3600")
    keys.press("Add the wall")
    keys.follow("Add a light zone")
    keys.type("To", "8 m").type("Light at most", "50").press("Save")

    keys.follow("Exhibitions", "Wetterbilder", "Hangs", "Set up a hang")
    keys.type("Title", "Erste Hängung").tick("Saal 1, Nordwand").press("Set up the hang")
    keys.press("Compute the hang")

    version = HangVersion.objects.get()
    problem, solution = Problem.from_dict(version.problem), Solution.from_dict(version.solution)
    assert check(problem, solution) == []
    assert {p.id for p in solution.placements} == {"K 2", "K 12", "K 13", "M 7"}

    keys.reach("PDF for the ladder")
    with page.expect_download() as waiting:
        page.keyboard.press("Enter")
    pages = PdfReader(BytesIO(waiting.value.path().read_bytes())).pages
    text = " ".join(sheet.extract_text() for sheet in pages)
    for place in solution.placements:
        assert place.id in text
        assert str(place.hook_mm) in text
