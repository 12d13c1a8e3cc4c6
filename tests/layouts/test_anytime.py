"""A search tells of each better hang, ends when nobody wants it any more, and says what cut it."""

from __future__ import annotations

from layouts import Problem, Solution, check, solve
from layouts.bench.instances import exhibition


def _worth(answer: Solution) -> tuple[int, int]:
    measures = answer.measures
    return measures.smallest_gap_mm, -measures.gap_spread_mm


def test_each_hang_told_of_is_right_and_better() -> None:
    problem = Problem.from_dict(exhibition(120, 8, 9, planted=False))
    told: list[Solution] = []
    answer = solve(problem, on_better=told.append)
    assert len(told) > 1
    assert all(not check(problem, better) for better in told)
    worths = [_worth(better) for better in told]
    assert worths == sorted(worths)
    assert _worth(answer) >= worths[-1]
    assert answer.stopped == ""


def test_progress_says_how_wide_gaps_are_so_far() -> None:
    told: list[tuple[int, str]] = []
    problem = exhibition(120, 8, 9, planted=False)
    solve(problem, on_progress=lambda percent, words: told.append((percent, words)))
    percents = [percent for percent, _ in told]
    assert percents == sorted(percents)
    assert any(words.startswith("Gaps of ") for _, words in told)


def test_the_best_known_is_kept_when_nobody_waits_any_more() -> None:
    problem = Problem.from_dict(exhibition(120, 8, 9, planted=False))
    told: list[Solution] = []
    answer = solve(problem, on_better=told.append, cancelled=lambda: bool(told))
    assert answer.status == "feasible"
    assert answer.stopped == "cancelled"
    assert not check(problem, answer)
    assert _worth(answer) >= _worth(told[0])


def test_an_answer_says_that_the_clock_cut_it_short() -> None:
    answer = solve(exhibition(120, 8, 4, planted=False, kind="even"), seconds=0.001)
    assert answer.status != "optimal"
    assert answer.stopped == "clock"
