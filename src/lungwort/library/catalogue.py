"""The catalogue: every criterion that ships with Lungwort, and how to find one by its name."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from lungwort.language import _
from lungwort.library.criteria import Criterion, measured_criteria
from lungwort.library.loading import find, plain


@cache
def all_criteria() -> tuple[Criterion, ...]:
    """Return every criterion: of heat and drying, and of each way to use an agent; none adopted by anyone."""
    from lungwort.library.soaks import soak_criteria  # here, so that heat starts without the agents

    return (*measured_criteria(), *soak_criteria())


def find_criterion(name: str) -> Criterion:
    """Return the criterion called `name` (any case); UnknownName lists near names where there is none.

    >>> find_criterion("a0-600").name
    'A0-600'
    """
    if plain(name) in _measured_by_name():
        return _measured_by_name()[plain(name)]
    says = _("there is no criterion called {name!r}; near ones: {hint}. `lungwort criteria` lists them all")
    return find(name, _all_by_name(), says)


@cache
def _measured_by_name() -> Mapping[str, Criterion]:
    return {plain(c.name): c for c in measured_criteria()}


@cache
def _all_by_name() -> Mapping[str, Criterion]:
    return {plain(c.name): c for c in all_criteria()}
