"""Sheets to take away: complete, true to scale, and safe to open."""

from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.urls import reverse
from openpyxl import load_workbook
from PIL import Image
from pypdf import PdfReader

from exhibit_core.hangs import actions, sheets
from exhibit_core.hangs.models import Hang
from exhibit_core.hangs.sheets.paper import OwnFilesOnly
from exhibit_core.hangs.sheets.workbook import COLUMNS, HEADER_ROW
from exhibit_core.jobs import runner
from exhibit_core.jobs.models import Job
from exhibit_core.register.models import Picture
from exhibit_core.web.errors import RefusedError
from tests.factories import FixingFactory, WallFactory
from tests.pages import select, words
from tests.pdfs import paper_mm, scale_bar_mm, texts

pytestmark = pytest.mark.django_db

A3, A4 = (420, 297), (297, 210)


def placed(version):
    return sorted(version.solution["placements"], key=lambda place: place["x_mm"])


def show_picture(scene):
    file = BytesIO()
    Image.new("RGB", (90, 120), "#7A8FA6").save(file, "JPEG")
    picture = Picture(object=scene.entries[0].object, width_px=90, height_px=120, sha256="a")
    for size in ("large", "medium", "small"):
        getattr(picture, size).save("a.jpg", ContentFile(file.getvalue()), save=False)
    picture.save()


def test_schedule_prints_every_number_place_and_hook(scene):
    version = scene.compute()
    (page,) = texts(sheets.schedule_pdf(version))
    for place in placed(version):
        row = page[page.index(place["id"]) :]
        assert f" {place['x_mm']} " in row
        assert f" {place['hook_mm']} " in row
    positions = [page.index(place["id"]) for place in placed(version)]
    assert positions == sorted(positions)
    assert paper_mm(sheets.schedule_pdf(version)) == [A4]


def test_schedule_prints_both_hooks_and_two_people(empty_scene):
    """Two hooks a quarter of the width from each end, two people above 1.5 m: common practice."""
    empty_scene.add("1904.1", 1600, 900)
    version = empty_scene.compute()
    (page,) = texts(sheets.schedule_pdf(version))
    x_mm = version.solution["placements"][0]["x_mm"]
    assert f" {x_mm} {x_mm + 400} {x_mm + 1200} 1890 " in page
    assert page.count("2 people") == 1


def test_schedule_prints_caution_loads_and_state(scene):
    FixingFactory(wall=scene.wall, to_mm=8_000, max_kg_per_object=25, max_kg_per_m=40)
    version = scene.compute()
    (page,) = texts(sheets.schedule_pdf(version))
    assert "CAUTION Before drilling, look for cables and pipes." in page
    assert "Working loads stated for this wall: 25 kg each · 40 kg/m from 0 to 8000 mm." in page
    assert "A proposal: not accepted." in page
    accepted = actions.accept_version(version=version, by=scene.by)
    (page,) = texts(sheets.schedule_pdf(accepted))
    assert f"Accepted by {scene.by} on" in page
    assert "PROPOSAL" not in page


def test_schedule_of_rows_says_the_row_and_what_is_only_kept(scene):
    Hang.objects.filter(pk=scene.hang.pk).update(kind="rows", rows=2)
    scene.hang.refresh_from_db()
    actions.keep_place(hang=scene.hang, name="Kite", width_mm=320, height_mm=260, by=scene.by)
    version = scene.compute()
    (page,) = texts(sheets.schedule_pdf(version))
    assert page.count("row 1") + page.count("row 2") >= 5
    assert "Numbers run row by row from the top." in page
    assert "Places are kept for Kite: nothing hangs there yet." in page
    assert "PLACE KEPT: do not drill" in page
    sheet = load_workbook(BytesIO(sheets.schedule_xlsx(version))).worksheets[0]
    titles = [title for title, _ in COLUMNS]
    rows = [
        dict(zip(titles, (cell.value for cell in row), strict=True))
        for row in sheet.iter_rows(min_row=HEADER_ROW + 1, max_col=len(titles))
    ]
    rows_of = {place["id"]: place["row"] + 1 for place in version.solution["placements"]}
    assert {row["Object number"]: row["Row"] for row in rows} == rows_of
    (kite,) = [row for row in rows if row["Object number"] == "Kite"]
    assert (kite["Title"], kite["Hook height (mm)"]) == ("Place kept: do not drill", "none yet")
    assert (kite["Weight (kg)"], kite["Hands"]) == ("still to come", None)


def test_schedule_says_when_no_loads_are_stated(scene):
    (page,) = texts(sheets.schedule_pdf(scene.compute()))
    assert "No working loads are stated for this wall: ask." in page
    assert "Working loads stated" not in page


def test_schedule_says_what_is_not_known(empty_scene):
    empty_scene.add("1904.1", hang_point_mm=None, mass_g=None)
    (page,) = texts(sheets.schedule_pdf(empty_scene.compute()))
    assert "weight not known" in page
    assert "top edge: measure" in page


def test_schedule_begins_each_wall_on_a_new_page_and_counts_pages(scene):
    side = WallFactory(room=scene.wall.room, name="Side wall", length_mm=6_000)
    scene.hang.walls.add(side)
    actions.fix_place(hang=scene.hang, entry=scene.entries[3], wall=side, by=scene.by)
    pages = texts(sheets.schedule_pdf(scene.compute()))
    assert [[n for n in ("1904.1", "1904.4") if n in page] for page in pages] == [
        ["1904.1"],
        ["1904.4"],
    ]
    assert ["page 1 of 2" in pages[0], "page 2 of 2" in pages[1]] == [True, True]
    assert [("Main wall" in page, "Side wall" in page) for page in pages] == [
        (True, False),
        (False, True),
    ]


def test_schedule_of_thirty_prints_each_row_once(empty_scene):
    empty_scene.wall.length_mm = 36_000
    empty_scene.wall.save()
    numbers = [f"1904.{n:02}" for n in range(1, 31)]
    for number in numbers:
        empty_scene.add(number)
    pages = texts(sheets.schedule_pdf(empty_scene.compute()))
    assert {number: sum(page.count(number) for page in pages) for number in numbers} == (
        dict.fromkeys(numbers, 1)
    )
    assert len(pages) == 3


def test_hostile_title_stays_words_on_paper(empty_scene):
    evil = "<img src='http://example.invalid/x.png'><b>Kite & \"tail\"</b>"
    empty_scene.add("1904.1", title=evil)
    version = empty_scene.compute()
    assert evil in texts(sheets.schedule_pdf(version))[0]
    assert evil[:20] not in texts(sheets.elevation_pdf(version))[0]


@pytest.mark.parametrize(
    "address",
    ["http://example.invalid/x.png", "file:///etc/hostname", "font:../settings.py", "data:,x"],
)
def test_sheets_fetch_nothing_but_their_own(scene, address):
    with pytest.raises(ValueError, match="Sheets fetch nothing from outside"):
        OwnFilesOnly(scene.compute()).fetch(address)


def test_pictures_are_on_both_sheets(scene):
    show_picture(scene)
    version = scene.compute()
    for make in (sheets.schedule_pdf, sheets.elevation_pdf):
        (page, *_) = PdfReader(BytesIO(make(version))).pages
        assert [(image.image.width, image.image.height) for image in page.images] == [(90, 120)]


def cells(version):
    book = load_workbook(BytesIO(sheets.schedule_xlsx(version)))
    heads = [title for title, _ in COLUMNS]
    return {
        sheet.title: [
            dict(zip(heads, row, strict=True))
            for row in sheet.iter_rows(min_row=HEADER_ROW + 1, values_only=True)
        ]
        for sheet in book
    }


def test_workbook_reads_back_as_computed(scene):
    version = scene.compute()
    (rows,) = cells(version).values()
    read = [
        (row["Object number"], row["Left edge (mm)"], row["Hooks at (mm)"], row["Hook height (mm)"])
        for row in rows
    ]
    widths = {piece["id"]: piece["width_mm"] for piece in version.problem["pieces"]}
    assert read == [
        (
            place["id"],
            place["x_mm"],
            # One hook in the middle up to 600 mm of width and 10 kg.
            place["x_mm"] + widths[place["id"]] // 2,
            place["hook_mm"],
        )
        for place in placed(version)
    ]
    assert [row["No."] for row in rows] == [1, 2, 3, 4]
    gaps = [row["Gap after (mm)"] for row in rows]
    blocks = sum(width + 40 + 150 for width in widths.values())
    assert placed(version)[0]["x_mm"] + blocks + sum(gaps) == 8_000
    assert {row["Weight (kg)"] for row in rows} == {2.5}
    assert {row["Hands"] for row in rows} == {"one person"}


def test_workbook_has_a_sheet_a_wall_a_caution_and_print_set_up(scene):
    scene.hang.title = "Gallery & stair"
    scene.hang.save()
    scene.hang.walls.add(WallFactory(room=scene.wall.room, name="Side: [left]*wall?"))
    book = load_workbook(BytesIO(sheets.schedule_xlsx(scene.compute())))
    assert book.sheetnames == ["1 Main wall", "2 Side left wall"]
    sheet = book.worksheets[0]
    assert sheet["A3"].value.startswith("Fixings and loads over people's heads are decided by")
    assert (sheet.page_setup.orientation, sheet.print_title_rows) == ("landscape", "$4:$4")
    assert sheet.oddFooter.left.text == "Gallery && stair, version 1, Main wall"


@pytest.mark.parametrize("title", ["=1+1", "+49 mm", "-cloud", "@SUM(A1)", "=HYPERLINK(1)"])
def test_workbook_never_holds_a_formula(empty_scene, title):
    empty_scene.add("1904.1", title=title)
    book = load_workbook(BytesIO(sheets.schedule_xlsx(empty_scene.compute())))
    column = [name for name, _ in COLUMNS].index("Title") + 1
    cell = book.worksheets[0].cell(HEADER_ROW + 1, column)
    assert (cell.value, cell.data_type, cell.quotePrefix) == (title, "s", True)


def test_workbook_shows_pictures(scene):
    show_picture(scene)
    book = load_workbook(BytesIO(sheets.schedule_xlsx(scene.compute())))
    assert len(book.worksheets[0]._images) == 1


@pytest.mark.parametrize("scale", [10, 20, 25, 50])
def test_elevation_is_true_to_scale_on_every_page(scene, scale):
    pdf = sheets.elevation_pdf(scene.compute(), scale)
    pages = texts(pdf)
    for number, page in enumerate(pages):
        assert scale_bar_mm(pdf, scale, number) == pytest.approx(1000 / scale, abs=0.005)
        assert f"SCALE 1:{scale}" in page
        assert f"{number + 1} of {len(pages)}" in page


def test_elevation_names_what_it_is(scene):
    version = scene.compute()
    pdf = sheets.elevation_pdf(version, 50)
    (page,) = texts(pdf)
    assert paper_mm(pdf) == [A3]
    for said in ("Reading the Sky", "Main wall", "Gallery", "Revision 1, proposal", "CAUTION"):
        assert said in page
    for place in placed(version):
        assert place["id"] in page
        assert f"{place['hook_mm']}" in page


def test_long_wall_goes_over_several_sheets_with_every_piece_once(empty_scene):
    empty_scene.wall.length_mm = 36_000
    empty_scene.wall.save()
    numbers = [f"1904.{n:02}" for n in range(1, 13)]
    for number in numbers:
        empty_scene.add(number)
    pages = texts(sheets.elevation_pdf(empty_scene.compute(), 20))
    assert len(pages) == 6
    assert [sum(number in page for page in pages) for number in numbers] == [1] * 12
    assert "wall goes on: sheet 2" in pages[0]
    assert "wall goes on: sheet 5" in pages[5]


def test_scale_that_is_not_offered_is_refused_in_words(scene, sign_in):
    version = scene.compute()
    sentence = "Elevations are drawn at 1:10, 1:20, 1:25, 1:50; 1:30 is not one of them."
    with pytest.raises(RefusedError) as refused:
        sheets.elevation_pdf(version, 30)
    assert str(refused.value) == sentence
    url = reverse("hangs:elevation_pdf", args=[version.pk])
    page = sign_in("technician").get(f"{url}?scale=30", follow=True)
    assert words(select(page, "#messages")[0]) == sentence


def test_svg_file_is_as_large_as_the_wall_at_its_scale(scene, sign_in):
    version = scene.compute()
    url = reverse("hangs:elevation_svg", args=[version.pk])
    client = sign_in("technician")
    answer = client.get(f"{url}?wall=1&scale=10")
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer["Content-Disposition"].startswith("attachment;")
    (svg,) = select(answer, "svg.elevation")
    _, _, width, height = (float(number) for number in svg.get("viewbox").split())
    paper = [float(svg.get(name).removesuffix("mm")) for name in ("width", "height")]
    assert paper == pytest.approx([width / 10, height / 10], abs=0.01)
    assert [client.get(f"{url}?wall={n}").status_code for n in ("2", "0", "x")] == [404] * 3


def test_downloads_say_what_they_are(scene, sign_in):
    version = scene.compute()
    client = sign_in("technician")
    found = {}
    for name in ("schedule_pdf", "schedule_xlsx", "elevation_pdf"):
        answer = client.get(reverse(f"hangs:{name}", args=[version.pk]))
        found[answer["Content-Disposition"]] = answer.content[:4]
    assert found == {
        'attachment; filename="gallery-v1-hanging-schedule.pdf"': b"%PDF",
        'attachment; filename="gallery-v1-hanging-schedule.xlsx"': b"PK\x03\x04",
        'attachment; filename="gallery-v1-elevation.pdf"': b"%PDF",
    }


def test_sheets_of_a_large_hang_are_written_by_the_worker(
    scene, sign_in, settings, tmp_path, monkeypatch
):
    settings.SHEETS_ROOT = tmp_path
    monkeypatch.setattr(sheets, "QUICK_PIECES", 3)
    version = scene.compute()
    client = sign_in("technician")
    page, url = (reverse(f"hangs:{n}", args=[version.pk]) for n in ("version", "schedule_pdf"))
    refused = client.get(url, follow=True)
    assert refused.redirect_chain == [(f"{page}#sheets", 302)]
    assert words(select(refused, "#messages")[0]) == (
        "These sheets take a while: have them written first."
    )
    answer = client.post(reverse("hangs:write_sheets", args=[version.pk]))
    job = Job.objects.get()
    assert answer["Location"] == reverse("jobs:detail", args=[job.pk])
    runner.run_waiting()
    job.refresh_from_db()
    assert (job.state, job.words) == (Job.State.DONE, "Wrote 3 sheets.")
    assert job.result["url"] == f"{page}#sheets"
    written = sorted(Path(path.name).name for path in tmp_path.rglob("*.*"))
    assert written == [
        "gallery-v1-elevation.pdf",
        "gallery-v1-hanging-schedule.pdf",
        "gallery-v1-hanging-schedule.xlsx",
    ]
    assert b"".join(client.get(url).streaming_content)[:4] == b"%PDF"


def test_sheets_of_a_proposal_are_not_taken_for_those_of_an_accepted_version(
    scene, settings, tmp_path
):
    settings.SHEETS_ROOT = tmp_path
    version = scene.compute()
    sheets.write_sheets(version, sheets.folder_of(version))
    assert sheets.written(version) is True
    accepted = actions.accept_version(version=version, by=scene.by)
    assert sheets.written(accepted) is False
