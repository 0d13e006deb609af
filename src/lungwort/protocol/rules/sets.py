"""Clean sets against the time a turnaround takes: a first estimate."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from lungwort.language import _, number
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Kind
from lungwort.protocol.magnitudes import step_doubts
from lungwort.protocol.rule import rule
from lungwort.protocol.sequence import for_one_patient
from lungwort.science.counts import MEAN_AT_MOST, poisson_quantile

DAY_MIN = 1440.0
SHARE = 0.95
SOURCE = "Queue with a server for each piece (M/G/∞): pieces under way are Poisson, mean = uses a day · days under way"


@rule("sets", "The sets owned bear the turnaround on nineteen days of twenty, by a first estimate.")
def sets(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a warning for each reusable kind with too few sets, a note where use or sets are not written."""
    for k, kind in enumerate(protocol.kinds):
        if for_one_patient(kind) or not kind.steps:
            continue
        if kind.used_per_day is None or kind.sets_owned is None:
            yield _unknown(k, kind)
        elif kind.used_per_day * max(1.0, kind.turnaround_min / DAY_MIN) <= MEAN_AT_MOST:
            yield from _enough(protocol, k, kind, kind.used_per_day, kind.sets_owned)


def _enough(protocol: Protocol, k: int, kind: Kind, used_per_day: float, owned: int) -> Iterator[Finding]:
    mean = used_per_day * kind.turnaround_min / DAY_MIN
    in_use, under_way = math.ceil(used_per_day), poisson_quantile(mean, SHARE)
    if owned >= in_use + under_way or _doubted(protocol, kind):
        return
    computed = _(
        "{used} a day for one day in use, rounded up: {in_use}; under way on average {used} · {minutes} min / 1440 "
        "= {mean}, at most {under_way} on 95 % of days; together {needed}"
    ).format(
        used=number(used_per_day, 1),
        in_use=in_use,
        minutes=number(kind.turnaround_min, 0),
        mean=number(mean, 2),
        under_way=under_way,
        needed=in_use + under_way,
    )
    yield _too_few(k, kind, owned, in_use + under_way, computed)


def _doubted(protocol: Protocol, kind: Kind) -> bool:
    """Return whether the rule of units speaks of the minutes of a step, which then are no minutes."""
    return any(doubt.key == "minutes" for step in kind.steps for doubt in step_doubts(protocol, step))


def _too_few(k: int, kind: Kind, owned: int, needed: int, computed: str) -> Finding:
    says = _("{kind}: {owned} sets are owned; about {needed} are needed, or some days begin with none clean.")
    remedy = _(
        "Own {more} more, or shorten the turnaround. Waiting for a full load, nights without staff and patients "
        "who stay longer than a day ask for more still."
    )
    return Finding(
        "sets",
        Severity.WARNING,
        ("kind", k, "sets_owned"),
        says.format(kind=kind.name, owned=owned, needed=needed),
        remedy.format(more=needed - owned),
        SOURCE,
        Basis.COMPUTED,
        computed,
    )


def _unknown(k: int, kind: Kind) -> Finding:
    pairs = (("used_per_day", kind.used_per_day), ("sets_owned", kind.sets_owned))
    missing = [key for key, value in pairs if value is None]
    says = _("{kind}: {missing} not written, so it is not shown that its clean sets are enough.")
    remedy = _("Count for a month how many are used a day and how many there are, and write both.")
    text = says.format(kind=kind.name, missing=", ".join(missing))
    return Finding("sets", Severity.NOTE, ("kind", k, "name"), text, remedy, SOURCE, Basis.COMPUTED)
