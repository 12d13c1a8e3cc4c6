"""Every change to the register."""

from exhibit_core.register.actions.measurements import add_measurement, withdraw_measurement
from exhibit_core.register.actions.objects import (
    MEASUREMENT_FIELDS,
    ObjectChange,
    create_object,
    old_values,
    save_objects,
    update_object,
)
from exhibit_core.register.actions.pictures import add_picture, remove_picture

__all__ = [
    "MEASUREMENT_FIELDS",
    "ObjectChange",
    "add_measurement",
    "add_picture",
    "create_object",
    "old_values",
    "remove_picture",
    "save_objects",
    "update_object",
    "withdraw_measurement",
]
