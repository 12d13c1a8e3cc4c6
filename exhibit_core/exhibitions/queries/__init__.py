"""Reading exhibitions and their lists."""

from exhibit_core.exhibitions.queries.balance import (
    acts_on_list,
    cards,
    last_act,
    section_balance,
    stage_codes,
    stage_counts,
    wall_metres,
)
from exhibit_core.exhibitions.queries.listing import (
    ORDERS,
    Narrowing,
    entries_of,
    entries_shown,
    lenders_on_list,
    narrowed,
    not_listed,
    ordered,
    types_on_list,
)

__all__ = [
    "ORDERS",
    "Narrowing",
    "acts_on_list",
    "cards",
    "entries_of",
    "entries_shown",
    "last_act",
    "lenders_on_list",
    "narrowed",
    "not_listed",
    "ordered",
    "section_balance",
    "stage_codes",
    "stage_counts",
    "types_on_list",
    "wall_metres",
]
