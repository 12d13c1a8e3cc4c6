"""Reading how an exhibition stands: counts by stage and section, metres asked and there."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Sum
from django.utils import timezone

from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.register.models import Measurement
from exhibit_core.register.sizes import best_size
from exhibit_core.spaces.models import Wall
from exhibit_core.web import units

Stage = ListEntry.Stage
SHOWN_SHARES = 12


@dataclass(frozen=True)
class StageCount:
    code: str
    label: str
    count: int


@dataclass
class SectionBalance:
    """A section's objects by stage and what its selected wall objects ask of the walls."""

    section: Section | None
    stages: list[StageCount]
    wall_objects: int = 0
    width_mm: int = 0
    without_size: int = 0

    @property
    def total(self) -> int:
        return sum(stage.count for stage in self.stages)

    @property
    def metres(self) -> str:
        return units.metres(self.width_mm)


@dataclass(frozen=True)
class Fit:
    """What all selected wall objects ask, side by side without gaps, and the wall there is."""

    wall_objects: int
    without_size: int
    asked_mm: int
    there_mm: int

    @property
    def too_long(self) -> bool:
        return self.asked_mm > self.there_mm

    @property
    def asked(self) -> str:
        return units.metres(self.asked_mm)

    @property
    def there(self) -> str:
        return units.metres(self.there_mm)

    @property
    def difference(self) -> str:
        return units.metres(abs(self.there_mm - self.asked_mm))


@dataclass(frozen=True)
class Card:
    exhibition: Exhibition
    stages: list[StageCount]
    days_to_opening: int
    days_to_closing: int


@dataclass(frozen=True)
class Share:
    """How many objects of a list have something in common, and how many of them are selected."""

    words: str
    selected: int
    total: int


def _stage_counts(counts: dict[str, int]) -> list[StageCount]:
    return [StageCount(code, str(label), counts.get(code, 0)) for code, label in Stage.choices]


def cards(exhibitions: QuerySet[Exhibition]) -> list[Card]:
    """Return exhibitions with their counts, in a constant number of queries."""
    counts = {code: Count("entries", Q(entries__stage=code)) for code in Stage.values}
    today = timezone.localdate()
    return [
        Card(
            row,
            _stage_counts({code: getattr(row, f"n_{code}") for code in Stage.values}),
            (row.opening - today).days,
            (row.closing - today).days,
        )
        for row in exhibitions.annotate(**{f"n_{code}": n for code, n in counts.items()})
    ]


def section_balance(exhibition: Exhibition) -> list[SectionBalance]:
    """Return every section in order, and last the objects that have none if there are any."""
    counts: dict[int | None, dict[str, int]] = {}
    rows = exhibition.entries.order_by().values_list("section", "stage")
    for section, stage, count in rows.annotate(count=Count("pk")):
        counts.setdefault(section, {})[stage] = count
    found = {
        section.pk if section else None: SectionBalance(
            section, _stage_counts(counts.get(section.pk if section else None, {}))
        )
        for section in [*exhibition.sections.all(), None]
    }
    for section, width_mm in _wall_widths(exhibition):
        balance = found[section]
        balance.wall_objects += 1
        balance.width_mm += width_mm
        balance.without_size += not width_mm
    if not found[None].total:
        del found[None]
    return list(found.values())


def _wall_widths(exhibition: Exhibition) -> Iterable[tuple[int | None, int]]:
    """Yield section and width of each selected wall object; 0 where no size is known."""
    entries = exhibition.entries.filter(stage=Stage.SELECTED, shown_on=ListEntry.ShownOn.WALL)
    records: dict[int, list[Measurement]] = {}
    for record in Measurement.objects.filter(
        object__in=entries.order_by().values("object"), withdrawn=False
    ):
        records.setdefault(record.object_id, []).append(record)
    for section, obj in entries.order_by().values_list("section", "object"):
        size = best_size(records.get(obj, []))
        yield section, size.width_mm if size else 0


def fit(exhibition: Exhibition, balance: Iterable[SectionBalance]) -> Fit:
    """Set what the sections ask together against all walls of the exhibition's venue."""
    walls = Wall.objects.filter(room__venue=exhibition.venue_id).order_by()
    rows = list(balance)
    return Fit(
        wall_objects=sum(row.wall_objects for row in rows),
        without_size=sum(row.without_size for row in rows),
        asked_mm=sum(row.width_mm for row in rows),
        there_mm=walls.aggregate(sum=Sum("length_mm"))["sum"] or 0,
    )


def all_stages(balance: Iterable[SectionBalance]) -> list[StageCount]:
    """Return the counts by stage over all sections."""
    rows = list(balance)
    return [
        StageCount(code, str(label), sum(row.stages[place].count for row in rows))
        for place, (code, label) in enumerate(Stage.choices)
    ]


def shares(exhibition: Exhibition) -> list[tuple[str, list[Share]]]:
    """Return how the objects that are not withdrawn fall by period, place and lender.

    Periods follow each other in time; of places and lenders the largest come first.
    """
    rows = exhibition.entries.exclude(stage=Stage.WITHDRAWN).order_by()
    places = _shares(rows, "object__place", lambda place: place or "no place known")
    lenders = _shares(rows, "object__lender__name", lambda name: name or "own collection")
    return [
        ("Period", _shares(rows, "object__year_from", _century)),
        ("Place", _largest(places)),
        ("Lender", _largest(lenders)),
    ]


def _shares(rows: QuerySet[ListEntry], column: str, in_words: Callable[[Any], str]) -> list[Share]:
    """Count by what a column says, in the order of its values, without one last."""
    found: dict[str, tuple[int, int]] = {}
    counted = rows.values_list(column).annotate(
        selected=Count("pk", Q(stage=Stage.SELECTED)), total=Count("pk")
    )
    for value, selected, total in counted.order_by(F(column).asc(nulls_last=True)):
        words = in_words(value)
        before = found.get(words, (0, 0))
        found[words] = (before[0] + selected, before[1] + total)
    return [Share(words, *counts) for words, counts in found.items()]


def _largest(found: list[Share]) -> list[Share]:
    """Put the largest first, and join what is beyond the first few."""
    ranked = sorted(found, key=lambda share: (-share.selected, -share.total, share.words))
    rest = ranked[SHOWN_SHARES:]
    if not rest:
        return ranked
    others = f"{len(rest)} others"
    joined = Share(others, sum(s.selected for s in rest), sum(s.total for s in rest))
    return [*ranked[:SHOWN_SHARES], joined]


def _century(year: int | None) -> str:
    if year is None:
        return "undated"
    if year < 1:
        return "before the common era"
    number = (year - 1) // 100 + 1
    suffix = "th" if 10 < number % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{suffix} century"
