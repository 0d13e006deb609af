"""Stocks against the strengths asked of them, at today's age and the warmth of the store, at the cautious end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from lungwort.evidence.mixing import Store, stock_now
from lungwort.evidence.strengths import Liquid
from lungwort.language import _, number
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Stock
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import strength_written
from lungwort.protocol.planned import strength_asked
from lungwort.protocol.rule import rule, steps_of
from lungwort.wording import day

DAY_S = 86_400.0
SOON_DAYS = 30
MOST_DAYS = 36_500.0
MODELLED = "hypochlorite"
DECAY = "AWWA / Water Research Foundation 2009: second-order decay; every half-life shortened to 60 %"
DATED = "Lungwort: a stock of unknown age is of unknown strength"


@dataclass(frozen=True)
class Asked:
    """The strongest solution that any step asks of a stock: its strength, where it stands, and as written."""

    path: Path
    written: str
    mg_per_l: float


@rule(
    "stock", "Every stock can still give the strengths asked of it, at its age and the warmth of the store."
)
def stock(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a finding for each stock that is too weak, too old, soon too old, or of unknown age."""
    strongest = _strongest(protocol)
    for i, held in enumerate(protocol.stocks):
        asked = strongest.get(held.name)
        label = strength_written(held.strength, held.agent, "stock")
        if asked is None or isinstance(label, str):
            continue
        at: Path = ("stock", i)
        if isinstance(label, Liquid) and label.strength_mg_per_l < asked.mg_per_l * (1 - 1e-9):
            yield _weaker_by_label(held, label, asked)
        elif held.made_on is None:
            yield _undated(at, held)
        elif held.made_on > today:
            yield _not_made_yet(at, held, held.made_on, today)
        elif held.agent == MODELLED and isinstance(label, Liquid):
            yield from _by_age(protocol, at, held, label, asked, today)
        else:
            yield _not_modelled(at, held)


def _strongest(protocol: Protocol) -> dict[str, Asked]:
    found: dict[str, Asked] = {}
    for k, _kind, s, step in steps_of(protocol):
        asked = strength_asked(protocol, step)
        if asked is None or step.stock is None:
            continue
        if step.stock not in found or asked.strength_mg_per_l > found[step.stock].mg_per_l:
            path: Path = ("kind", k, "step", s, "strength")
            found[step.stock] = Asked(path, step.strength or "", asked.strength_mg_per_l)
    return found


def _weaker_by_label(held: Stock, label: Liquid, asked: Asked) -> Finding:
    says = _(
        "{asked} is asked of {stock}, which has {label} by its label: no dilution makes it stronger."
    ).format(asked=asked.written, stock=held.name, label=held.strength)
    remedy = _("Take a stronger stock, or ask for a weaker solution that a published use allows.")
    computed = _("{label} is {has} mg/L, {asked} is {wanted} mg/L").format(
        label=held.strength,
        has=number(label.strength_mg_per_l, 0),
        asked=asked.written,
        wanted=number(asked.mg_per_l, 0),
    )
    source = _("label of {stock} in this document").format(stock=held.name)
    return Finding("stock", Severity.ERROR, asked.path, says, remedy, source, Basis.COMPUTED, computed)


def _undated(at: Path, held: Stock) -> Finding:
    says = _("{stock} has no made_on: what it still has is not shown.").format(stock=held.name)
    remedy = _("Write the date of making from its label, or measure its strength before each mixing.")
    return Finding("stock", Severity.WARNING, (*at, "made_on"), says, remedy, DATED, Basis.COMPUTED)


def _not_made_yet(at: Path, held: Stock, made_on: date, today: date) -> Finding:
    says = _("{stock} was made on {made}, which is after {today}.").format(
        stock=held.name, made=day(made_on), today=day(today)
    )
    remedy = _("Mend the date: the day on the label when it was made, not when it expires.")
    return Finding("stock", Severity.ERROR, (*at, "made_on"), says, remedy, DATED, Basis.COMPUTED)


def _not_modelled(at: Path, held: Stock) -> Finding:
    says = _(
        "How {stock} ({agent}) weakens with age is not modelled: what it still has is not shown."
    ).format(stock=held.name, agent=held.agent)
    remedy = _("Keep to the date on its label, and test each solution with a strip.")
    return Finding("stock", Severity.NOTE, (*at, "made_on"), says, remedy, DATED, Basis.COMPUTED)


def _by_age(
    protocol: Protocol, at: Path, held: Stock, label: Liquid, asked: Asked, today: date
) -> Iterator[Finding]:
    """Yield an error where the cautious end is weaker than asked, a warning where it soon will be."""
    assert held.made_on is not None
    warm_c = max(0.0, protocol.place.store.highest_c)
    age_s = (today - held.made_on).days * DAY_S
    fresh = stock_now(label, Store(keep_c=warm_c, known=True), asked.mg_per_l)
    now = stock_now(label, Store(((warm_c, age_s),), keep_c=warm_c, known=True), asked.mg_per_l)
    lasts_days = min((fresh.shelf_life_s or 0.0) / DAY_S, MOST_DAYS, (date.max - held.made_on).days)
    too_weak_on = held.made_on + timedelta(days=int(lasts_days))
    computed = _(
        "made on {made}, stored at up to {warm} °C: {best} mg/L left by the best estimate, {low} surely"
    )
    worked_out = computed.format(
        made=day(held.made_on),
        warm=number(warm_c, 0),
        best=number(now.best_mg_per_l, 0),
        low=number(now.cautious_mg_per_l, 0),
    )
    path = (*at, "made_on")
    if now.cautious_mg_per_l < asked.mg_per_l * (1 - 1e-9):
        says, remedy = _too_old(held, asked, too_weak_on)
        yield Finding("stock", Severity.ERROR, path, says, remedy, DECAY, Basis.FROM_MEMORY, worked_out)
    elif (too_weak_on - today).days <= SOON_DAYS:
        says, remedy = _soon(held, asked, too_weak_on)
        yield Finding("stock", Severity.WARNING, path, says, remedy, DECAY, Basis.FROM_MEMORY, worked_out)


def _too_old(held: Stock, asked: Asked, since: date) -> tuple[str, str]:
    says = _("{stock} is too old for {asked}: since {day} it cannot be shown to have that much.")
    remedy = _("Take fresh stock and keep it cooler, or measure this one and ask for what it has.")
    return says.format(stock=held.name, asked=asked.written, day=day(since)), remedy


def _soon(held: Stock, asked: Asked, on: date) -> tuple[str, str]:
    says = _("{stock} will be too old for {asked} on {day}.")
    remedy = _("Order fresh stock, to be there before that day.")
    return says.format(stock=held.name, asked=asked.written, day=day(on)), remedy
