"""The verifier rejects every fault of a list, planted in a right hang of each kind it concerns.

Most are planted to the millimetre, gram or hour: beside each stands the harmless neighbour, which
is not blamed. Some change the hang under its problem, the others the problem under its hang.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.layouts import planting as plant
from tests.layouts.right_hangs import KINDS, ROWED, SINGLE, Hung, right, rules


@dataclass(frozen=True)
class Fault:
    """What is planted, the rule that must be named, and the kinds that it concerns."""

    plant: Callable[..., Hung]
    rule: str
    kinds: tuple[str, ...] = KINDS


FAULTS = (
    Fault(plant.overlap, "overlap"),
    Fault(plant.over_label, "overlap"),
    Fault(plant.bright, "light"),
    Fault(plant.overdose, "dose"),
    Fault(plant.dose_at_border, "dose"),
    Fault(plant.blocked_beside, "blocked"),
    Fault(plant.blocked_above, "blocked"),
    Fault(plant.blocked_label, "blocked"),
    Fault(plant.off_right, "outside"),
    Fault(plant.off_top, "outside"),
    Fault(plant.heavy, "load"),
    Fault(plant.heavy_at_border, "load"),
    Fault(plant.heavy_by_metre, "load_per_metre"),
    Fault(plant.one_between, "together", ROWED),
    Fault(plant.torn_apart, "together"),
    Fault(plant.too_near, "apart"),
    Fault(plant.fixed_x, "fixed"),
    Fault(plant.fixed_y, "fixed"),
    Fault(plant.other_wall, "fixed"),
    Fault(plant.none_of_walls, "fixed"),
    Fault(plant.wall_of_section, "fixed"),
    Fault(plant.swapped_order, "order", ROWED),
    Fault(plant.swapped_sections, "sections", ("by_section",)),
    Fault(plant.interrupted_section, "sections", ("by_section",)),
    Fault(plant.uneven, "uneven", ROWED),
    Fault(plant.shifted, "uneven", ROWED),
    Fault(plant.shifted, "margin", ROWED),
    Fault(plant.over_max, "gap", ROWED),
    Fault(plant.under_min, "gap", ROWED),
    Fault(plant.section_gap, "gap", ("by_section",)),
    Fault(plant.exchanged, "mirror", ("mirrored",)),
    Fault(plant.exchanged, "sizes", ("rise", "centre_high")),
    Fault(plant.hook, "hook"),
    Fault(plant.off_datum, "datum", SINGLE),
    Fault(plant.wall_datum, "datum"),
    Fault(plant.off_line, "line", ("rows",)),
    Fault(plant.stack_up, "datum"),
    Fault(plant.stack_along, "centred", ("cluster",)),
    Fault(plant.row_gap, "row_gap", ("rows",)),
    Fault(plant.row_unknown, "row", ("rows",)),
    Fault(plant.cluster_gap, "gap", ("cluster",)),
    Fault(plant.too_low, "height"),
    Fault(plant.too_high, "height"),
    Fault(plant.missing, "missing"),
    Fault(plant.twice, "twice"),
    Fault(plant.unknown_piece, "unknown"),
    Fault(plant.unknown_wall, "unknown"),
    Fault(plant.run_left_out, "stretch"),
    Fault(plant.run_cut_short, "stretch", ROWED),
)


@pytest.mark.parametrize(
    ("fault", "kind"),
    [
        pytest.param(fault, kind, id=f"{fault.plant.__name__}-{fault.rule}-{kind}")
        for fault in FAULTS
        for kind in fault.kinds
    ],
)
def test_planted_fault_is_named_and_its_harmless_neighbour_is_not(fault, kind):
    hung = right(kind)
    assert fault.rule in rules(fault.plant(hung))
    assert fault.rule not in rules(fault.plant(hung, by=0))
