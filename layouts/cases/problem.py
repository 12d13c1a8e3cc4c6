"""What showcases are asked to hold. Lengths in whole mm, masses in g, light in lx, RH in %.

Inside a case x runs from its left side as one faces it, y from the inside of its front to the back,
z from its floor upwards. Surface 0 is the floor, 1 the lowest shelf, and so on.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

SIDES = ("front", "left", "right", "back", "top")
LINES = ("front", "centre")
SPREADS = ("even", "symmetrical")
# Mean eye heights of standing and of seated visitors: 63.45 in and 47.45 in, a US consent order of
# 1995 as quoted by a secondary page.
STANDING_EYE_MM, SEATED_EYE_MM = 1612, 1205


@dataclass(frozen=True)
class Climate:
    """A band of relative humidity, both ends counted; 0 ≤ low ≤ high ≤ 100."""

    low_percent: int
    high_percent: int

    def within(self, other: Climate) -> bool:
        return other.low_percent <= self.low_percent and self.high_percent <= other.high_percent

    def __str__(self) -> str:
        return f"{self.low_percent}–{self.high_percent} % RH"


@dataclass(frozen=True)
class Shelf:
    """A shelf that stands against the back and may be taken out.

    Its top lies `lowest_mm` to `highest_mm` above the case's floor, in steps of `step_mm`; `max_g`
    is its working load, None means no limit is known.
    """

    depth_mm: int
    lowest_mm: int
    highest_mm: int
    step_mm: int = 1
    thickness_mm: int = 8
    max_g: int | None = None
    opaque: bool = False


@dataclass(frozen=True)
class Kind:
    """A kind of showcase: `count` of them, each at `cost` (own ones 0), with its inner size.

    `lux` and `climates` list what each case of the kind can be set to; an empty `lux` sets no
    limit, empty `climates` keep no band. `security` counts upwards; `floor_mm` is the height of the
    floor inside above the room's floor. `max_g` limits the load of the whole case.
    """

    id: str
    count: int
    width_mm: int
    depth_mm: int
    height_mm: int
    cost: int = 0
    floor_mm: int = 900
    shelves: tuple[Shelf, ...] = ()
    lux: tuple[int, ...] = ()
    climates: tuple[Climate, ...] = ()
    security: int = 0
    glazed: tuple[str, ...] = ("front", "left", "right", "top")
    max_g: int | None = None

    def case_id(self, number: int) -> str:
        return f"{self.id}-{number + 1}"


@dataclass(frozen=True)
class Thing:
    """An object as a box with what it bears; `turns` allows a quarter turn about the vertical.

    `case`, `shelf` and `x_mm` with `y_mm` (and `turned`) fix where it stands.
    """

    id: str
    width_mm: int
    depth_mm: int
    height_mm: int
    mass_g: int = 0
    turns: bool = True
    max_lux: int | None = None
    min_lux: int | None = None
    climate: Climate | None = None
    security: int = 0
    tags: tuple[str, ...] = ()
    section: str | None = None
    case: str | None = None
    shelf: int | None = None
    x_mm: int | None = None
    y_mm: int | None = None
    turned: bool = False

    def footprint_mm(self, turned: bool) -> tuple[int, int]:
        """Return width and depth as it stands."""
        if turned:
            return self.depth_mm, self.width_mm
        return self.width_mm, self.depth_mm


@dataclass(frozen=True)
class Rule:
    """Two tags, or two objects, that must not share a case, and why."""

    tags: tuple[str, ...] = ()
    objects: tuple[str, ...] = ()
    reason: str = ""

    def __str__(self) -> str:
        return " and ".join(self.tags or self.objects)


@dataclass(frozen=True)
class Clearances:
    """Room kept free between objects, to glazed sides, and above each object."""

    between_mm: int = 30
    glass_mm: int = 20
    above_mm: int = 40


@dataclass(frozen=True)
class Display:
    """How objects stand on a surface, and how deep a strip for labels stays free in front."""

    line: str = "front"
    spread: str = "even"
    label_strip_mm: int = 0


@dataclass(frozen=True)
class Viewing:
    """From where one looks: eyes at heights above the room's floor, so far before the front."""

    distance_mm: int = 600
    eyes_mm: tuple[int, ...] = (STANDING_EYE_MM, SEATED_EYE_MM)


@dataclass(frozen=True)
class CasesProblem:
    """Showcases, objects, what must not share a case, and how they should stand."""

    kinds: tuple[Kind, ...]
    objects: tuple[Thing, ...]
    conflicts: tuple[Rule, ...] = ()
    together: tuple[tuple[str, ...], ...] = ()
    sections: tuple[str, ...] = ()
    clearances: Clearances = Clearances()
    display: Display = Display()
    viewing: Viewing = Viewing()
    previous: dict[str, Any] | None = None
    moves_at_most: int | None = None

    @classmethod
    def from_dict(cls, data: Any) -> CasesProblem:
        """Read the JSON contract; raises InvalidCases naming every field that is wrong."""
        from layouts.cases.reading import read_cases

        return read_cases(data)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract: lists for tuples, nothing else changed."""
        data: dict[str, Any] = plain(asdict(self))
        return data

    @property
    def case_ids(self) -> list[str]:
        """Return the names of all cases there are, in the order of their kinds."""
        return [kind.case_id(n) for kind in self.kinds for n in range(kind.count)]


def plain(value: Any) -> Any:
    """Return lists for tuples, at every depth, as JSON has them."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return value


class InvalidCases(ValueError):  # noqa: N818
    """The input cannot be read; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults
