"""Chemicals that must never meet, and bleach kept too warm."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from lungwort.language import _, number
from lungwort.library.loading import Basis
from lungwort.library.mixtures import Danger
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Stock
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import room_doubts
from lungwort.protocol.rule import rule, steps_of
from lungwort.protocol.sequence import at_step, danger_between, meeting, named, substance_of
from lungwort.science.chlorine import decay_rate_l_per_mol_s

WARMEST_STORE_C = 30.0
"""Labels ask for cool stores and differ in their numbers (common practice)."""
USUAL_STORE_C = 20.0
BLEACH = "hypochlorite"


@rule(
    "mixtures",
    "No two chemicals that harm together meet on a part or stand together, and bleach is kept cool.",
)
def mixtures(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield errors for chemicals meeting in a sequence, warnings for stocks to keep apart and for a warm store."""
    for k, kind, s, step in steps_of(protocol):
        met = meeting(protocol, kind, s) if step.process in ("soak", "wipe") else None
        if met is not None:
            later, danger = met
            both = [substance_of(protocol, each) or "" for each in (step, kind.steps[later])]
            key = "stock" if kind.steps[later].stock else "process"
            where = _("{kind}, {one} and {other}").format(
                kind=kind.name, one=named(s, step), other=named(later, kind.steps[later])
            )
            yield _meet(at_step(k, later, key), where, both, danger)
    yield from _apart(protocol)
    yield from _warm(protocol)


def _meet(path: Path, where: str, both: list[str], danger: Danger) -> Finding:
    says = _("{where}: {a} meets {b} with no rinse between. It gives {gives}. {effect}")
    return Finding(
        "mixtures",
        Severity.ERROR,
        path,
        says.format(where=where, a=both[0], b=both[1], gives=danger.gives, effect=danger.effect),
        _("Leave one of the two out, or rinse the part well between them."),
        danger.source,
        danger.basis,
    )


def _apart(protocol: Protocol) -> Iterator[Finding]:
    """Yield one warning for each stock that is dangerous with one listed before it."""
    for n, stock in enumerate(protocol.stocks):
        pairs = [(other, danger_between(stock.agent, other.agent)) for other in protocol.stocks[:n]]
        bad = [(other, danger) for other, danger in pairs if danger is not None]
        if bad:
            yield _keep_apart(n, stock, bad)


def _keep_apart(n: int, stock: Stock, bad: list[tuple[Stock, Danger]]) -> Finding:
    first = bad[0][1]
    says = _("{stock} must never meet {others}: together they give {gives}. {effect}").format(
        stock=stock.name,
        others=", ".join(other.name for other, _danger in bad),
        gives=first.gives,
        effect=first.effect,
    )
    remedy = _(
        "Keep them in different rooms or closed cupboards, with bowls, measures and drains of their own."
    )
    path: Path = ("stock", n, "agent")
    return Finding("mixtures", Severity.WARNING, path, says, remedy, first.source, first.basis)


def _warm(protocol: Protocol) -> Iterator[Finding]:
    bleach = [stock.name for stock in protocol.stocks if stock.agent == BLEACH]
    warmest_c = protocol.place.store.highest_c
    doubted = {name for name, _doubt in room_doubts(protocol)}  # the rule of units speaks of those
    if not bleach or warmest_c <= WARMEST_STORE_C or "store" in doubted:
        return
    times = decay_rate_l_per_mol_s(warmest_c, 1.0) / decay_rate_l_per_mol_s(USUAL_STORE_C, 1.0)
    says = _(
        "{stocks} stands in a store of up to {warmest} °C; above {limit} °C bleach weakens fast and gives off gas."
    )
    computed = _("rate of decay at {warmest} °C over that at {usual} °C: {times} (AWWA 2009, from memory)")
    yield Finding(
        "mixtures",
        Severity.WARNING,
        ("place", "store", "highest_c"),
        says.format(stocks=", ".join(bleach), warmest=number(warmest_c), limit=number(WARMEST_STORE_C, 0)),
        _("Find a cooler, dark place for it, buy less at a time, and measure its strength before use."),
        "Labels of bleach: keep cool and dark",
        Basis.COMMON_PRACTICE,
        computed.format(warmest=number(warmest_c), usual=number(USUAL_STORE_C, 0), times=number(times)),
    )
