"""Criteria and their adoption by the hospital."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache

from lungwort.language import _
from lungwort.library.catalogue import all_criteria
from lungwort.library.criteria import Criterion
from lungwort.library.loading import Basis, plain
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.people import Adoption
from lungwort.protocol.rule import rule, steps_of

SOURCE = "Lungwort: the library suggests criteria, and a named, authorised person of the hospital adopts them"
WEAK = (Basis.COMMON_PRACTICE, Basis.FROM_MEMORY)
_NO_DOCUMENT = re.compile(
    r"\b(memory|common practice|hearsay|lungwort|unknown|not known|to be found|no source)\b"
)


@rule(
    "adoption",
    "Every criterion that proves a step is adopted, in time, after a document of the hospital's own.",
)
def adoption(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield findings on criteria used and not adopted, and on adoptions that stand on nothing."""
    yield from _not_adopted(protocol)
    used = {name for _k, _kind, _s, step in steps_of(protocol) for name in step.proved_by}
    for a, adopted in enumerate(protocol.adoptions):
        if adopted.on > today:
            yield _in_the_future(a, adopted, today)
        if _on_nothing(adopted):
            yield _weak(a, adopted)
        if adopted.criterion not in used:
            yield _unused(a, adopted)


def _not_adopted(protocol: Protocol) -> Iterator[Finding]:
    adopted = protocol.adopted
    for k, kind, s, step in steps_of(protocol):
        for c, name in enumerate(step.proved_by):
            if name not in adopted:
                says = _("{kind}, step {count}: {criterion} is to prove it, and nobody has adopted that.")
                yield Finding(
                    "adoption",
                    Severity.ERROR,
                    ("kind", k, "step", s, "proved_by", c),
                    says.format(kind=kind.name, count=s + 1, criterion=name),
                    _(
                        "Have an authorised person compare it with the hospital's own source and add [[adoption]]."
                    ),
                    SOURCE,
                    Basis.COMPUTED,
                )


def _in_the_future(a: int, adopted: Adoption, today: date) -> Finding:
    says = _("{criterion} is adopted on {on}, which is after today, {today}: it does not hold yet.")
    return Finding(
        "adoption",
        Severity.ERROR,
        ("adoption", a, "on"),
        says.format(criterion=adopted.criterion, on=adopted.on, today=today),
        _("Mend the date, or wait for it."),
        SOURCE,
        Basis.COMPUTED,
    )


@cache
def _criteria() -> dict[str, Criterion]:
    return {criterion.name: criterion for criterion in all_criteria()}


@cache
def _limit_sources(criterion: str) -> frozenset[str]:
    return frozenset(plain(limit.source) for limit in _criteria()[criterion].limits)


def _on_nothing(adopted: Adoption) -> bool:
    """Return whether a criterion that we know by memory only is adopted after no document of the hospital's own."""
    if _criteria()[adopted.criterion].basis not in WEAK:
        return False
    source = plain(adopted.source)
    return bool(_NO_DOCUMENT.search(source)) or source in _limit_sources(adopted.criterion)


def _weak(a: int, adopted: Adoption) -> Finding:
    criterion = _criteria()[adopted.criterion]
    limit = next(limit for limit in criterion.limits if limit.basis is criterion.basis)
    says = _(
        "{criterion} is known here by {basis} only, and its adoption names no document of the hospital's "
        "own: {source}."
    )
    return Finding(
        "adoption",
        Severity.WARNING,
        ("adoption", a, "source"),
        says.format(criterion=criterion.name, basis=_by_what(criterion.basis), source=adopted.source),
        _(
            "Open the standard or guideline the hospital holds, compare the numbers, and name it with its clause."
        ),
        limit.source,
        limit.basis,
    )


def _by_what(basis: Basis) -> str:
    return _("common practice") if basis is Basis.COMMON_PRACTICE else _("memory")


def _unused(a: int, adopted: Adoption) -> Finding:
    return Finding(
        "adoption",
        Severity.NOTE,
        ("adoption", a, "criterion"),
        _("{criterion} is adopted, and no step is proved by it.").format(criterion=adopted.criterion),
        _("Name it in proved_by where it belongs, or leave it for later."),
        SOURCE,
        Basis.COMPUTED,
    )
