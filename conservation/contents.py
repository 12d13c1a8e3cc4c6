"""What stands in a showcase and what it is made of; what there is to heed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from conservation.intervals import Interval
from conservation.ranges import ConservationError
from conservation.tables import Source

MOST_THINGS = 500


class InvalidCase(ConservationError):  # noqa: N818
    """A case's contents cannot be judged; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = tuple(faults)


@dataclass(frozen=True)
class MaterialTest:
    """An accelerated corrosion test: letters for each coupon, when, and of which batch."""

    ratings: dict[str, str]
    tested_on: date | None = None
    batch: str = ""


@dataclass(frozen=True)
class CaseMaterial:
    """A material of the case; `applied_on` is when a coating or sealant went on."""

    name: str
    batch: str = ""
    test: MaterialTest | None = None
    applied_on: date | None = None


@dataclass(frozen=True)
class CaseObject:
    """An object in the case; `rh_percent` is its own band, else its materials' bands count.

    `touches` names the case materials and objects that it lies against.
    """

    id: str
    materials: tuple[str, ...]
    rh_percent: Interval | None = None
    touches: tuple[str, ...] = ()


@dataclass(frozen=True)
class Finding:
    """One thing to heed: its kind, who, whom, by what, a sentence and the source.

    Kinds: harm, answered (a valid test speaks against the harm), rating, untested, old, batch,
    drying, climate, unknown, silent. `rule` is the id of the row behind it.
    """

    kind: str
    by: str
    to: str
    what: str
    sentence: str
    source: Source | None = None
    rule: str = ""
