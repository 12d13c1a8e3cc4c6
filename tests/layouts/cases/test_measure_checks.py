"""What an answer says of itself is verified by another method, and planted untruths are caught."""

from dataclasses import replace

import pytest
from hypothesis import given

from layouts.cases import CasesProblem, check_cases, solve_cases
from layouts.cases.shadows import TOLERANCE_PERCENT, Block, Eye, shares
from layouts.cases.sight import hidden_shares
from tests.layouts.cases.examples import few
from tests.layouts.cases.problems import kind, problem, thing
from tests.layouts.cases.test_sight import by_rays, scenes


@pytest.fixture(scope="module")
def told():
    """Two fixed objects, the low one behind the tall one, and three sections over two cases."""
    fixed = {"case": "case-1", "shelf": 0, "turns": False}
    asked = problem(
        [kind(count=3)],
        [
            thing("tall", 300, 100, 500, x_mm=400, y_mm=40, section="1", **fixed),
            thing("low", 260, 100, 200, x_mm=420, y_mm=300, section="1", **fixed),
            thing("far", 700, 400, 100, section="2", tags=["a"]),
            thing("near", 300, 100, 100, section="2", tags=["b"]),
        ],
        conflicts=[{"tags": ["a", "b"]}],
        sections=["1", "2"],
    )
    task = CasesProblem.from_dict(asked)
    answer = solve_cases(task)
    assert check_cases(task, answer) == []
    assert [(row.id, row.eye_mm, row.behind) for row in answer.hidden] == [
        ("low", 1612, ("tall",)),
        ("low", 1205, ("tall",)),
    ]
    return task, answer


def hidden(n, **values):
    def change(answer):
        rows = list(answer.hidden)
        rows[n] = replace(rows[n], **values)
        return replace(answer, hidden=tuple(rows))

    return change


def measure(**values):
    return lambda answer: replace(answer, measures=replace(answer.measures, **values))


PLANTS = {
    "a share lessened": ("hidden", lambda a: hidden(1, percent=a.hidden[1].percent - 6)(a)),
    "a share raised": ("hidden", lambda a: hidden(0, percent=a.hidden[0].percent + 6)(a)),
    "a share kept silent": ("hidden", lambda a: replace(a, hidden=a.hidden[1:])),
    "all shares kept silent": ("hidden", lambda a: replace(a, hidden=())),
    "a share told twice": ("hidden", lambda a: replace(a, hidden=(*a.hidden, a.hidden[0]))),
    "a share of what is in full view": ("hidden", hidden(0, id="tall")),
    "a share of a stranger": ("hidden", hidden(0, id="Z")),
    "an eye that nobody asked about": ("hidden", hidden(0, eye_mm=1400)),
    "the wrong one in front": ("hidden", hidden(0, behind=("near",))),
    "nobody in front": ("hidden", hidden(0, behind=())),
    "fewer hidden": ("measure", measure(hidden=0)),
    "a break": ("measure", measure(breaks=1)),
    "a step back": ("measure", measure(out_of_order=1)),
    "evener use": ("measure", lambda a: measure(
        use_spread_percent=a.measures.use_spread_percent - 2)(a)),
    "an uneven line": ("measure", lambda a: measure(
        uneven_lines=a.measures.uneven_lines + 1)(a)),
    "proved and not so": ("status", lambda a: replace(a, bound_cases=1)),
    "left out openly and called good": (
        "status", lambda a: replace(a, places=a.places[:-1], unplaced=(a.places[-1].id,))
    ),
    "cautions dropped": ("caution", lambda a: replace(a, cautions=())),
    "one caution dropped": ("caution", lambda a: replace(a, cautions=a.cautions[1:])),
}  # fmt: skip


@pytest.mark.parametrize("name", PLANTS)
def test_planted_untruth_is_caught(told, name):
    task, answer = told
    rule, plant = PLANTS[name]
    assert rule in {fault.rule for fault in check_cases(task, plant(answer))}


def test_section_taken_up_again_is_counted(told):
    """Cases 1, 2, 1 in the row: one break, and one step back."""
    task, answer = told
    section = {"tall": "1", "low": "1", "far": "2", "near": "2"}
    rows = sorted(answer.cases, key=lambda c: section[next(
        p.id for p in answer.places if p.case == c.id)])  # fmt: skip
    turned = replace(answer, cases=tuple(reversed(rows)))
    said = {fault.sentence for fault in check_cases(task, turned)}
    assert any("out_of_order" in words for words in said)


@few(25)
@given(scenes())
def test_shadows_agree_with_rays_and_with_the_measuring(scene):
    target, others, eye_z, distance = scene
    blocks = [Block(s.name, (s.x0, s.x1), (s.y0, s.y1), (s.z0, s.z1)) for s in (target, *others)]
    true, _ = shares(blocks[0], blocks, Eye(distance, eye_z))
    assert true == pytest.approx(by_rays(target, others, eye_z=eye_z, distance=distance), abs=4)
    found = hidden_shares(
        [target, *others], [], eye_mm=1000 + eye_z, floor_mm=1000, distance_mm=distance
    )
    share = next((one.percent for one in found if one.id == "T"), 0)
    assert abs(share - true) <= TOLERANCE_PERCENT


def test_shadow_by_similar_triangles():
    """Eye 600 mm before the glass at the floor's level: what is 100 high at the glass appears 200
    high and twice as wide at 600 mm: half of a front of 400 by 400."""
    target = Block("T", (0, 400), (600, 700), (0, 400))
    block = Block("B", (100, 300), (0, 1), (0, 100))
    percent, alone = shares(target, [target, block], Eye(600, 0))
    assert percent == pytest.approx(50, abs=0.2)
    assert alone == {"B": pytest.approx(percent)}
