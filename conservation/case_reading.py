"""Read a showcase from JSON, and say of every fault which field, which value and what to do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from conservation.contents import CaseMaterial, CaseObject, InvalidCase, MaterialTest
from conservation.intervals import Interval, interval
from conservation.json_reading import JsonReader, short
from conservation.ranges import ConservationError

T = TypeVar("T")
MOST_ROWS = 500
MOST_DAYS = 36_525
FIELDS = {
    "case": (
        "name", "volume_m3", "exchanges_a_day", "closes_on", "days", "years", "room_rh_percent",
        "target_rh_percent", "drift_percent", "buffer", "sources", "objects", "materials", "glass",
    ),
    "buffer": ("kind", "g_per_kg_percent", "mass_kg"),
    "source": ("pollutant", "emission_ug_m2_h", "area_m2", "room_ug_m3"),
    "object": ("id", "materials", "rh_percent", "touches"),
    "material": ("name", "batch", "test", "applied_on"),
    "test": ("ratings", "tested_on", "batch"),
}  # fmt: skip


@dataclass(frozen=True)
class Buffer:
    """What buffers a case: by its kind, or by g/(kg % RH); `mass_kg` is what lies in it, if any."""

    kind: str = ""
    g_per_kg_percent: Interval | None = None
    mass_kg: Interval | None = None


@dataclass(frozen=True)
class Emission:
    """A surface that gives off a pollutant, in ug/(m2 h) over m2; what the room holds in ug/m3."""

    pollutant: str
    emission_ug_m2_h: Interval
    area_m2: Interval
    room_ug_m3: Interval


@dataclass(frozen=True)
class Case:
    """A showcase: its air, what is wished, what it is made of and what stands in it."""

    volume_m3: Interval
    exchanges_a_day: Interval
    closes_on: date
    days: int
    years: float
    name: str = ""
    room_rh_percent: Interval | None = None
    target_rh_percent: Interval | None = None
    drift_percent: Interval | None = None
    buffer: Buffer | None = None
    sources: tuple[Emission, ...] = ()
    objects: tuple[CaseObject, ...] = ()
    materials: tuple[CaseMaterial, ...] = ()
    glass: bool = True

    @classmethod
    def from_dict(cls, data: Any) -> Case:
        """Read the JSON contract; raises InvalidCase naming every field that is wrong."""
        return read_case(data)


class _Reader(JsonReader):
    def attempt(self, make: Callable[[], T], instead: T) -> T:
        try:
            return make()
        except InvalidCase as error:
            self.faults += error.faults
        except ConservationError as error:
            self.faults.append(str(error))
        return instead

    def span(
        self,
        row: dict[str, Any],
        key: str,
        where: str,
        most: float,
        unit: str,
        *,
        above: bool = False,
        optional: bool = False,
    ) -> Any:
        if row.get(key) is None and optional:
            return None
        name = f"{where}.{key}"
        one = Interval(1, 1)
        value = row.get(key)
        if isinstance(value, dict):
            self.faults.append(f"{name} is {short(value)}: give a number or a pair [low, high].")
            return one
        return self.attempt(
            lambda: interval(name, value, 0, most, unit=unit, above=above),  # type: ignore[arg-type]
            one,
        )


def read_case(data: Any) -> Case:
    """Return the case, or raise InvalidCase with every fault found.

    Ranges are those of conservation.showcases; up to 500 rows each. Source: none, a contract.

    >>> read_case({"volume_m3": 1, "exchanges_a_day": [0.1, 0.4], "closes_on": "2027-03-01",
    ...     "days": 90}).exchanges_a_day
    Interval(low=0.1, high=0.4)
    """
    if not isinstance(data, dict):
        raise InvalidCase(["The case must be a JSON object with volume_m3 and exchanges_a_day."])
    read = _Reader()
    read.known(data, FIELDS["case"], "case")
    closes = read.day(data, "closes_on", "case")
    if data.get("closes_on") is None:
        read.faults.append("case.closes_on is missing: give a date like 2027-03-01.")
    days = read.whole(data, "days", "case", 1, MOST_DAYS)
    years = read.span({"years": 10, **data}, "years", "case", 100, "years", above=True)
    case = Case(
        name=read.name(data, "name", "case", optional=True),
        volume_m3=read.span(data, "volume_m3", "case", 100_000, "m3", above=True),
        exchanges_a_day=read.span(data, "exchanges_a_day", "case", 10_000, "1/d", above=True),
        closes_on=closes or date.min,
        days=days,
        years=years.high,
        room_rh_percent=_percent(read, data, "room_rh_percent"),
        target_rh_percent=_percent(read, data, "target_rh_percent"),
        drift_percent=read.span(
            data, "drift_percent", "case", 100, "% RH", above=True, optional=True
        ),
        buffer=_buffer(read, data.get("buffer")),
        sources=tuple(
            _emission(read, row, f"sources[{n}]")
            for n, row in enumerate(read.rows(data, "sources", MOST_ROWS))
        ),
        objects=tuple(
            _object(read, row, f"objects[{n}]")
            for n, row in enumerate(read.rows(data, "objects", MOST_ROWS))
        ),
        materials=tuple(
            _material(read, row, f"materials[{n}]")
            for n, row in enumerate(read.rows(data, "materials", MOST_ROWS))
        ),
        glass=read.flag(data, "glass", "case", True),
    )
    read.once("object", [item.id for item in case.objects])
    read.once("material", [item.name for item in case.materials])
    if read.faults:
        raise InvalidCase(read.faults)
    return case


def _percent(read: _Reader, data: dict[str, Any], key: str) -> Any:
    return read.span(data, key, "case", 100, "% RH", optional=True)


def _buffer(read: _Reader, row: Any) -> Buffer | None:
    if row is None:
        return None
    if not isinstance(row, dict):
        read.faults.append(f"case.buffer is {short(row)}: give a JSON object with kind or figures.")
        return None
    read.known(row, FIELDS["buffer"], "buffer")
    if not row.get("kind") and row.get("g_per_kg_percent") is None:
        read.faults.append("buffer needs kind, or g_per_kg_percent from its maker's sheet.")
    return Buffer(
        read.name(row, "kind", "buffer", optional=True),
        read.span(row, "g_per_kg_percent", "buffer", 100, "g/(kg % RH)", above=True, optional=True),
        read.span(row, "mass_kg", "buffer", 10_000, "kg", above=True, optional=True),
    )


def _emission(read: _Reader, row: dict[str, Any], where: str) -> Emission:
    read.known(row, FIELDS["source"], where)
    return Emission(
        read.name(row, "pollutant", where),
        read.span(row, "emission_ug_m2_h", where, 1e9, "ug/(m2 h)"),
        read.span(row, "area_m2", where, 10_000, "m2"),
        read.span({"room_ug_m3": 0, **row}, "room_ug_m3", where, 1e9, "ug/m3"),
    )


def _object(read: _Reader, row: dict[str, Any], where: str) -> CaseObject:
    read.known(row, FIELDS["object"], where)
    return CaseObject(
        read.name(row, "id", where),
        read.names(row, "materials", where),
        read.span(row, "rh_percent", where, 100, "% RH", optional=True),
        read.names(row, "touches", where),
    )


def _material(read: _Reader, row: dict[str, Any], where: str) -> CaseMaterial:
    read.known(row, FIELDS["material"], where)
    test = row.get("test")
    if test is not None and not isinstance(test, dict):
        read.faults.append(f"{where}.test is {short(test)}: give a JSON object with ratings.")
        test = None
    return CaseMaterial(
        read.name(row, "name", where),
        read.name(row, "batch", where, optional=True),
        None if test is None else _test(read, test, f"{where}.test"),
        read.day(row, "applied_on", where),
    )


def _test(read: _Reader, row: dict[str, Any], where: str) -> MaterialTest:
    from conservation.material_tests import overall_rating

    read.known(row, FIELDS["test"], where)
    ratings = row.get("ratings")
    read.attempt(lambda: overall_rating(ratings), "")  # type: ignore[arg-type]
    return MaterialTest(
        dict(ratings) if isinstance(ratings, dict) else {},
        read.day(row, "tested_on", where),
        read.name(row, "batch", where, optional=True),
    )
