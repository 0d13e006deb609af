"""A kind's turnaround as a card that a ward can follow: hazards first, then steps, proof, checks and duties."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from lungwort.language import _, number
from lungwort.library.agents import Agent
from lungwort.library.catalogue import find_criterion
from lungwort.library.mixtures import dangers
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import KPA_PER
from lungwort.protocol.kinds import Duty, Kind, MakerLimit, Step
from lungwort.protocol.recipe import recipe_words
from lungwort.science.steam import saturation_pressure_kpa
from lungwort.wording import figure

STEAM_C = (50.0, 200.0)
"""Temperatures for which a card names the gauge's pressure; for others vetting has already found the fault."""


@dataclass(frozen=True)
class CardStep:
    """One numbered step: what is done, by whom, in how many minutes, and how, a sentence a line."""

    number: int
    what: str
    by: str
    minutes: float
    how: tuple[str, ...]
    proof: tuple[str, ...]


@dataclass(frozen=True)
class Card:
    """A kind's card, every line a sentence; empty groups are left out where it is shown."""

    kind: str
    about: str
    hazards: tuple[str, ...]
    steps: tuple[CardStep, ...]
    before_use: tuple[str, ...]
    in_use: tuple[str, ...]
    after_use: tuple[str, ...]
    maker: tuple[str, ...]
    on_failure: str
    minutes: float


def card_of(protocol: Protocol, kind: Kind, today: date) -> Card:
    """Return the card of a kind of part, its recipes as the stock stands on a day."""
    return Card(
        kind=kind.name,
        about=_about(kind),
        hazards=tuple(_hazards(protocol, kind)),
        steps=tuple(_step(protocol, s, number_, today) for number_, s in enumerate(kind.steps, 1)),
        before_use=tuple(_checks(kind, "before use")),
        in_use=tuple(_duty(duty) for duty in kind.duties),
        after_use=tuple(_checks(kind, "after use")),
        maker=tuple(_maker(limit) for limit in kind.makers),
        on_failure=kind.on_failure,
        minutes=kind.turnaround_min,
    )


def _about(kind: Kind) -> str:
    words = {
        "critical": _("enters the body: critical"),
        "semi-critical": _("touches mucosa or carries the gas breathed: semi-critical"),
        "non-critical": _("touches sound skin or hands only: non-critical"),
    }
    once = _("For one patient, then thrown away") if kind.reuse == "single patient" else _("Used again")
    made_of = ", ".join(kind.made_of)
    return f"{once}; {words[kind.contact]}." + (f" {_('Made of')} {made_of}." if made_of else "")


# ---- hazards ----


def _hazards(protocol: Protocol, kind: Kind) -> Iterator[str]:
    agents = _agents(protocol, kind)
    for agent in agents:
        for text in (h.sentence for h in agent.hazards):
            yield f"{agent.name}: {text}"
        yield _("{agent}: wear {items}.").format(
            agent=agent.name, items="; ".join(p.item for p in agent.protections)
        )
    yield from _never_together(protocol, agents)
    if any(step.process in ("steam", "hot water") for step in kind.steps):
        yield _("Steam, hot water and what comes out of them burn: gloves, and let it cool.")


def _agents(protocol: Protocol, kind: Kind) -> list[Agent]:
    stocks = [protocol.stock(step.stock) for step in kind.steps]
    return list({stock.agent: stock.described for stock in stocks if stock}.values())


def _never_together(protocol: Protocol, agents: list[Agent]) -> Iterator[str]:
    """Yield what the kind's agents must not meet among all that the hospital has in stock."""
    held = dict.fromkeys(stock.agent for stock in protocol.stocks)
    pairs = dict.fromkeys(frozenset((a.name, b)) for a in agents for b in held if a.name != b)
    for one, other in (sorted(pair) for pair in pairs):
        for danger in dangers(one, other)[:1]:
            text = _("Never {one} with {other}: it gives {gives}. {effect}")
            yield text.format(one=one, other=other, gives=danger.gives, effect=danger.effect)


# ---- steps ----


def _step(protocol: Protocol, step: Step, number_: int, today: date) -> CardStep:
    how = [*_how(protocol, step, today), *([step.note] if step.note else [])]
    proof = tuple(_proof(protocol, name) for name in step.proved_by)
    return CardStep(number_, _what(step), step.by, step.minutes, tuple(how), proof)


def _what(step: Step) -> str:
    words = {
        "take apart": _("Take apart"),
        "wash": _("Wash"),
        "rinse": _("Rinse"),
        "dry": _("Dry"),
        "look": _("Look it over"),
        "assemble": _("Assemble"),
        "test": _("Test"),
        "store": _("Store"),
        "steam": _("Treat with steam"),
        "hot water": _("Treat in hot water"),
        "soak": _("Soak"),
        "wipe": _("Wipe"),
    }
    return words[step.process or step.do]


def _how(protocol: Protocol, step: Step, today: date) -> Iterator[str]:
    if step.process == "steam":
        yield from _steam(protocol, step)
    elif step.process == "hot water":
        text = _("{bath}: {at} °C or hotter for {hold} min, counted from when the coldest place has it.")
        yield text.format(bath=step.equipment, at=_plain(step.temperature_c), hold=_plain(step.hold_min))
    elif step.process in ("soak", "wipe"):
        yield from _chemical(protocol, step, today)
    if step.water is not None:
        yield _("Water: {water}.").format(water=_(step.water)) + _times(step)
    elif step.times > 1:
        yield _times(step).strip()


def _times(step: Step) -> str:
    return " " + _("{n} times, each with fresh water.").format(n=step.times) if step.times > 1 else ""


def _steam(protocol: Protocol, step: Step) -> Iterator[str]:
    autoclave = protocol.autoclave(step.equipment)
    setting = autoclave.setting(step.setting) if autoclave else None
    if autoclave is None or setting is None:
        text = _("{equipment}, programme {setting}: not in the document.")
        yield text.format(equipment=step.equipment, setting=step.setting)
        return
    text = _("{equipment}, programme {setting}: {at} °C, held {hold} min.")
    at, hold = _plain(setting.temperature_c), _plain(setting.hold_min)
    yield text.format(equipment=step.equipment, setting=step.setting, at=at, hold=hold)
    if STEAM_C[0] <= setting.temperature_c <= STEAM_C[1]:
        needed_kpa = float(saturation_pressure_kpa(setting.temperature_c))
        air_kpa = protocol.place.air_pressure_kpa
        shown = (needed_kpa - (air_kpa if autoclave.gauge_kind == "gauge" else 0.0)) / KPA_PER[
            autoclave.gauge_unit
        ]
        decimals = 0 if KPA_PER[autoclave.gauge_unit] <= 1 else 1 if autoclave.gauge_unit == "psi" else 2
        text = _("While it holds, the gauge must show {shown} {unit} here ({kind}; {needed} kPa absolute).")
        yield text.format(
            shown=number(shown, decimals),
            unit=autoclave.gauge_unit,
            kind=_(autoclave.gauge_kind),
            needed=number(needed_kpa, 0),
        )


def _chemical(protocol: Protocol, step: Step, today: date) -> Iterator[str]:
    stock = protocol.stock(step.stock)
    substance = stock.described.active_substance if stock else step.stock
    text = _("Strength {strength} of {substance}.")
    yield text.format(strength=step.strength, substance=substance)
    yield recipe_words(protocol, step, today)
    wet = _("Under the liquid for {n} min.") if step.process == "soak" else _("Kept wet for {n} min.")
    yield wet.format(n=_plain(step.contact_min))
    if step.temperature_c is not None:
        yield _("Solution at {at} °C or warmer.").format(at=_plain(step.temperature_c))
    if step.solution_days is not None:
        yield _("Throw the solution away after {n} days, or when a strip says it is weak.").format(
            n=_plain(step.solution_days)
        )


def _proof(protocol: Protocol, name: str) -> str:
    criterion = find_criterion(name)
    adopted = next((a for a in protocol.adoptions if a.criterion == criterion.name), None)
    said = (
        _("adopted on {day} by {who}").format(day=adopted.on.isoformat(), who=adopted.by)
        if adopted
        else _("NOT ADOPTED: shows, but opens no gate")
    )
    return f"{criterion.name}: {criterion.title} ({said})."


def _plain(value: float | None) -> str:
    return "–" if value is None else figure(value)


# ---- around ----


def _checks(kind: Kind, when: str) -> Iterator[str]:
    for check in kind.checks:
        if check.when == when:
            yield f"{check.what} ({check.by})."


def _duty(duty: Duty) -> str:
    every = (
        _("every {n} h").format(n=_plain(duty.every_h))
        if duty.every_h is not None
        else _("every {n} days").format(n=_plain(duty.every_days))
    )
    return f"{duty.what}, {every} ({duty.by})."


def _maker(limit: MakerLimit) -> str:
    parts = [limit.what]
    if limit.highest_steam_c is not None:
        parts.append(_("steam at most {at} °C").format(at=_plain(limit.highest_steam_c)))
    if limit.highest_water_c is not None:
        parts.append(_("water at most {at} °C").format(at=_plain(limit.highest_water_c)))
    if limit.cycles_at_most is not None:
        parts.append(_("at most {n} cycles").format(n=limit.cycles_at_most))
    if limit.not_with:
        parts.append(_("never with {names}").format(names=", ".join(limit.not_with)))
    return f"{'; '.join(parts)} ({limit.clause})."
