"""Every change to exhibitions, their sections and their lists."""

from exhibit_core.exhibitions.actions.entries import (
    add_to_list,
    change_each,
    change_entries,
    choose_columns,
    update_entry,
)
from exhibit_core.exhibitions.actions.plan import (
    add_section,
    create_exhibition,
    delete_section,
    move_section,
    update_exhibition,
    update_section,
    venue_named,
)

__all__ = [
    "add_section",
    "add_to_list",
    "change_each",
    "change_entries",
    "choose_columns",
    "create_exhibition",
    "delete_section",
    "move_section",
    "update_entry",
    "update_exhibition",
    "update_section",
    "venue_named",
]
