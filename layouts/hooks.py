"""Where hooks go, what wires pull, and how many hands a piece needs.

Lengths in mm, forces in N, masses in g, angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees, sqrt

TWO_PEOPLE_ABOVE_G = 20_000
TWO_PEOPLE_ABOVE_SIDE_MM = 1_500
TWO_HOOKS_ABOVE_WIDTH_MM = 600
TWO_HOOKS_ABOVE_G = 10_000


def hook_height_mm(*, centre_mm: float, height_mm: float, drop_mm: float) -> float:
    """Return the hook's height from the floor for a piece centred at `centre_mm`.

    `drop_mm` is from the top edge down to the bearing point with the wire taut. Common practice:
    centre + half the height - drop.
    """
    return centre_mm + height_mm / 2 - drop_mm


def wire_rise_mm(*, rings_apart_mm: float, wire_mm: float, hooks_apart_mm: float = 0) -> float:
    """Return how far a taut wire rises above its rings, on one hook or on two level hooks.

    Raises ValueError when the wire is shorter than the way it must bridge.
    """
    if wire_mm < rings_apart_mm or hooks_apart_mm > rings_apart_mm:
        raise ValueError(
            f"A wire of {wire_mm} mm cannot hang from rings {rings_apart_mm} mm apart "
            f"on hooks {hooks_apart_mm} mm apart."
        )
    slope = (wire_mm - hooks_apart_mm) / 2
    reach = (rings_apart_mm - hooks_apart_mm) / 2
    return sqrt(slope**2 - reach**2)


@dataclass(frozen=True)
class Pull:
    """The tension of each half of a wire and its inward pull on the frame."""

    angle_degrees: float
    tension_n: float
    inward_n: float


def wire_pull(*, weight_n: float, rings_apart_mm: float, wire_mm: float) -> Pull:
    """Return what a wire on one hook pulls: T = W / (2 sin a), inward W / (2 tan a)."""
    rise = wire_rise_mm(rings_apart_mm=rings_apart_mm, wire_mm=wire_mm)
    if rise == 0:
        raise ValueError("A wire without rise would pull without limit: take a longer wire.")
    sine = rise / (wire_mm / 2)
    tension = weight_n / (2 * sine)
    return Pull(degrees(asin(sine)), tension, tension * sqrt(1 - sine**2))


def two_hook_loads_n(
    *, weight_n: float, left_mm: float, right_mm: float, centre_of_gravity_mm: float
) -> tuple[float, float]:
    """Return what the left and right hook carry, by the law of the lever."""
    left = weight_n * (right_mm - centre_of_gravity_mm) / (right_mm - left_mm)
    return left, weight_n - left


def people_needed(*, width_mm: int, height_mm: int, depth_mm: int, mass_g: int | None) -> int:
    """Return 2 above 20 kg or with any side above 1.5 m, otherwise 1 (common practice, no source).

    An unknown mass counts as light; the sheet says that it is unknown.
    """
    heavy = (mass_g or 0) > TWO_PEOPLE_ABOVE_G
    long = max(width_mm, height_mm, depth_mm) > TWO_PEOPLE_ABOVE_SIDE_MM
    return 2 if heavy or long else 1


def hook_offsets_mm(*, width_mm: int, mass_g: int | None) -> tuple[int, ...]:
    """Return each hook's distance from a piece's left edge.

    One hook in the middle; two at the quarter points when the piece is wider than 600 mm or
    heavier than 10 kg (common practice, no source).
    """
    if width_mm > TWO_HOOKS_ABOVE_WIDTH_MM or (mass_g or 0) > TWO_HOOKS_ABOVE_G:
        return width_mm // 4, width_mm - width_mm // 4
    return (width_mm // 2,)
