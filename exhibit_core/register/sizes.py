"""Choose the best known size of an object for hanging."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol


class Record(Protocol):
    """What a size needs of a measurement; lengths in mm, mass in g."""

    pk: int
    state: str
    basis: str
    withdrawn: bool
    height_mm: int | None
    width_mm: int | None
    depth_mm: int | None
    diameter_mm: int | None
    mass_g: int | None
    hang_point_mm: int | None


@dataclass(frozen=True)
class BestSize:
    """The size that a hang uses, and in words where it comes from."""

    height_mm: int
    width_mm: int
    depth_mm: int
    mass_g: int | None
    hang_point_mm: int | None
    state: str
    basis: str
    mass_basis: str

    @property
    def source(self) -> str:
        """Say which record the size was taken from."""
        return f"{self.state}, {self.basis}"


_OUTERMOST = {"mounted": 3, "framed": 2, "bare": 1}


def best_size(records: Iterable[Record]) -> BestSize | None:
    """Return the outermost size known, measured before stated, the latest before earlier ones.

    Parts and crates never count. A diameter stands for both height and width. Returns None when
    no record gives height and width.
    """
    ranked = sorted(
        (r for r in records if not r.withdrawn and r.state in _OUTERMOST),
        key=lambda r: (_OUTERMOST[r.state], r.basis == "measured", r.pk),
        reverse=True,
    )
    sized = next((r for r in ranked if _height(r) and _width(r)), None)
    if sized is None:
        return None
    weighed = next((r for r in ranked if r.mass_g), None)
    hung = sized if sized.hang_point_mm is not None else None
    return BestSize(
        height_mm=_height(sized),
        width_mm=_width(sized),
        depth_mm=sized.depth_mm or next((r.depth_mm for r in ranked if r.depth_mm), 0),
        mass_g=weighed.mass_g if weighed else None,
        hang_point_mm=hung.hang_point_mm if hung else None,
        state=sized.state,
        basis=sized.basis,
        mass_basis=f"{weighed.state}, {weighed.basis}" if weighed else "",
    )


def _height(record: Record) -> int:
    return record.height_mm or record.diameter_mm or 0


def _width(record: Record) -> int:
    return record.width_mm or record.diameter_mm or 0
