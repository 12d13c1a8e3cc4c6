"""A small furnished exhibition with a hang on one wall."""

from dataclasses import dataclass, field

import pytest

from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.hangs import computing
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.spaces.models import Wall
from tests.factories import (
    ExhibitionFactory,
    HangFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    RoomFactory,
    SectionFactory,
    WallFactory,
)


@dataclass
class Scene:
    """An exhibition, one wall of its venue, two sections, objects and a hang."""

    exhibition: Exhibition
    wall: Wall
    sections: list[Section]
    hang: Hang
    by: object
    entries: list[ListEntry] = field(default_factory=list)

    def add(self, number: str, width_mm=300, height_mm=400, section=0, **details) -> ListEntry:
        """Put a measured, selected wall object on the list."""
        size = {n: details.pop(n) for n in ("mass_g", "hang_point_mm", "depth_mm") if n in details}
        size = {"mass_g": 2500, "hang_point_mm": 60, **size}
        obj = MuseumObjectFactory(number=number, **details)
        MeasurementFactory(object=obj, width_mm=width_mm, height_mm=height_mm, **size)
        entry = ListEntryFactory(
            exhibition=self.exhibition,
            object=obj,
            section=self.sections[section],
            position=len(self.entries) + 1,
        )
        self.entries.append(entry)
        return entry

    def compute(self, **how) -> HangVersion:
        return computing.compute(hang=self.hang, by=self.by, **how)

    def measure(self, entry: ListEntry, **size) -> None:
        MeasurementFactory(object=entry.object, **{"hang_point_mm": 60, **size})


@pytest.fixture
def empty_scene(make_person):
    exhibition = ExhibitionFactory(title="Reading the Sky")
    room = RoomFactory(venue=exhibition.venue, name="Long Gallery")
    wall = WallFactory(room=room, name="Main wall", length_mm=8_000, height_mm=3_600)
    titles = ("The Weight of the Air", "Naming the Clouds")
    sections = [
        SectionFactory(exhibition=exhibition, number=str(n), title=title, position=n)
        for n, title in enumerate(titles, 1)
    ]
    hang = HangFactory(exhibition=exhibition, title="Gallery", min_gap_mm=50)
    hang.walls.add(wall)
    return Scene(exhibition, wall, sections, hang, make_person("designer"))


@pytest.fixture
def scene(empty_scene):
    """Four objects in two sections."""
    for n, (width, height, section) in enumerate(
        ((300, 400, 0), (120, 970, 0), (500, 420, 1), (380, 300, 1)), 1
    ):
        empty_scene.add(f"1904.{n}", width, height, section, title=f"Study {n}")
    return empty_scene
