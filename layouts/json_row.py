"""Read one JSON object field by field; faults are collected, so that one reading names them all."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import Any


class JsonRow:
    """One JSON object that becomes a dataclass: each fault goes to a list with where it stands."""

    def __init__(self, faults: list[str], data: Any, where: str, kind: type) -> None:
        self.faults, self.where = faults, where
        self.defaults = {item.name: item.default for item in fields(kind)}
        self.data: dict[str, Any] = data if isinstance(data, dict) else {}
        if not isinstance(data, dict):
            faults.append(f"{where} is {data!r}: give an object with named fields.")
        for key in self.data.keys() - self.defaults.keys():
            known = ", ".join(sorted(self.defaults))
            faults.append(f"{where} has an unknown field {key!r}; known: {known}.")

    def place(self, key: str) -> str:
        return f"{self.where}.{key}" if self.where else key

    def fault(self, key: str, value: object, cure: str) -> None:
        self.faults.append(f"{self.place(key)} is {value!r}: {cure}.")

    def value(self, key: str) -> Any:
        """Return what stands there, else the default, else None."""
        default = self.defaults[key]
        return self.data.get(key, None if default is MISSING else default)

    def flag(self, key: str) -> bool:
        value = self.value(key)
        if not isinstance(value, bool):
            self.fault(key, value, "say true or false")
        return bool(value)
