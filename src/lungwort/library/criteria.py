"""Criteria: what a cycle must show, as limits with source and basis, loaded from criteria.toml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.library.loading import Basis, row, shipped, tables, weakest

__all__ = [
    "Basis",
    "Criterion",
    "Limit",
    "Process",
    "measured_criteria",
    "parse_criteria",
    "weakest",
]

FILE = "criteria.toml"

Process = Literal["steam", "hot water", "chemical", "drying"]


@dataclass(frozen=True)
class Limit:
    """One rule's limit; which of the numbers are set depends on the rule.

    `at_least` and `at_most` in `unit`; `for_s` a duration in s; `reference_c` and `floor_c` belong to lethality.
    `required` says "always", or "if measured" where a routine cycle need not carry the evidence.
    """

    name: str
    rule: str
    unit: str
    source: str
    basis: Basis
    at_least: float | None = None
    at_most: float | None = None
    for_s: float | None = None
    reference_c: float | None = None
    floor_c: float | None = None
    required: Literal["always", "if measured"] = "always"
    note: str = ""


@dataclass(frozen=True)
class Criterion:
    """What one cycle must show to count as treated, after one tradition.

    `use` says "routine" for every load, or "test" for a thermometric test of the autoclave itself.
    """

    name: str
    title: str
    process: Process
    tradition: str
    scope: str
    limits: tuple[Limit, ...]
    use: Literal["routine", "test"] = "routine"

    @property
    def basis(self) -> Basis:
        """The weakest basis among the limits."""
        return weakest(limit.basis for limit in self.limits)

    def limit(self, rule: str) -> Limit | None:
        """Return the limit for a rule, or None where the criterion has none."""
        return next((limit for limit in self.limits if limit.rule == rule), None)


def parse_criteria(text: str) -> tuple[Criterion, ...]:
    """Read criteria from TOML text: `[[limit]]` tables, and `[[criterion]]` tables that name their limits.

    Raises UnusableLibrary where a limit lacks source or basis, or a criterion names a limit that is not there.
    """
    raw = tables(text, FILE)
    read = [row(Limit, item, f"limit {item.get('name', '?')}", FILE) for item in raw["limit"]]
    limits = {limit.name: limit for limit in read}
    return tuple(_criterion(item, limits) for item in raw["criterion"])


def _criterion(raw: Mapping[str, Any], limits: Mapping[str, Limit]) -> Criterion:
    missing = [name for name in raw["limits"] if name not in limits]
    if missing:
        text = _(
            "criterion {name} names limits that criteria.toml does not have: {missing}; add them or mend the name"
        )
        raise UnusableLibrary(text.format(name=raw["name"], missing=", ".join(missing)))
    return Criterion(**{**raw, "limits": tuple(limits[name] for name in raw["limits"])})


@cache
def measured_criteria() -> tuple[Criterion, ...]:
    """Return the criteria of criteria.toml: suggestions, none of them adopted by anyone."""
    return parse_criteria(shipped(FILE))
