"""What an arrangement of showcases answers."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from layouts.cases.problem import plain

CAUTIONS = (
    "Loads on cases, shelves and floors are compared with the limits given, and nothing is "
    "certified: local codes and licensed practice decide what a shelf, a case and a floor carry.",
    "Glass breaks, and objects fall: handling, lifting and opening cases need trained people and a "
    "plan of their own.",
)


@dataclass(frozen=True)
class Place:
    """Where an object stands: its left front lower corner inside its case, in mm."""

    id: str
    case: str
    shelf: int
    x_mm: int
    y_mm: int
    turned: bool = False


@dataclass(frozen=True)
class Level:
    """A surface in use: its number (0 the floor) and the height of its top above the floor."""

    shelf: int
    z_mm: int


@dataclass(frozen=True)
class UsedCase:
    """A case in use, as it is set; cases come in the order in which they stand in the room."""

    id: str
    kind: str
    levels: tuple[Level, ...]
    lux: int | None = None
    low_percent: int | None = None
    high_percent: int | None = None


@dataclass(frozen=True)
class Hidden:
    """An object of whose front a share is hidden from an eye at a height, in percent."""

    id: str
    eye_mm: int
    percent: int
    behind: tuple[str, ...]


@dataclass(frozen=True)
class Measures:
    """How good the answer is.

    `breaks` counts interruptions of sections along the cases, `out_of_order` pairs of neighbouring
    cases whose sections run backwards, `use_spread_percent` the fullest case's share of surface in
    use less the emptiest one's (of cases of one kind), `uneven_lines` surfaces where objects stand
    on no common line, `hidden` objects of which more than a tenth is hidden from some eye, `moved`
    objects that changed case against the previous answer.
    """

    cost: int = 0
    cases: int = 0
    breaks: int = 0
    out_of_order: int = 0
    use_spread_percent: int = 0
    uneven_lines: int = 0
    hidden: int = 0
    moved: int = 0


@dataclass(frozen=True)
class Reason:
    """Demands that cannot hold together, in a sentence, and the least that would help.

    `relaxed` says whether the relaxation was solved and verified with all other demands kept.
    """

    rule: str
    objects: tuple[str, ...]
    sentence: str
    relaxation: str = ""
    relaxed: bool = False


@dataclass(frozen=True)
class Offer:
    """What another number of moves would buy: cost and cases."""

    moves: int
    cost: int
    cases: int


@dataclass(frozen=True)
class CasesAnswer:
    """`status` is optimal (least cost and fewest cases proved), feasible, infeasible, unknown or
    invalid. `cut_short` says that the clock, not the work allowed, ended the search: such an answer
    may differ when asked again.
    """

    status: str
    places: tuple[Place, ...] = ()
    cases: tuple[UsedCase, ...] = ()
    measures: Measures = Measures()
    bound_cost: int = 0
    bound_cases: int = 0
    hidden: tuple[Hidden, ...] = ()
    unplaced: tuple[str, ...] = ()
    reasons: tuple[Reason, ...] = ()
    offers: tuple[Offer, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    cut_short: bool = False
    seconds: float = 0.0
    seed: int = 0

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract."""
        data: dict[str, Any] = plain(asdict(self))
        return data

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> CasesAnswer:
        """Read what `to_dict` wrote; raises KeyError or TypeError for anything else."""
        rows = {
            "places": tuple(Place(**row) for row in data.get("places", [])),
            "cases": tuple(
                UsedCase(**{**row, "levels": tuple(Level(**one) for one in row["levels"])})
                for row in data.get("cases", [])
            ),
            "measures": Measures(**data.get("measures", {})),
            "hidden": tuple(
                Hidden(**{**row, "behind": tuple(row["behind"])}) for row in data.get("hidden", [])
            ),
            "unplaced": tuple(data.get("unplaced", [])),
            "reasons": tuple(
                Reason(**{**row, "objects": tuple(row["objects"])})
                for row in data.get("reasons", [])
            ),
            "offers": tuple(Offer(**row) for row in data.get("offers", [])),
            "cautions": tuple(data.get("cautions", CAUTIONS)),
        }
        return cls(**{**data, **rows})
