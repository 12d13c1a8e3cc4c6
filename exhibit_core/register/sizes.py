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
    depth_basis: str = ""

    @property
    def source(self) -> str:
        """Say which record height and width were taken from."""
        return f"{self.state}, {self.basis}"

    @property
    def sources(self) -> str:
        """Say which records the size was taken from, the depth too where it is another's."""
        if self.depth_basis in ("", self.source):
            return self.source
        return f"{self.source}; depth {self.depth_basis}"


_OUTERMOST = {"mounted": 3, "framed": 2, "bare": 1}


def best_size(records: Iterable[Record]) -> BestSize | None:
    """Return the outermost size known, measured before stated, the latest recorded first.

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
    deep = next((r for r in (sized, *ranked) if r.depth_mm), None)
    hung = sized if sized.hang_point_mm is not None else None
    return BestSize(
        height_mm=_height(sized),
        width_mm=_width(sized),
        depth_mm=deep.depth_mm if deep else 0,
        mass_g=weighed.mass_g if weighed else None,
        hang_point_mm=hung.hang_point_mm if hung else None,
        state=sized.state,
        basis=sized.basis,
        mass_basis=_basis(weighed),
        depth_basis=_basis(deep),
    )


def compared(before: BestSize | None, after: BestSize | None) -> str:
    """Say what a new record means for hanging; lengths in mm."""
    if after is None:
        return "Height and width are still not both known, so no hang can place it."
    if before is None:
        return f"Hangs use it from now on ({after.source})."
    found = [
        f"{name} {abs(more)} {unit} {'more' if more > 0 else 'less'}"
        for name, unit, more in (
            ("height", "mm", after.height_mm - before.height_mm),
            ("width", "mm", after.width_mm - before.width_mm),
            ("depth", "mm", after.depth_mm - before.depth_mm if before.depth_mm else 0),
            ("weight", "g", (after.mass_g or 0) - before.mass_g if before.mass_g else 0),
        )
        if more
    ]
    if found:
        return f"For hanging that is {', '.join(found)} than known before ({before.source})."
    if after.source != before.source:
        return f"It agrees with what was known before ({before.source})."
    return f"The size for hanging stays as it was ({after.source})."


def _basis(record: Record | None) -> str:
    return f"{record.state}, {record.basis}" if record else ""


def _height(record: Record) -> int:
    return record.height_mm or record.diameter_mm or 0


def _width(record: Record) -> int:
    return record.width_mm or record.diameter_mm or 0
