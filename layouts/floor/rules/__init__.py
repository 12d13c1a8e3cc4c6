"""Limits for floors as data: which body, which year, which section, and how sure the value is."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

COMMON = "common"


@dataclass(frozen=True)
class Limit:
    """One limit; `source` says body, year and section, `status` how it was learnt."""

    name: str
    value: int
    source: str
    status: str
    means: str


@dataclass(frozen=True)
class RuleSet:
    """The limits of one standard, with those that every set shares."""

    id: str
    title: str
    note: str
    limits: Mapping[str, Limit]

    def value(self, name: str) -> int:
        """Return a limit that every set has; raises KeyError."""
        return self.limits[name].value

    def get(self, name: str) -> int | None:
        """Return a limit, or None where the set is silent."""
        found = self.limits.get(name)
        return found.value if found else None

    def cite(self, name: str) -> str:
        """Return where a limit comes from, and that it was recalled where it was."""
        limit = self.limits[name]
        words = [limit.source] if limit.source else []
        return ", ".join(words + ([limit.status] if limit.status else []))


def names() -> tuple[str, ...]:
    """Return the rule sets one may ask for."""
    files = resources.files("layouts.floor.rules").iterdir()
    found = (file.name.removesuffix(".toml") for file in files if file.name.endswith(".toml"))
    return tuple(sorted(name for name in found if name != COMMON))


def load(name: str, own: Mapping[str, int] | None = None) -> RuleSet:
    """Return a rule set; `own` replaces single limits. Raises KeyError for an unknown name."""
    if name not in names():
        raise KeyError(name)
    data = _read(name)
    limits = _limits(_read(COMMON)) | _limits(data)
    for key, value in (own or {}).items():
        means = limits[key].means if key in limits else ""
        limits[key] = Limit(key, value, "the project's own limit", "", means)
    return RuleSet(name, f"{data['body']}: {data['title']} ({data['year']})", data["note"], limits)


def known_limits() -> frozenset[str]:
    """Return the names of all limits of all sets."""
    return frozenset(key for name in (COMMON, *names()) for key in _read(name)["limits"])


def _limits(data: dict[str, Any]) -> dict[str, Limit]:
    shared = data["body"] == "several"
    prefix = "" if shared else f"{data['title'].split(',')[0]} ({data['year']}) "
    return {
        key: Limit(
            key,
            row["value"],
            prefix + row["section"],
            row.get("status", ""),
            row["means"],
        )
        for key, row in data["limits"].items()
    }


@cache
def _read(name: str) -> dict[str, Any]:
    file = resources.files("layouts.floor.rules") / f"{name}.toml"
    return tomllib.loads(file.read_text(encoding="utf-8"))
