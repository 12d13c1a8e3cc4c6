"""What a drawing of a showcase is told, and where its parts stand on the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from layouts.cases.answer import CasesAnswer, Place, UsedCase
from layouts.cases.problem import CasesProblem, Kind, Shelf, Thing

LEFT, RIGHT = 9.0, 5.6


@dataclass(frozen=True)
class CaseView:
    """How to draw: `text_mm` is the font size in mm of the case, `name` makes ids differ.

    `links` leads from an object's name to where its reader goes.
    """

    text_mm: float = 22.0
    name: str = "case"
    stylesheet: str = ""
    links: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Standing:
    """An object where it stands: number on the drawing, box in the case."""

    number: int
    thing: Thing
    place: Place
    x_mm: int
    y_mm: int
    z_mm: int
    width_mm: int
    depth_mm: int

    @property
    def top_mm(self) -> int:
        return self.z_mm + self.thing.height_mm


@dataclass(frozen=True)
class CaseDrawing:
    """A case with what stands in it; `hidden` names the largest hidden share in percent."""

    problem: CasesProblem
    case: UsedCase
    kind: Kind
    standing: tuple[Standing, ...]
    hidden: Mapping[str, int] = field(default_factory=dict)

    @classmethod
    def of(cls, problem: CasesProblem, answer: CasesAnswer, case: UsedCase) -> CaseDrawing:
        """Number the objects of a case from below, from the front and from the left."""
        kind = next(kind for kind in problem.kinds if kind.id == case.kind)
        things = {thing.id: thing for thing in problem.objects}
        z_mm = {level.shelf: level.z_mm for level in case.levels}
        here = [place for place in answer.places if place.case == case.id]
        here.sort(key=lambda p: (p.shelf, p.x_mm, p.y_mm))
        standing = []
        for number, place in enumerate(here, 1):
            thing = things[place.id]
            wide, deep = thing.footprint_mm(place.turned)
            z = z_mm[place.shelf]
            standing.append(Standing(number, thing, place, place.x_mm, place.y_mm, z, wide, deep))
        hidden: dict[str, int] = {}
        for row in answer.hidden:
            hidden[row.id] = max(row.percent, hidden.get(row.id, 0))
        return cls(problem, case, kind, tuple(standing), hidden)

    @property
    def shelves(self) -> list[tuple[int, int, Shelf]]:
        """Return number, height of the top in mm, and the shelf, for each shelf in use."""
        return [
            (level.shelf, level.z_mm, self.kind.shelves[level.shelf - 1])
            for level in self.case.levels
            if level.shelf
        ]

    @property
    def surfaces(self) -> list[int]:
        """Return the surfaces in use, the floor first."""
        return [level.shelf for level in self.case.levels]

    def on(self, surface: int) -> list[Standing]:
        """Return what stands on a surface."""
        return [one for one in self.standing if one.place.shelf == surface]

    def settings(self) -> str:
        """Say how the case is set."""
        words = []
        if self.case.lux is not None:
            words.append(f"{self.case.lux} lx")
        if self.case.low_percent is not None:
            words.append(f"{self.case.low_percent}–{self.case.high_percent} % RH")
        if self.kind.security:
            words.append(f"security class {self.kind.security}")
        mass = sum(one.thing.mass_g for one in self.standing) / 1000
        load = f"{mass:.1f} kg"
        if self.kind.max_g is not None:
            load += f" of {self.kind.max_g / 1000:g} kg"
        return " · ".join([*words, load])
