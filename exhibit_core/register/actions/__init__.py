"""Every change to the register."""

from exhibit_core.register.actions.lenders import create_lender, update_lender
from exhibit_core.register.actions.measurements import (
    add_measurement,
    add_measurements,
    withdraw_measurement,
)
from exhibit_core.register.actions.objects import (
    MEASUREMENT_FIELDS,
    MEASUREMENTS,
    ObjectChange,
    create_object,
    old_values,
    save_objects,
    update_object,
)
from exhibit_core.register.actions.pictures import add_picture, remove_picture

__all__ = [
    "MEASUREMENTS",
    "MEASUREMENT_FIELDS",
    "ObjectChange",
    "add_measurement",
    "add_measurements",
    "add_picture",
    "create_lender",
    "create_object",
    "old_values",
    "remove_picture",
    "save_objects",
    "update_lender",
    "update_object",
    "withdraw_measurement",
]
