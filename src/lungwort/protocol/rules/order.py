"""The order of a turnaround: each step only counts after those it stands on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from lungwort.language import _
from lungwort.library.agents import Agent
from lungwort.library.loading import Basis, plain
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Kind, Step
from lungwort.protocol.rule import rule
from lungwort.protocol.sequence import (
    agent_of,
    at_step,
    breathes,
    by_contact,
    for_one_patient,
    meeting,
    named,
    places,
)

CLEAN_FIRST = (
    "CDC 2008 disinfection guideline and WHO 2016 decontamination manual: clean before any disinfection"
)
DRY = "CDC 2003 pneumonia guideline and CDC 2008: dry after rinsing; germs of water grow in what stays wet"
LOOK = "WHO 2016 decontamination manual: inspect after cleaning, before packing"
TEST = "Makers of ventilators: test for leaks after putting together"
APART = "CDC 2008 disinfection guideline: take apart, so that cleaning reaches every surface"
RINSE = "CDC 2003 pneumonia guideline and CDC 2008: tap water after treatment brings back germs of water"
AFTER_HEAT = (
    "sterile, else filtered 0.2 µm, else boiled and cooled; "
    "tap water only where 70 to 90 % alcohol and forced air follow"
)
THE_PLACE = "The document itself: the waters of the place"
STATES = "Lungwort: soiled, washed, treated, drying, ready; what is stored as ready is treated"

Look = Callable[[Protocol, int, Kind], Iterator[Finding]]


@rule(
    "order",
    "Steps stand in an order in which each one counts: apart, washed, treated, dry, looked at, tested, stored.",
)
def order(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield findings on steps that are missing or in the wrong order, for kinds that go back to a patient."""
    for k, kind in enumerate(protocol.kinds):
        if not for_one_patient(kind):
            for look in LOOKS:
                yield from look(protocol, k, kind)


def _finding(
    k: int, s: int, severity: Severity, says: str, remedy: str, source: str, basis: Basis, key: str = "do"
) -> Finding:
    return Finding("order", severity, at_step(k, s, key), says, remedy, source, basis)


def final_treatment(protocol: Protocol, kind: Kind) -> int | None:
    """Return the place of the treat step that what follows must not undo: the last that is not spirit, which dries."""
    treats = places(kind, "treat")
    agents = {s: agent_of(protocol, kind.steps[s]) for s in treats}
    real = [s for s in treats if (agent := agents[s]) is None or agent.rinse.times > 0]
    return real[-1] if real else (treats[-1] if treats else None)


# ---- clean before treated ----


def _washed_first(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    treats, washes = places(kind, "treat"), places(kind, "wash")
    if not treats or (washes and washes[0] < treats[0]):
        return
    first = treats[0]
    if washes and washes[0] < treats[-1]:
        says = _(
            "{kind}, {step}: it is treated before it is washed; only the treatment after the wash counts."
        )
        remedy = _("Wash first: a soak or heat before washing fixes blood and protein to the part.")
        severity = Severity.WARNING
    else:
        says = _(
            "{kind}, {step}: it is treated without having been washed; dirt shields germs, so nothing is shown."
        )
        remedy = _("Put a wash before it.")
        only_wiped = all(kind.steps[s].process == "wipe" for s in treats)
        severity = Severity.WARNING if only_wiped else Severity.ERROR
    text = says.format(kind=kind.name, step=named(first, kind.steps[first]))
    yield _finding(k, first, severity, text, remedy, CLEAN_FIRST, Basis.FROM_MEMORY)


def _not_washed_after(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    final, washes = final_treatment(protocol, kind), places(kind, "wash")
    if final is None or not washes or washes[0] > final or washes[-1] < final:
        return
    says = _("{kind}, {step}: it is washed after its last treatment, which undoes that.").format(
        kind=kind.name, step=named(washes[-1], kind.steps[washes[-1]])
    )
    remedy = _("Wash before the treatment, or treat once more after this wash.")
    yield _finding(k, washes[-1], by_contact(kind), says, remedy, CLEAN_FIRST, Basis.FROM_MEMORY)


def _apart_first(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    aparts, washes = places(kind, "take apart"), places(kind, "wash")
    if not aparts or not washes or aparts[0] < washes[-1]:
        return
    says = _(
        "{kind}, {step}: it is taken apart only after it is washed; the water did not reach every surface."
    )
    text = says.format(kind=kind.name, step=named(aparts[0], kind.steps[aparts[0]]))
    yield _finding(
        k, aparts[0], Severity.ERROR, text, _("Take it apart before the wash."), APART, Basis.FROM_MEMORY
    )


# ---- dry, looked at, tested, stored ----


def _dry_last(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    """Yield a finding where a part is stored wet, or, where nothing is stored, ends wet."""
    if kind.generic is not None and kind.generic.wipe_only:
        return
    wet: int | None = None
    for s, step in enumerate(kind.steps):
        if step.do == "dry":
            wet = None
        elif step.do in ("wash", "rinse") or step.process in ("soak", "hot water"):
            wet = s
        elif _leaves_damp(protocol, step):
            wet = s if wet is None else wet
        elif step.do == "store" and wet is not None:
            yield _wet(protocol, k, kind, s, wet)
            wet = None
    if wet is not None and not places(kind, "store"):
        yield _wet(protocol, k, kind, wet, wet)


def _leaves_damp(protocol: Protocol, step: Step) -> bool:
    """Return whether a step is steam in an autoclave without vacuum, which dries nothing."""
    autoclave = protocol.autoclave(step.equipment) if step.process == "steam" else None
    return autoclave is not None and autoclave.removal == "gravity"


def _wet(protocol: Protocol, k: int, kind: Kind, s: int, wet: int) -> Finding:
    says = _("{kind}: after {wet} no step dries it, so it is stored wet.")
    if s == wet:
        says = _("{kind}: after {wet} no step dries it, so it goes on wet.")
    text = says.format(kind=kind.name, wet=named(wet, kind.steps[wet]))
    steamed = [step for step in kind.steps[wet : max(s, wet + 1)] if step.process == "steam"]
    severity = by_contact(kind)
    if steamed and not any(_leaves_damp(protocol, step) for step in steamed):
        text += " " + _("The autoclave's vacuum may have dried it; the document does not say so.")
        severity = Severity.WARNING
    elif kind.steps[wet].process == "steam":
        text += " " + _("An autoclave without vacuum leaves its load damp.")
        severity = Severity.WARNING
    remedy = _("Add a dry step between them, with the time it takes.")
    return _finding(k, s, severity, text, remedy, DRY, Basis.FROM_MEMORY)


def _looked_at(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    washed = next(iter(places(kind, "wash")), -1)
    ends = [s for s in places(kind, "assemble", "store") if s > washed]
    if not ends or any(washed < s < ends[0] for s in places(kind, "look")):
        return
    says = _("{kind}, {step}: nobody looks before this whether it is clean and whole.").format(
        kind=kind.name, step=named(ends[0], kind.steps[ends[0]])
    )
    severity = Severity.WARNING if breathes(kind) else Severity.NOTE
    remedy = _("Add a look step before it, in good light.")
    yield _finding(k, ends[0], severity, says, remedy, LOOK, Basis.FROM_MEMORY)


def _tested(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    """Yield a finding where a machine or an assembled part has no test after it is put together."""
    needing = places(kind, "assemble") or (places(kind, "wash", "treat") if kind.machine else [])
    if not needing and not (kind.machine and kind.steps):
        return
    after, tests = max(needing, default=-1), places(kind, "test")
    if any(s > after for s in tests):
        return
    says = _("{kind} is used untested: no test step follows its last step of putting together or cleaning.")
    severity = Severity.ERROR
    if any(check.when == "before use" and "test" in plain(check.what) for check in kind.checks):
        says = _(
            "{kind} is tested only before use, at the bedside: a fault found there leaves a patient waiting."
        )
        severity = Severity.WARNING
    place = tests[-1] if tests else max(after, 0)
    remedy = _("Add a test step after it, such as a leak test.")
    yield _finding(k, place, severity, says.format(kind=kind.name), remedy, TEST, Basis.COMMON_PRACTICE)


def _stored_last(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    treats, washes = places(kind, "treat"), places(kind, "wash")
    stores = [s for s in places(kind, "store") if washes and s > washes[0]]
    if not treats or not stores or treats[-1] < stores[-1]:
        return
    says = _("{kind}, {step}: it is treated after it is stored; from the store it may be taken untreated.")
    text = says.format(kind=kind.name, step=named(treats[-1], kind.steps[treats[-1]]))
    remedy = _("Treat before storing.")
    yield _finding(k, treats[-1], by_contact(kind), text, remedy, STATES, Basis.COMPUTED)


# ---- rinse ----

STOPS = ("treat", "dry", "assemble", "test", "store")


def _rinsed(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    """Yield a finding for each soak that is not rinsed off, or not often enough."""
    for s, step in enumerate(kind.steps):
        agent = agent_of(protocol, step) if step.process == "soak" else None
        if agent is None or agent.rinse.times == 0:
            continue
        rinses = _rinses_after(kind, s)
        if rinses:
            yield from _often_enough(k, kind, s, rinses, agent)
        elif meeting(protocol, kind, s) is None:  # else the rule of mixtures speaks of it
            yield _unrinsed(k, kind, s, agent)


def _unrinsed(k: int, kind: Kind, s: int, agent: Agent) -> Finding:
    says = _(
        "{kind}, {step}: no rinse follows the soak in {agent}; what stays on the part harms the patient."
    )
    remedy = _("Add a rinse before it is dried; water: {water}; times: {count}.")
    return _finding(
        k,
        s,
        by_contact(kind),
        says.format(kind=kind.name, step=named(s, kind.steps[s]), agent=agent.name),
        remedy.format(water=agent.rinse.water, count=agent.rinse.times),
        agent.rinse.source,
        agent.rinse.basis,
    )


def _often_enough(k: int, kind: Kind, s: int, rinses: list[int], agent: Agent) -> Iterator[Finding]:
    times, asked = sum(kind.steps[r].times for r in rinses), agent.rinse.times
    if times >= asked:
        return
    says = _("{kind}, {step}: rinses after {agent}: {times}; asked: {asked}.").format(
        kind=kind.name,
        step=named(rinses[-1], kind.steps[rinses[-1]]),
        agent=agent.name,
        times=times,
        asked=asked,
    )
    remedy = _("Rinse with fresh water each time: times = {count}.").format(count=asked)
    rinse = agent.rinse
    yield _finding(k, rinses[-1], by_contact(kind), says, remedy, rinse.source, rinse.basis, "times")


def _rinses_after(kind: Kind, s: int) -> list[int]:
    """Return the rinses that follow a soak before the part goes on."""
    found = []
    for later in range(s + 1, len(kind.steps)):
        if kind.steps[later].do in STOPS:
            break
        if kind.steps[later].do == "rinse":
            found.append(later)
    return found


def _waters(protocol: Protocol, k: int, kind: Kind) -> Iterator[Finding]:
    """Yield a finding for each water that the place does not have, or that undoes the last treatment."""
    final = final_treatment(protocol, kind)
    for s, step in enumerate(kind.steps):
        if step.water is None:
            continue
        ends = step.do == "rinse" and final is not None and final < s
        if ends and breathes(kind) and "wash" not in {each.do for each in kind.steps[final:s]}:
            unfit = _unfit(protocol, k, kind, s, final or 0)
            if unfit is not None:
                yield unfit
                continue
        if step.water not in protocol.place.waters:
            yield _not_here(protocol, k, kind, s)


def _not_here(protocol: Protocol, k: int, kind: Kind, s: int) -> Finding:
    step = kind.steps[s]
    says = _("{kind}, {step}: the place has no {water} water; it has {waters}.")
    remedy = _("Name a water the place has, or add this one to its waters once it is there.")
    waters = ", ".join(_(water) for water in protocol.place.waters)
    words = {"kind": kind.name, "step": named(s, step), "water": _(step.water or ""), "waters": waters}
    return _finding(k, s, Severity.ERROR, says.format(**words), remedy, THE_PLACE, Basis.COMPUTED, "water")


def _unfit(protocol: Protocol, k: int, kind: Kind, s: int, final: int) -> Finding | None:
    """Return a finding where a rinse after the last treatment has water not fit for breathing parts."""
    step, agent = kind.steps[s], agent_of(protocol, kind.steps[final])
    asked, source, basis = (AFTER_HEAT, RINSE, Basis.FROM_MEMORY)
    if agent is not None and agent.rinse.times:
        asked, source, basis = agent.rinse.water, agent.rinse.source, agent.rinse.basis
    fit, _mark, exception = asked.partition(";")
    if (step.water or "") in fit:
        return None
    excused = step.water == "tap" and "alcohol" in exception and _spirit_and_dry(protocol, kind, s)
    severity = Severity.ERROR if step.water == "tap" else Severity.WARNING
    says = _("{kind}, {step}: {water} water after the last treatment may bring back germs of water.")
    remedy = _("Rinse with: {asked}.")
    if excused:
        severity = Severity.NOTE
        says = _("{kind}, {step}: {water} water is borne only because spirit and drying follow.")
    words = {"kind": kind.name, "step": named(s, step), "water": _(step.water or "")}
    return _finding(k, s, severity, says.format(**words), remedy.format(asked=asked), source, basis, "water")


def _spirit_and_dry(protocol: Protocol, kind: Kind, s: int) -> bool:
    """Return whether a soak in spirit and a drying follow a rinse, in that order."""
    agents = {later: agent_of(protocol, kind.steps[later]) for later in range(s + 1, len(kind.steps))}
    spirits = [later for later, agent in agents.items() if agent is not None and agent.rinse.times == 0]
    return bool(spirits) and any(later > spirits[0] for later in places(kind, "dry"))


LOOKS: tuple[Look, ...] = (
    _apart_first,
    _washed_first,
    _not_washed_after,
    _rinsed,
    _waters,
    _dry_last,
    _looked_at,
    _tested,
    _stored_last,
)
