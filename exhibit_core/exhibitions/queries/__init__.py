"""Reading exhibitions and their lists."""

from exhibit_core.exhibitions.queries.acts import Act, acts_on_list, last_act
from exhibit_core.exhibitions.queries.balance import (
    cards,
    section_balance,
    shares,
    stage_codes,
    stage_counts,
    wall_metres,
)
from exhibit_core.exhibitions.queries.listing import (
    ANY,
    NONE,
    ORDERS,
    Narrowing,
    columns_chosen,
    entries_of,
    entries_shown,
    lenders_on_list,
    narrowed,
    not_listed,
    ordered,
    types_on_list,
)

__all__ = [
    "ANY",
    "NONE",
    "ORDERS",
    "Act",
    "Narrowing",
    "acts_on_list",
    "cards",
    "columns_chosen",
    "entries_of",
    "entries_shown",
    "last_act",
    "lenders_on_list",
    "narrowed",
    "not_listed",
    "ordered",
    "section_balance",
    "shares",
    "stage_codes",
    "stage_counts",
    "types_on_list",
    "wall_metres",
]
