"""Reading how an exhibition stands: counts by stage and section, metres asked and there."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Max, Q, QuerySet, Sum
from django.utils import timezone

from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.history.models import Entry
from exhibit_core.history.record import target_type
from exhibit_core.register.models import Measurement
from exhibit_core.register.sizes import best_size
from exhibit_core.spaces.models import Wall

Stage = ListEntry.Stage
SHOWN_ACTS = 50


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


@dataclass(frozen=True)
class Card:
    exhibition: Exhibition
    stages: list[StageCount]
    days_to_opening: int


@dataclass(frozen=True)
class Act:
    """One act on a list: the entries it changed, by whom and when."""

    entry: Entry
    count: int


def stage_codes() -> list[str]:
    return list(Stage.values)


def stage_counts(counts: dict[str, int]) -> list[StageCount]:
    return [StageCount(code, str(label), counts.get(code, 0)) for code, label in Stage.choices]


def cards(exhibitions: QuerySet[Exhibition]) -> list[Card]:
    """Return exhibitions with their counts, in a constant number of queries."""
    counts = {code: Count("entries", Q(entries__stage=code)) for code in Stage.values}
    today = timezone.localdate()
    return [
        Card(
            row,
            stage_counts({code: getattr(row, f"n_{code}") for code in Stage.values}),
            (row.opening - today).days,
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
            section, stage_counts(counts.get(section.pk if section else None, {}))
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


def wall_metres(exhibition: Exhibition) -> int:
    """Return the length in mm of all walls of the exhibition's venue."""
    walls = Wall.objects.filter(room__venue=exhibition.venue_id).order_by()
    return walls.aggregate(sum=Sum("length_mm"))["sum"] or 0


def acts_on_list(exhibition: Exhibition) -> list[Act]:
    """Return the latest acts on a list, the newest first."""
    rows = Entry.objects.filter(
        target_type=target_type(ListEntry),
        target_id__in=exhibition.entries.order_by().values("pk"),
    )
    acts = rows.order_by().values("batch").annotate(last=Max("pk"), count=Count("pk"))
    counts = {act["last"]: act["count"] for act in acts.order_by("-last")[:SHOWN_ACTS]}
    entries = Entry.objects.filter(pk__in=counts).select_related("by")
    return [Act(entry, counts[entry.pk]) for entry in entries]


def last_act(batch: uuid.UUID) -> Act | None:
    """Return an act that can still be taken back."""
    rows = Entry.objects.filter(
        batch=batch, undone=False, target_type=target_type(ListEntry)
    ).select_related("by")
    entry = rows.first()
    return Act(entry, rows.count()) if entry else None
