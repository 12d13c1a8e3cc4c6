"""Plans whose answer is known by arithmetic, and what is said when there is none."""

from dataclasses import replace

import pytest

from conservation.rotation import Plan, Problem, check, solve
from tests.bench.rotation import generated
from tests.conservation.rotation.problems import place, rotation, thing


def test_budget_of_a_sensitive_print_allows_37_days_at_50_lx():
    """15,000 lx h a year at 50 lx and 8 h are 37.5 days (CIE 157:2004 class R3, from memory)."""
    yearly = [{"lux_hours": 15_000, "any_days": 365}]
    problem = rotation(
        [thing(name, budgets=yearly) for name in "ABCDEFGHIJ"], [place()], days=370, every_days=37
    )
    plan = solve(problem)
    assert plan.status == "optimal"
    assert plan.measures.changes == 9
    assert {use.lux_hours for use in plan.uses} == {14_800.0}
    assert {use.permille for use in plan.uses} == {987}


def test_least_effort_goes_before_evenness():
    objects = [thing("heavy", effort=5), thing("light"), thing("other", longest_days=30)]
    plan = solve(rotation(objects, [place()]))
    assert (plan.measures.changes, plan.measures.effort) == (0, 0)


def test_evenness_decides_between_plans_of_equal_effort():
    objects = [thing(name, longest_days=60, budgets=[{"lux_hours": 48_000}]) for name in "AB"]
    plan = solve(rotation(objects, [place()]))
    assert plan.measures.changes == 1
    assert [use.days for use in plan.uses] == [60, 60]


def test_dates_are_first_and_last_day_shown():
    objects = [thing(name, longest_days=60) for name in "AB"]
    plan = solve(rotation(objects, [place()], first_day="2027-03-01"))
    assert [(s.first_date, s.last_date) for s in plan.stays] == [
        ("2027-03-01", "2027-04-29"),
        ("2027-04-30", "2027-06-28"),
    ]


def test_same_problem_gives_the_same_plan():
    objects = [
        thing(f"O{n}", longest_days=60, rest_days=30, budgets=[{"lux_hours": 24_000}], effort=n % 3)
        for n in range(9)
    ]
    data = rotation(objects, [place("a"), place("b", 40)], days=240)
    first, second = (replace(solve(data), seconds=0) for _ in range(2))
    assert first == second
    assert Plan.from_dict(first.to_dict()) == first


def test_more_work_is_never_worse():
    data = generated(sets=4, seed=0)
    for rows in ("objects", "places"):
        data[rows] = [row for row in data[rows] if row["set"] == "S0"]
    little, more = solve(data, thorough=0.01), solve(data, thorough=0.3)
    assert more.measures.effort < little.measures.effort
    assert more.bound.effort >= little.bound.effort


def test_sums_say_what_is_short_and_the_least_budget_that_works():
    """Asked: 50 lx × 8 h × 120 d = 48,000 lx h; there: 2 × 20,000."""
    objects = [thing(name, budgets=[{"lux_hours": 20_000}]) for name in "AB"]
    plan = solve(rotation(objects, [place()]))
    assert plan.status == "infeasible"
    (short,) = [c for c in plan.conflicts if c.rule == "budget"]
    assert (short.asked, short.there, short.unit) == (48_000, 40_000, "lx h")
    assert "short by 8,000 lx h" in short.sentence
    found = {r.rule: r for r in plan.relaxations}
    # 60 days each need 24,000 lx h: 20 % more.
    assert (found["budget"].amount, found["budget"].smallest) == (20, True)
    assert (found["light"].amount, found["light"].smallest) == (17, True)  # 83 % of 50 lx: 41 lx
    # 50 days each are one stretch of 30: four stretches need four objects.
    assert (found["objects"].amount, found["objects"].smallest) == (2, True)


def test_relaxation_applied_makes_a_plan_possible():
    """Two steps on and two off leave 6 of the 8 shows asked; one step off leaves 9."""

    def shown(rest_days: int):
        objects = [thing(name, longest_days=60, rest_days=rest_days) for name in "ABC"]
        return solve(rotation(objects, [place("a"), place("b")]))

    plan = shown(60)
    assert plan.status == "infeasible"
    rest = next(r for r in plan.relaxations if r.rule == "rest")
    assert (rest.amount, rest.smallest) == (30, True)
    assert shown(60 - rest.amount).status == "optimal"
    assert shown(60 - rest.amount + 1).status == "infeasible"


def test_tangle_names_demands_when_the_sums_come_out():
    objects = [
        thing("A", longest_days=30, rest_days=60),
        thing("B", away=[{"from_day": 30, "to_day": 90}]),
    ]
    plan = solve(rotation(objects, [place()]))
    assert plan.status == "infeasible"
    assert any("absences" in c.sentence or c.rule in ("days", "objects") for c in plan.conflicts)


def test_too_bright_for_all_is_said_with_the_days():
    plan = solve(rotation([thing("A", max_lux=50)], [place(lux=100)]))
    assert plan.status == "infeasible"
    assert "short by 1" in plan.conflicts[0].sentence
    assert {r.rule: r.amount for r in plan.relaxations}["light"] == 50


def test_sets_do_not_mix():
    data = rotation(
        [thing("A", longest_days=60), thing("B", longest_days=60), {"id": "M", "set": "medals"}],
        [place(), {"id": "case 2", "set": "medals", "lux": 50}],
    )
    plan = solve(data)
    assert {(s.object, s.place) for s in plan.stays if s.object == "M"} == {("M", "case 2")}
    assert check(Problem.from_dict(data), plan) == []


def test_cautions_follow_what_is_handled():
    objects = [
        thing("A", longest_days=60, mass_g=40_000, hazards=["mercury"]),
        thing("B", longest_days=60),
    ]
    plan = solve(rotation(objects, [place(glass=True)]))
    words = " ".join(plan.cautions)
    assert "Glazing" in words
    assert "A: Heavy" in words
    assert "A (mercury)" in words
    assert "common practice, no source" in words
    still = solve(rotation([thing("A")], [place()], changeovers=[], every_days=None))
    assert still.measures.changes == 0


def test_cancelled_search_stops_and_claims_no_proof():
    objects = [thing(f"O{n}", longest_days=60, rest_days=30, effort=n % 3) for n in range(9)]
    data = rotation(objects, [place("a"), place("b", 40)], days=240)
    plan = solve(data, cancelled=lambda: True)
    assert plan.status in ("feasible", "unknown")


@pytest.mark.parametrize("seed", [0, 1])
def test_permuted_objects_cost_the_same(seed):
    objects = [
        thing(f"O{n}", longest_days=30 * (1 + n % 2), rest_days=30, effort=1 + n % 3)
        for n in range(6)
    ]
    one = solve(rotation(objects, [place()], days=180), seed=seed)
    other = solve(rotation(objects[::-1], [place()], days=180), seed=seed)
    assert one.status == other.status == "optimal"
    assert one.measures.effort == other.measures.effort
    assert one.measures.peak_use_permille == other.measures.peak_use_permille
