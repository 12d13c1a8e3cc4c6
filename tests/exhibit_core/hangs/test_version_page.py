"""The page of one version: wall, table, reasons, comparison, acceptance and its undo."""

import pytest
from django.urls import reverse

from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.hangs import actions
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.jobs import runner
from exhibit_core.jobs.models import Job
from exhibit_core.register.models import Picture
from exhibit_core.spaces.models import BlockedArea
from tests.factories import LightZoneFactory, WallFactory
from tests.pages import select, words

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def designer(sign_in):
    return sign_in("designer")


@pytest.fixture
def version(scene):
    return scene.compute()


def address(version, name="version", query=""):
    return reverse(f"hangs:{name}", args=[version.pk]) + query


def test_table_tells_what_the_drawing_shows(designer, version):
    page = designer.get(address(version))
    rows = select(page, "#w1-caption ~ tbody tr")
    placed = sorted(version.solution["placements"], key=lambda place: place["x_mm"])
    cells = [[words(cell) for cell in row] for row in rows]
    assert [(row[4], row[6]) for row in cells] == [
        (str(place["x_mm"]), str(place["hook_mm"])) for place in placed
    ]
    drawn = select(page, "svg.elevation .hung")
    assert [piece.get("data-piece") for piece in drawn] == [place["id"] for place in placed]
    assert [piece.get("href") for piece in drawn] == [f"#{row.get('id')}" for row in rows]
    back = [row.find(".//a").get("href") for row in rows]
    assert back == [f"#{piece.get('id')}" for piece in drawn]


@pytest.fixture
def in_rows(scene):
    """The scene in two rows, with a place kept."""
    Hang.objects.filter(pk=scene.hang.pk).update(kind="rows", rows=2, row_gap_mm=120)
    scene.hang.refresh_from_db()
    size = {"width_mm": 320, "height_mm": 260}
    actions.keep_place(hang=scene.hang, name="Kite", **size, by=scene.by)
    return scene.compute()


def test_rows_are_told_row_by_row_from_the_top(designer, in_rows):
    page = designer.get(address(in_rows))
    rows = select(page, "#w1-caption ~ tbody tr")
    placed = sorted(in_rows.solution["placements"], key=lambda p: (p["row"], p["x_mm"]))
    told = [(words(row[1]), words(row[2]).split()[0]) for row in rows]
    assert told == [(str(place["row"] + 1), place["id"]) for place in placed]
    assert {row for row, _ in told} == {"1", "2"}
    assert words(select(page, "#w1 ~ p")[0]).startswith("8,000 × 3,600 mm, 5 objects. Row 1: gaps")


def test_place_kept_is_told_as_such_and_has_no_hook(designer, in_rows):
    page = designer.get(address(in_rows))
    (row,) = [r for r in select(page, "#w1-caption ~ tbody tr") if words(r[2]).startswith("Kite")]
    low = next(p["y_mm"] for p in in_rows.solution["placements"] if p["id"] == "Kite")
    assert words(row[2]) == "Kite place kept"
    assert words(row[6]) == f"no hook yet; lower edge {low}"
    assert select(page, "#w1-caption ~ tbody a[href^='/register/']") != []
    assert row.findall(".//a[@href]")[0].get("href").startswith("#w1-")


def test_row_says_size_weight_hooks_light_hands_and_hazard(designer, empty_scene):
    LightZoneFactory(wall=empty_scene.wall, from_mm=0, to_mm=8_000, lux=50)
    empty_scene.add(
        "1904.1", 1600, 900, mass_g=21_000, title="Map", max_lux=150, hazards=["mercury"]
    )
    version = empty_scene.compute()
    (row,) = select(designer.get(address(version)), "#w1-caption ~ tbody tr")
    x_mm = version.solution["placements"][0]["x_mm"]
    # Two hooks a quarter of the width from each end; 1500 + 900 / 2 - 60 high.
    hooks = f"{x_mm + 400} / {x_mm + 1200}"
    assert [words(cell) for cell in row][1:] == [
        "1904.1 Map",
        "900 × 1600 × 30 framed, measured",
        "21.0",
        str(x_mm),
        hooks,
        "1890",
        str(8_000 - x_mm - 1600 - 190),
        "≤ 150 here 50",
        "two people",
        "mercury",
    ]


def test_pieces_show_their_pictures(designer, scene):
    picture = Picture.objects.create(
        object=scene.entries[0].object, small="s.jpg", width_px=90, height_px=120
    )
    page = designer.get(address(scene.compute()))
    assert [image.get("href") for image in select(page, "svg.elevation image")] == [
        reverse("register:picture", args=[picture.pk, "small"])
    ]


def test_fragment_is_the_walls_at_another_size(designer, version):
    whole = designer.get(address(version))
    fragment = designer.get(address(version, query="?zoom=300"), **HTMX)
    assert select(fragment, "h1") == []
    assert [part.get("id") for part in select(fragment, "body > div, div > div[id]")] == ["walls"]
    assert words(select(fragment, ".zoom [aria-current]")[0]) == "close"
    widths = [select(page, "svg.elevation")[0].get("width") for page in (whole, fragment)]
    # 8 m of wall at 100 and 300 pixels a metre, and 94 pixels beside it for figures.
    assert widths == ["894", "2494"]
    assert fragment["Vary"].split(", ").count("HX-Request") == 1


def test_zoom_that_is_not_offered_is_the_usual_one(designer, version):
    page = designer.get(address(version, query="?zoom=1e9"))
    assert words(select(page, ".zoom [aria-current]")[0]) == "middle"


def test_version_query_count_is_equal_at_1_and_30_pieces(
    designer, empty_scene, django_assert_num_queries
):
    empty_scene.wall.length_mm = 36_000
    empty_scene.wall.save()
    for more in (1, 29):
        for _ in range(more):
            empty_scene.add(f"1904.{len(empty_scene.entries) + 1}")
        version = empty_scene.compute()
        with django_assert_num_queries(17):
            page = designer.get(address(version))
    assert len(select(page, "#w1-caption ~ tbody tr")) == 30


def test_long_hang_is_shown_whole_with_links_to_its_walls(designer, scene):
    scene.hang.walls.add(WallFactory(room=scene.wall.room, name="Side wall", length_mm=20_000))
    version = scene.compute()
    links = [link.get("href") for link in select(designer.get(address(version)), ".overview a")]
    assert links == ["#w1", "#w2"]
    assert select(designer.get(address(version)), "#w1, #w2") != []
    hang = designer.get(reverse("hangs:hang", args=[scene.hang.pk]))
    assert [link.get("href") for link in select(hang, ".overview a")] == [
        f"{address(version)}#w1",
        f"{address(version)}#w2",
    ]


def test_short_hang_has_no_strip(designer, version):
    assert select(designer.get(address(version)), ".overview") == []


def test_infeasible_version_says_why_and_what_would_help(designer, scene):
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=8_000, lux=150)
    type(scene.entries[0].object).objects.filter(number="1904.1").update(max_lux=50)
    page = designer.get(address(scene.compute()))
    assert words(select(page, ".list-head p")[0]) == "infeasible No hang keeps every demand."
    first = select(page, "[aria-labelledby=conflicts] li")[0]
    assert words(first).startswith(
        "1904.1 bears 50 lx; the darkest stretch of Main wall has 150 lx. What would help"
    )
    assert words(first).count("50 lx") > 2
    assert select(page, "svg.elevation, #sheets, form[action$='/accept/']") == []


def test_many_reasons_are_folded_but_all_there(designer, scene):
    conflicts = [
        {"rule": "height", "pieces": [], "walls": [], "sentence": f"Reason {n}."} for n in range(7)
    ]
    version = actions.save_version(
        hang=scene.hang,
        problem=scene.compute().problem,
        solution={"status": "infeasible", "conflicts": conflicts, "placements": []},
        captions={},
        by=scene.by,
    )
    page = designer.get(address(version))
    reasons = select(page, "[aria-labelledby=conflicts] li")
    assert [words(reason) for reason in reasons] == [f"Reason {n}." for n in range(7)]
    assert words(select(page, "[aria-labelledby=conflicts] summary")[0]) == "And 3 more"


def test_infeasible_version_has_no_sheets(designer, scene):
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=8_000, lux=150)
    type(scene.entries[0].object).objects.update(max_lux=50)
    version = scene.compute()
    names = ("schedule_pdf", "schedule_xlsx", "elevation_pdf", "elevation_svg")
    assert [designer.get(address(version, name)).status_code for name in names] == [404] * 4


def test_search_given_up_is_not_called_proved(designer, scene):
    conflict = {"rule": "not_found", "pieces": [], "walls": [], "sentence": "None was found."}
    version = actions.save_version(
        hang=scene.hang,
        problem=scene.compute().problem,
        solution={"status": "infeasible", "conflicts": [conflict], "placements": []},
        captions={},
        by=scene.by,
    )
    page = designer.get(address(version))
    assert words(select(page, ".list-head p")[0]) == (
        "not found No hang was found in the time given; that there is none is not proved."
    )
    assert words(select(page, "#conflicts")[0]) == "Nothing was found"


def test_ripple_says_each_reason_and_offers_to_move_little(designer, scene, version):
    scene.measure(scene.entries[0], width_mm=314, height_mm=400, mass_g=2500)
    scene.entries[1].object.max_lux = 50
    scene.entries[1].object.save()
    gone = scene.entries[2]
    gone.stage, gone.reason = ListEntry.Stage.WITHDRAWN, "too fragile"
    gone.save()
    page = designer.get(address(version))
    assert [words(row) for row in select(page, "[aria-labelledby=out-of-date] li")] == [
        "1904.3 was withdrawn: too fragile.",
        "1904.1 is now 314 mm wide, was 300.",
        "1904.2 is now limited to 50 lx.",
    ]
    buttons = [words(b) for b in select(page, "[aria-labelledby=out-of-date] button")]
    assert buttons == ["Compute again, moving as little as possible", "Compute afresh"]
    assert select(page, "form[action$='/accept/']") == []


def test_computing_again_moves_little_and_tells_what(designer, scene, version):
    scene.measure(scene.entries[-1], width_mm=384, height_mm=300, mass_g=2500)
    designer.post(reverse("hangs:compute", args=[scene.hang.pk]), {"keep": "yes"})
    runner.run_waiting()
    again = HangVersion.objects.get(number=2)
    page = designer.get(address(again))
    assert select(page, "#out-of-date") == []
    told = select(page, "#moved-caption ~ tbody tr")
    before, now = (
        {place["id"]: (place["x_mm"], place["hook_mm"]) for place in row.solution["placements"]}
        for row in (version, again)
    )
    assert {words(row[0]) for row in told} == {n for n in now if now[n] != before[n]}
    assert all(abs(now[n][0] - before[n][0]) <= 4 for n in now)


def test_comparing_with_a_chosen_version(designer, scene, version):
    scene.hang.datum_mm = 1_600
    scene.hang.save()
    scene.compute()
    third = scene.compute()
    page = designer.get(address(third))
    assert words(select(page, "[aria-labelledby=moved]")[0]) == (
        "Against version 2 Every object hangs where it hung in version 2."
    )
    links = [link.get("href") for link in select(page, "#versions-caption ~ tbody td a")]
    assert links == ["?against=2#moved", "?against=1#moved"]
    page = designer.get(address(third, query="?against=1"))
    assert words(select(page, "[aria-labelledby=moved] summary")[0]) == "4 objects hang elsewhere"


@pytest.mark.parametrize("against", ["7", "-1", "9" * 5_000, "²", "x"])
def test_comparing_with_no_such_version_takes_the_one_before(designer, scene, version, against):
    again = scene.compute()
    page = designer.get(address(again, query=f"?against={against}"))
    assert words(select(page, "#moved")[0]) == "Against version 1"


def test_accept_and_undo(designer, version):
    page = designer.post(address(version, "accept"), follow=True)
    assert page.redirect_chain == [(address(version), 302)]
    states = [words(state) for state in select(page, ".list-head .state")]
    assert states == ["optimal", "accepted"]
    (undo,) = select(page, "#messages form")
    designer.post(undo.get("action"))
    version.refresh_from_db()
    assert (version.accepted_at, version.accepted_by) == (None, None)


def test_accept_of_what_is_out_of_date_says_why(designer, scene, version):
    scene.measure(scene.entries[0], width_mm=312, height_mm=400, mass_g=2500)
    page = designer.post(address(version, "accept"), follow=True)
    assert words(select(page, "#messages")[0]) == (
        "Gallery, version 1 is out of date: 1904.1 is now 312 mm wide, was 300. Compute the hang "
        "again."
    )
    version.refresh_from_db()
    assert version.accepted_at is None


def test_cancelled_job_leaves_no_version(designer, scene):
    designer.post(reverse("hangs:compute", args=[scene.hang.pk]))
    job = Job.objects.get()
    designer.post(reverse("jobs:cancel", args=[job.pk]))
    runner.run_waiting()
    job.refresh_from_db()
    assert (job.state, HangVersion.objects.count()) == (Job.State.CANCELLED, 0)


def test_door_is_drawn_and_nothing_hangs_over_it(designer, scene):
    BlockedArea.objects.create(
        wall=scene.wall, what="door", x_mm=3_000, width_mm=1_200, height_mm=2_100
    )
    version = scene.compute()
    page = designer.get(address(version))
    (door,) = select(page, "svg.elevation rect.blocked")
    assert (door.get("x"), door.get("width")) == ("3000", "1200")
    for piece in select(page, "svg.elevation rect.piece"):
        left, width = int(piece.get("x")), int(piece.get("width"))
        assert left + width <= 3_000 or left >= 4_200
