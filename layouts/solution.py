"""What a hang answers."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True)
class Placement:
    """Where a piece hangs: its left and bottom edge, and the height of its hook, in mm."""

    id: str
    wall: str
    x_mm: int
    y_mm: int
    row: int
    hook_mm: int


@dataclass(frozen=True)
class Run:
    """A clear stretch of wall, for one of its rows from the top, with the gap it got.

    The gap is None where nothing hangs.
    """

    wall: str
    from_mm: int
    to_mm: int
    gap_mm: int | None
    row: int = 0


@dataclass(frozen=True)
class Measures:
    """How good the answer is; distances in mm.

    `gap_spread_mm` is the largest gap less the smallest over all runs, `run_spread_mm` the largest
    such difference within any one run or group, `mirror_error_mm` the sum of differences in width
    of what faces each other, labels beside counted, `balance_offset_mm` the largest offset of a
    run's area-weighted centre from its middle. Against the previous answer, `moved` counts the
    pieces that hang elsewhere, `relocated` those of them that change run or order, and `moved_mm`
    is how far all go together. `relation_cost_mm` is the sum, over pieces that belong near each
    other, of weight times the distance between their centres along the walls, which count as if
    they stood end to end.
    """

    gap_spread_mm: int = 0
    smallest_gap_mm: int = 0
    mirror_error_mm: int = 0
    balance_offset_mm: int = 0
    moved: int = 0
    relocated: int = 0
    moved_mm: int = 0
    relation_cost_mm: float = 0
    run_spread_mm: int = 0


@dataclass(frozen=True)
class Move:
    """A piece that hung elsewhere before: from which wall and left edge to which, in mm.

    `by_mm` is how far it goes along the walls, which count as if they stood end to end;
    `relocated` tells those that change run or order from those that only shift.
    """

    id: str
    from_wall: str
    from_x_mm: int
    to_wall: str
    to_x_mm: int
    by_mm: int = 0
    relocated: bool = False


@dataclass(frozen=True)
class Relaxation:
    """What would make a hang possible: a demand that gives way by an amount, in a sentence.

    `pieces`, `walls` and `number` say which demand of its kind it is. The hang with it, and with
    what is `also` needed, was solved and verified; `words` say the one, `sentence` says all.
    `exact` means that one unit less is proved too little; otherwise less may do. Units are mm, lx,
    lx h, h, g, g/m, pieces, or none for what is given up.
    """

    demand: str
    pieces: tuple[str, ...]
    walls: tuple[str, ...]
    number: int
    amount: int
    unit: str
    sentence: str
    exact: bool
    also: tuple[Relaxation, ...] = ()
    words: str = ""

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Relaxation:
        lists = {"pieces": tuple(data["pieces"]), "walls": tuple(data["walls"])}
        also = tuple(cls.from_dict(row) for row in data.get("also", []))
        return cls(**{**data, **lists, "also": also})


@dataclass(frozen=True)
class Conflict:
    """Demands that cannot hold together: in a sentence, with what would make it work.

    `demands` is a smallest set in words: without any of them the others can hold. Each of
    `relaxations` is enough.
    """

    rule: str
    pieces: tuple[str, ...]
    walls: tuple[str, ...]
    sentence: str
    relaxation: str = ""
    amount: int = 0
    demands: tuple[str, ...] = ()
    relaxations: tuple[Relaxation, ...] = ()

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Conflict:
        lists = {name: tuple(data.get(name, [])) for name in ("pieces", "walls", "demands")}
        ways = tuple(Relaxation.from_dict(row) for row in data.get("relaxations", []))
        return cls(**{**data, **lists, "relaxations": ways})


@dataclass(frozen=True)
class Solution:
    """`status` is optimal (proved), feasible (with its bound), infeasible or invalid.

    `stopped` names what cut a search short, "clock" or "cancelled"; only then may another run give
    another answer.
    """

    status: str
    placements: tuple[Placement, ...] = ()
    runs: tuple[Run, ...] = ()
    measures: Measures = Measures()
    bound: dict[str, float] = field(default_factory=dict)
    unplaced: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    moves: tuple[Move, ...] = ()
    seconds: float = 0.0
    seed: int = 0
    stopped: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract."""
        data = asdict(self)
        return {
            key: list(value) if isinstance(value, tuple) else value for key, value in data.items()
        }

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Solution:
        return cls(
            status=data["status"],
            placements=tuple(Placement(**row) for row in data.get("placements", [])),
            runs=tuple(Run(**row) for row in data.get("runs", [])),
            measures=Measures(**data.get("measures", {})),
            bound=dict(data.get("bound", {})),
            unplaced=tuple(data.get("unplaced", [])),
            conflicts=tuple(Conflict.from_dict(row) for row in data.get("conflicts", [])),
            moves=tuple(Move(**row) for row in data.get("moves", [])),
            seconds=data.get("seconds", 0.0),
            seed=data.get("seed", 0),
            stopped=data.get("stopped", ""),
        )
