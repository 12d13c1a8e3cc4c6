"""Every change to hangs: what is asked, what was answered, what is accepted."""

from exhibit_core.hangs.actions import undo
from exhibit_core.hangs.actions.asking import create_hang, update_hang
from exhibit_core.hangs.actions.ties import (
    add_rule,
    fix_place,
    give_up_place,
    keep_place,
    remove_rule,
    unfix,
)
from exhibit_core.hangs.actions.versions import (
    accept_version,
    ask_for_sheets,
    ask_for_solution,
    save_version,
)

__all__ = [
    "accept_version",
    "add_rule",
    "ask_for_sheets",
    "ask_for_solution",
    "create_hang",
    "fix_place",
    "give_up_place",
    "keep_place",
    "remove_rule",
    "save_version",
    "undo",
    "unfix",
    "update_hang",
]
