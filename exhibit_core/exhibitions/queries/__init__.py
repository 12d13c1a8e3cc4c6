"""Reading exhibitions and their lists."""

from exhibit_core.exhibitions.queries.acts import acts_on_list
from exhibit_core.exhibitions.queries.balance import (
    all_stages,
    cards,
    fit,
    section_balance,
    shares,
)
from exhibit_core.exhibitions.queries.listing import (
    ANY,
    NONE,
    ORDERS,
    Narrowing,
    columns_chosen,
    entries_of,
    entries_shown,
    entries_with,
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
    "Narrowing",
    "acts_on_list",
    "all_stages",
    "cards",
    "columns_chosen",
    "entries_of",
    "entries_shown",
    "entries_with",
    "fit",
    "lenders_on_list",
    "narrowed",
    "not_listed",
    "ordered",
    "section_balance",
    "shares",
    "types_on_list",
]
