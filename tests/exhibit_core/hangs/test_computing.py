"""Computing a hang: as long work, verified, kept; or the reason why there is none."""

from dataclasses import replace

import pytest

from exhibit_core.hangs import actions
from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.queries import latest_placed
from exhibit_core.history.models import Entry
from exhibit_core.jobs import runner
from exhibit_core.jobs.handlers import JobCancelledError
from exhibit_core.web.errors import RefusedError
from layouts import Problem, Solution, check, solve
from tests.factories import LightZoneFactory

pytestmark = pytest.mark.django_db


def test_answer_is_verified_numbered_and_told(scene):
    first, second = scene.compute(), scene.compute()
    assert (first.number, second.number, first.status) == (1, 2, "optimal")
    problem, solution = Problem.from_dict(first.problem), Solution.from_dict(first.solution)
    assert check(problem, solution) == []
    assert len(solution.placements) == 4
    sentences = list(Entry.objects.order_by("pk").values_list("sentence", flat=True))
    assert sentences == [
        "Computed Gallery, version 1: optimal",
        "Computed Gallery, version 2: optimal",
    ]


def test_gaps_are_the_closed_form(empty_scene):
    """Common practice of hanging, no source: g = (wall - sum of widths) / (n + 1)."""
    empty_scene.hang.label_side = ""
    empty_scene.hang.save()
    empty_scene.wall.length_mm = 6000
    empty_scene.wall.save()
    for n, width in enumerate((800, 1200, 600), 1):
        empty_scene.add(f"A.{n}", width)
    version = empty_scene.compute()
    assert version.solution["runs"][0]["gap_mm"] == 850


def test_hook_height_is_centre_plus_half_the_height_less_the_drop(empty_scene):
    """Worked example of the trade: centre 1500, height 800, drop 65 gives 1835."""
    empty_scene.add("A.1", 600, 800, hang_point_mm=65)
    version = empty_scene.compute()
    assert version.solution["placements"][0]["hook_mm"] == 1835


def test_infeasible_answer_is_kept_with_its_sentences(scene):
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=8000, lux=150)
    type(scene.entries[0].object).objects.filter(number="1904.1").update(max_lux=50)
    version = scene.compute()
    assert (version.status, version.places) == ("infeasible", False)
    assert version.solution["conflicts"][0]["sentence"] == (
        "1904.1 bears 50 lx; the darkest stretch of Main wall has 150 lx."
    )
    with pytest.raises(RefusedError, match="places nothing"):
        actions.accept_version(version=version, by=scene.by)


def test_nothing_to_hang_is_refused(empty_scene):
    with pytest.raises(RefusedError, match="Nothing can hang: select objects"):
        empty_scene.compute()


def test_hang_without_walls_is_refused(scene):
    scene.hang.walls.clear()
    with pytest.raises(RefusedError, match="This hang has no walls"):
        scene.compute()


def test_keep_moves_from_the_latest_answer_that_hangs_something(scene):
    before = scene.compute()
    again = scene.compute(keep=True)
    assert again.problem["previous"] == before.solution
    assert again.solution["placements"] == before.solution["placements"]
    assert again.solution["measures"]["moved"] == 0


def stop(percent, words=""):
    if percent > 1:
        raise JobCancelledError


def until_stopped(found):
    """A search that goes on until it is asked to stop, and then gives what it has."""

    def search(data, *, on_progress, cancelled):
        on_progress(40, "Gaps of 80 to 300 mm found")
        assert cancelled()
        return found(data)

    return search


def test_asked_to_stop_before_anything_is_found_keeps_nothing(scene):
    nothing = until_stopped(lambda data: Solution("infeasible"))
    with pytest.raises(JobCancelledError):
        scene.compute(progress=stop, search=nothing)
    assert HangVersion.objects.count() == 0


def test_asked_to_stop_keeps_the_best_found_so_far(scene):
    found = until_stopped(lambda data: replace(solve(data), status="feasible"))
    version = scene.compute(progress=stop, search=found)
    assert (version.status, version.captions["stopped"]) == ("feasible", True)
    assert len(version.solution["placements"]) == 4


def test_search_tells_how_far_it_is(scene):
    told = []
    scene.compute(progress=lambda percent, words="": told.append((percent, words)))
    assert told[0] == (1, "Reading objects and walls")
    assert all(0 <= percent <= 100 and words for percent, words in told)
    assert len({words for _, words in told}) > 2


def test_job_ends_at_the_version(scene):
    job = actions.ask_for_solution(hang=scene.hang, by=scene.by)
    runner.run_waiting()
    job.refresh_from_db()
    version = latest_placed(scene.hang)
    assert (job.state, job.result["url"]) == ("done", f"/hangs/version/{version.pk}/")
    assert job.words == "Hung, and proved to be as even as it can be."


def test_job_of_someone_who_lost_the_right_is_refused(scene):
    job = actions.ask_for_solution(hang=scene.hang, by=scene.by)
    scene.by.roles = ["curator"]
    scene.by.save()
    runner.run_waiting()
    job.refresh_from_db()
    assert (job.state, HangVersion.objects.count()) == ("failed", 0)
    assert job.words == "Your role does not let you compute and accept hangs."


def test_search_that_ran_out_of_time_is_not_called_infeasible(scene):
    conflict = {"rule": "not_found", "pieces": [], "walls": [], "sentence": "None was found."}
    version = actions.save_version(
        hang=scene.hang,
        problem={"walls": []},
        solution={"status": "infeasible", "conflicts": [conflict], "placements": []},
        captions={},
        by=scene.by,
    )
    assert (version.status, version.places) == ("not_found", False)
    assert Entry.objects.get().sentence == "Computed Gallery, version 1: not found"


def test_nothing_to_hang_names_what_was_left_out(empty_scene):
    empty_scene.hang.kind = "by_section"
    empty_scene.hang.save()
    for number in ("A.1", "A.2"):
        entry = empty_scene.add(number)
        type(entry).objects.filter(pk=entry.pk).update(section=None)
    with pytest.raises(RefusedError) as refusal:
        empty_scene.compute()
    assert str(refusal.value) == (
        "Nothing can hang. A.1: it has no section, and the arrangement is by section: give it "
        "one. 1 more left out too."
    )
