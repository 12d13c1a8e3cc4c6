"""What a rotation answers."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Stay:
    """An object at a place from one day until the day on which it comes off.

    `first_date` and `last_date` are ISO dates, the last one the last day shown; they are empty
    when the opening has no date.
    """

    object: str
    place: str
    from_day: int
    to_day: int
    first_date: str = ""
    last_date: str = ""


@dataclass(frozen=True)
class Use:
    """What an object receives: days shown, lx h, and the share of its tightest budget, per mille.

    An object without a budget is measured by the share of days on which it is shown.
    """

    object: str
    days: int
    lux_hours: float
    permille: int


@dataclass(frozen=True)
class Measures:
    """How good a plan is.

    `changes` counts the objects put up at changeovers, `effort` weighs them; the first hang counts
    in neither. `peak_use_permille` adds up, over the sets, the use of the most used object.
    """

    changes: int = 0
    effort: int = 0
    peak_use_permille: int = 0


@dataclass(frozen=True)
class Bound:
    """What no plan can undercut; the peak use is that of plans of the least effort."""

    effort: int = 0
    peak_use_permille: int = 0


@dataclass(frozen=True)
class Conflict:
    """Why no plan exists, in a sentence, with the sums behind it where there are any."""

    rule: str
    set: str
    objects: tuple[str, ...]
    places: tuple[str, ...]
    sentence: str
    asked: float | None = None
    there: float | None = None
    unit: str = ""


@dataclass(frozen=True)
class Relaxation:
    """What would make a plan possible; solved and verified with it applied.

    `smallest` says that the next smaller step of the same kind was proved not to be enough.
    """

    rule: str
    set: str
    amount: int
    unit: str
    sentence: str
    smallest: bool


@dataclass(frozen=True)
class Plan:
    """`status` is optimal (proved), feasible (with bound), infeasible, unknown or invalid.

    `gap_percent` is how far the effort may lie above the least possible. `stopped_by_clock` says
    that the safety net of time ended the search, so that a second run may answer otherwise.
    """

    status: str
    stays: tuple[Stay, ...] = ()
    uses: tuple[Use, ...] = ()
    measures: Measures = Measures()
    bound: Bound = Bound()
    gap_percent: float = 0.0
    conflicts: tuple[Conflict, ...] = ()
    relaxations: tuple[Relaxation, ...] = ()
    cautions: tuple[str, ...] = ()
    seconds: float = 0.0
    seed: int = 0
    stopped_by_clock: bool = False

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract."""
        data: dict[str, Any] = _lists(asdict(self))
        return data

    @classmethod
    def from_dict(cls, data: Any) -> Plan:
        """Read a plan; raises ValueError with one sentence when it is not one."""
        try:
            return cls(
                status=str(data["status"]),
                stays=tuple(_stay(row) for row in data.get("stays", [])),
                uses=tuple(Use(**row) for row in data.get("uses", [])),
                measures=Measures(**data.get("measures", {})),
                bound=Bound(**data.get("bound", {})),
                gap_percent=float(data.get("gap_percent", 0.0)),
                conflicts=tuple(Conflict(**_tuples(row)) for row in data.get("conflicts", [])),
                relaxations=tuple(Relaxation(**row) for row in data.get("relaxations", [])),
                cautions=tuple(str(line) for line in data.get("cautions", [])),
                seconds=float(data.get("seconds", 0.0)),
                seed=int(data.get("seed", 0)),
                stopped_by_clock=bool(data.get("stopped_by_clock", False)),
            )
        except (KeyError, TypeError, AttributeError, ValueError) as error:
            raise ValueError(f"This is not a rotation plan: {error}.") from error


def _stay(row: dict[str, Any]) -> Stay:
    stay = Stay(**row)
    for day in (stay.from_day, stay.to_day):
        if isinstance(day, bool) or not isinstance(day, int):
            raise ValueError(f"day {day!r} of {stay.object!r} is no whole number")
    return stay


def _tuples(row: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}


def _lists(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _lists(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_lists(item) for item in value]
    return value
