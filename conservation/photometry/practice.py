"""What practice asks of the light on pieces, from the table `lighting_practice`."""

from __future__ import annotations

from dataclasses import dataclass

from conservation.tables import OURS, Source, Tables


@dataclass(frozen=True)
class Practice:
    """Habits in figures: angles from upright in degrees, lengths in mm, ratios, and their sources.

    `sources` are those of the far field, of aiming and of evenness.
    """

    far_field_ratio: float
    usual_deg: float
    least_deg: float
    most_deg: float
    even_small: float
    even_large: float
    large_from_mm: float
    sources: tuple[Source, Source, Source]


def practice(tables: Tables = OURS) -> Practice:
    """Return what practice asks; angles in degrees, lengths in mm.

    Range: that of the table's columns; a table of the museum's own without one of our rows raises
    UnknownRowError. Source: table `lighting_practice`.

    >>> found = practice()
    >>> found.far_field_ratio, found.usual_deg, found.even_large
    (5.0, 30.0, 5.0)
    """
    rows = tables["lighting_practice"]
    far, aiming = rows.by_id("far_field"), rows.by_id("aiming")
    small, large = rows.by_id("even_small"), rows.by_id("even_large")
    return Practice(
        far.number("least_ratio"),
        aiming.number("usual_deg"),
        aiming.number("least_deg"),
        aiming.number("most_deg"),
        small.number("most_ratio"),
        large.number("most_ratio"),
        large.number("from_mm"),
        (far.source, aiming.source, large.source),
    )


def cautions(tables: Tables = OURS) -> tuple[str, ...]:
    """Return what to heed where light is set up, with its source; no range, no errors.

    Source: table `work_cautions`.

    >>> "work at height" in cautions()[0]
    True
    """
    row = tables["work_cautions"].by_id("lamps")
    return (f"{row.text('words')} ({row.source.cite()})",)
