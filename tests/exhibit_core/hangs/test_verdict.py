"""What an answer is said to be worth, and what is said to help where there is none."""

import pytest

from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.verdict import Clash, Way, clashes, facts, verdict

MEASURES = {
    "gap_spread_mm": 12,
    "smallest_gap_mm": 1_060,
    "mirror_error_mm": 24,
    "balance_offset_mm": 35,
    "relation_cost_mm": 12_345.5,
    "moved": 3,
    "relocated": 1,
    "moved_mm": 1_230,
}
RUNS = [
    {"wall": "N", "from_mm": 0, "to_mm": 9, "gap_mm": gap, "row": 0} for gap in (1_072, 1_060, None)
]


def answer(kind="even", status="optimal", captions=None, bound=None, **asked):
    solution = {
        "placements": [{}] * 8,
        "runs": RUNS,
        "measures": MEASURES,
        "bound": bound or {},
        "conflicts": [],
    }
    return HangVersion(
        problem={"arrangement": {"kind": kind}, **asked},
        solution=solution,
        status=status,
        captions=captions or {},
    )


def test_proof_says_of_what():
    assert verdict(answer()) == (
        "Proved: no hang that keeps every demand has more even gaps. Over all walls the gaps "
        "differ by 12 mm; the smallest is 1,060 mm."
    )
    assert verdict(answer("related")).startswith(
        "Proved: no hang that keeps every demand brings nearer what belongs together. Over all"
    )
    assert verdict(answer("cluster")) == (
        "Proved: the groups have no blank, and all neighbours hang at one gap. Neighbours hang "
        "1,060 to 1,072 mm apart."
    )


@pytest.mark.parametrize(
    ("kind", "bound", "words"),
    [
        ("even", {"gap_spread_mm": 4}, "is not proved; none brings the difference below 4 mm."),
        ("even", {"gap_spread_mm": 12}, "Whether a more even hang exists is not proved."),
        (
            "related",
            {"relation_cost_mm": 11_000, "gap_spread_mm": 4},
            "The weighted distances of what belongs together sum up to 12,346 mm. Whether what "
            "belongs together could come nearer is not proved; no hang brings that sum below "
            "11,000 mm.",
        ),
        ("cluster", {"gap_spread_mm": 0}, "Whether the groups could be tighter is not proved."),
    ],
)
def test_without_proof_the_bound_is_said_where_it_says_something(kind, bound, words):
    said = verdict(answer(kind, "feasible", bound=bound))
    assert said.startswith("Every demand is kept. ")
    assert said.endswith(words)


def test_least_disturbance_is_what_is_proved_where_it_was_asked():
    kept = {"relocated": 1, "gap_spread_mm": 3}
    assert verdict(answer(bound=kept)).startswith(
        "Proved: no hang that keeps every demand disturbs the one before less. Over all walls"
    )
    assert verdict(answer(status="feasible", bound=kept)).endswith(
        "Whether a hang exists that disturbs the one before less is not proved."
    )


def test_stopped_search_is_said():
    assert verdict(answer(status="feasible", captions={"stopped": True})).startswith(
        "Stopped on request: this was the best until then. Every demand is kept."
    )


def test_what_was_measured_is_said_where_it_counts():
    assert facts(answer()) == [
        ("Gaps", "1,060 to 1,072 mm among 2 stretches; alike to 1 mm along each stretch"),
        ("Balance", "the middle of all areas lies at most 35 mm off that of its stretch"),
    ]
    assert dict(facts(answer("rows")))["Gaps"].endswith(
        "among 2 rows; alike to 1 mm along each row"
    )
    assert dict(facts(answer("mirrored")))["Mirror"] == (
        "widths that face each other differ by 24 mm, summed up"
    )
    related = dict(facts(answer("even", near=[{"pieces": ["A", "B"], "weight": 2}])))
    assert related["Nearness"] == "distances of what belongs together, weighted: 12,346 mm in all"
    assert "Gaps" not in dict(facts(answer("cluster")))
    assert facts(answer(status="infeasible")) == []


def test_what_moved_is_said_against_the_answer_kept():
    assert dict(facts(answer(previous={"placements": []})))["Moved"] == (
        "3 of 8 hang elsewhere than before, 1 of them on another stretch or in another order; "
        "all together by 1,230 mm"
    )


def way(sentence, exact, unit="mm", also=(), demand="gap"):
    asked = {"demand": demand, "sentence": sentence, "exact": exact}
    return {**asked, "unit": unit, "also": list(also)}


def test_each_way_out_says_whether_it_is_the_least_and_what_else_it_needs():
    row = {
        "sentence": "These 2 demands cannot hold together on these walls: A bears 50 lx; B.",
        "demands": ["A bears 50 lx", "gaps are at least 90 mm"],
        "relaxation": "Any one of these is enough.",
        "relaxations": [
            way("Let gaps be 40 mm.", True),
            way("Let A hang brighter.", False, "lx", [way("Take B off.", True, "")], "light"),
            way("Let A and B part.", True, ""),
        ],
    }
    assert clashes([row]) == [
        Clash(
            row["sentence"],
            ("gaps are at least 90 mm",),
            (
                Way("Let gaps be 40 mm.", True, ()),
                Way("Let A hang brighter.", False, ("Take B off.",)),
                Way("Let A and B part.", False, ()),
            ),
            granted=True,
        )
    ]
    row["relaxations"] = row["relaxations"][:1]
    assert clashes([row])[0].granted is False


def test_answers_from_before_ways_were_listed_are_still_read():
    old = {"sentence": "Too long.", "relaxation": "Add wall."}
    assert clashes([old, {"sentence": "None was found."}]) == [
        Clash("Too long.", (), (Way("Add wall.", False, ()),)),
        Clash("None was found.", (), ()),
    ]
