"""What to heed where a plan has people open cases, lift and handle."""

from __future__ import annotations

from collections.abc import Sequence

from conservation.rotation.plan import Stay
from conservation.rotation.problem import Problem
from conservation.tables import OURS, Tables


def cautions(problem: Problem, stays: Sequence[Stay], *, tables: Tables = OURS) -> tuple[str, ...]:
    """Return cautions for the changes of a plan, each with its source; empty without changes.

    Stays of a problem that could be read; nothing is raised. Source: table `work_cautions`.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> cautions(TWO_PRINTS, ())
    ()
    >>> len(cautions(TWO_PRINTS, [Stay("A", "case", 0, 30)]))
    1
    """
    changes = [stay for stay in stays if stay.from_day > 0 or stay.to_day < problem.days]
    if not changes:
        return ()
    rows = tables["work_cautions"]
    said = [rows.by_id("handling")]
    objects = {item.id: item for item in problem.objects}
    places = {place.id: place for place in problem.places}
    if any(places[stay.place].glass for stay in changes):
        said.append(rows.by_id("glass"))
    lifting = rows.by_id("lifting")
    heavy = sorted(
        {s.object for s in changes if objects[s.object].mass_g >= lifting.number("from_mass_g")}
    )
    words = [f"{row.text('words')} ({row.source.cite()})" for row in said]
    if heavy:
        words.append(f"{', '.join(heavy)}: {lifting.text('words')} ({lifting.source.cite()})")
    hazardous = rows.by_id("hazard")
    for name in sorted({stay.object for stay in changes}):
        if kinds := objects[name].hazards:
            words.append(
                f"{name} ({', '.join(kinds)}): {hazardous.text('words')} "
                f"({hazardous.source.cite()})"
            )
    return tuple(words)
