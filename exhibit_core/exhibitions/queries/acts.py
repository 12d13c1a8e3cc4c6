"""Reading what was done to an exhibition's list."""

from dataclasses import dataclass

from django.db.models import Count, Max, Q

from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.history.models import Entry
from exhibit_core.history.record import target_type
from exhibit_core.history.undo import can_undo

SHOWN_ACTS = 50


@dataclass(frozen=True)
class Act:
    """One act on a list: one of its entries, and how many there are."""

    entry: Entry
    count: int

    @property
    def others(self) -> int:
        return self.count - 1

    @property
    def undoable(self) -> bool:
        return can_undo(self.entry)


def acts_on_list(exhibition: Exhibition) -> list[Act]:
    """Return the latest acts on a list, the newest first."""
    here = Q(target_id__in=exhibition.entries.order_by().values("pk"))
    gone = Q(action="exhibitions.remove_from_list", changes__exhibition_id__0=exhibition.pk)
    rows = Entry.objects.filter(here | gone, target_type=target_type(ListEntry))
    acts = rows.order_by().values("batch").annotate(last=Max("pk"), count=Count("pk"))
    counts = {act["last"]: act["count"] for act in acts.order_by("-last")[:SHOWN_ACTS]}
    entries = Entry.objects.filter(pk__in=counts).select_related("by")
    return [Act(entry, counts[entry.pk]) for entry in entries]
