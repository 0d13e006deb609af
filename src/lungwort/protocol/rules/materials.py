"""Materials against processes: what a part is made of, what its maker forbids, and how many cycles it lasts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import lru_cache

from lungwort.errors import LungwortError
from lungwort.language import _, number
from lungwort.library.agents import find_agent
from lungwort.library.fits import Fit, Reason, fits
from lungwort.library.loading import Basis, plain, weakest
from lungwort.library.materials import Answer
from lungwort.library.parts import find_part
from lungwort.library.treatments import find_treatment
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Kind, MakerLimit, Step
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import maker_doubts
from lungwort.protocol.planned import heat_of
from lungwort.protocol.rule import rule, steps_of
from lungwort.wording import figure

SOON_DAYS = 90
HEAT_NAMES = {"steam": ("steam", "autoclave", "autoclaving"), "hot water": ("hot water", "pasteurisation")}
STEAM_C, WATER_C = (100.0, 150.0), (40.0, 100.0)
SEVERITIES = {
    Answer.DOES_NOT_FIT: Severity.ERROR,
    Answer.LIMITED: Severity.WARNING,
    Answer.NOT_SHOWN: Severity.NOTE,
}
OUR_RULE = "Lungwort: where nobody told us, nobody may lean on it"


@rule(
    "materials", "Every part bears the processes it goes through, by its materials and by its maker's word."
)
def materials(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a finding for each treat step that a kind's maker forbids or its materials do not surely bear."""
    for k, kind, s, step in steps_of(protocol):
        process, temperature_c = _process(protocol, ("kind", k, "step", s), step)
        if process is None or _single_patient(kind):
            continue
        path: Path = ("kind", k, "step", s, _key(step))
        forbidden = list(_forbidden(protocol, kind, step, path, temperature_c))
        yield from forbidden or _borne(kind, step, process, path, _allowed(kind, step, temperature_c))
    for k, kind in enumerate(protocol.kinds):
        for m, limit in enumerate(kind.makers):
            yield from _not_understood(("kind", k, "maker", m, "not_with"), limit)
            yield from _cycles(("kind", k, "maker", m, "cycles_at_most"), kind, limit)


def _single_patient(kind: Kind) -> bool:
    """Whether it is for one patient: then the rule on such parts speaks, and no process is right for it."""
    return kind.reuse == "single patient" or _generic_reuse(kind.like) == "single patient"


@lru_cache(maxsize=256)
def _generic_reuse(like: str | None) -> str:
    return "reusable" if like is None else find_part(like).reuse


def _process(protocol: Protocol, at: Path, step: Step) -> tuple[str | None, float | None]:
    """Return the process by the name the library knows, and its temperature; None where another rule doubts it."""
    if step.process in ("soak", "wipe"):
        stock = protocol.stock(step.stock)
        return (None if stock is None else stock.agent), None
    planned = heat_of(protocol, at, step) if step.process else None
    if planned is None:
        return None, None
    low_c, high_c = STEAM_C if step.process == "steam" else WATER_C
    usual_c = min(max(planned.temperature_c, low_c), high_c)
    return f"{step.process} {usual_c:.1f}", planned.temperature_c


def _key(step: Step) -> str:
    return {"steam": "setting", "hot water": "temperature_c"}.get(step.process or "", "stock")


# ---- what the maker says ----


def _forbidden(
    protocol: Protocol, kind: Kind, step: Step, path: Path, temperature_c: float | None
) -> Iterator[Finding]:
    """Yield an error for each clause of the maker that a step goes against."""
    for limit in kind.makers:
        most_c = _highest(limit, step)
        if temperature_c is not None and most_c is not None and temperature_c > most_c + 1e-9:
            says = _("{process} of {at} °C is hotter than the maker allows: {most} °C for {what}.").format(
                process=_first_large(_(step.process or "")),
                at=number(temperature_c),
                most=number(most_c),
                what=limit.what,
            )
            remedy = _("Choose {most} °C at most, or another process that the maker allows.")
            yield _by_maker(path, limit, says, remedy.format(most=number(most_c)))
        for name in limit.not_with:
            if _is_process(name, protocol, step):
                says = _("The maker forbids {name} for {what}.").format(name=name, what=limit.what)
                yield _by_maker(path, limit, says, _("Choose a process that the maker allows."))


def _by_maker(path: Path, limit: MakerLimit, says: str, remedy: str) -> Finding:
    source = _("maker's instructions, clause {clause}, as written in this document").format(
        clause=limit.clause
    )
    return Finding("materials", Severity.ERROR, path, says, remedy, source, Basis.PUBLISHED)


def _highest(limit: MakerLimit, step: Step) -> float | None:
    key = "highest_steam_c" if step.process == "steam" else "highest_water_c"
    if any(doubt.key == key for doubt in maker_doubts(limit)):
        return None
    return limit.highest_steam_c if step.process == "steam" else limit.highest_water_c


def _allowed(kind: Kind, step: Step, temperature_c: float | None) -> str:
    """Return the clause by which the maker allows a heat in so many words; empty where none does."""
    if temperature_c is None:
        return ""
    clauses = [limit.clause for limit in kind.makers if _highest(limit, step) is not None]
    return ", ".join(clauses)


def _is_process(name: str, protocol: Protocol, step: Step) -> bool:
    """Whether what a maker forbids is what a step does."""
    if step.process in HEAT_NAMES:
        return plain(name) in HEAT_NAMES[step.process]
    stock = protocol.stock(step.stock)
    return stock is not None and stock.agent in _agents_called(name)


@lru_cache(maxsize=256)
def _agents_called(name: str) -> frozenset[str]:
    """Return the agents that a name stands for: one, or all of a group such as alcohol; none where unknown."""
    try:
        return frozenset({find_agent(name).name})
    except LungwortError:
        pass
    try:
        return frozenset(find_treatment(name).column.agents)
    except LungwortError:
        return frozenset()


def _not_understood(path: Path, limit: MakerLimit) -> Iterator[Finding]:
    """Yield a warning for what a maker forbids under a name that is not known here, and so is not looked for."""
    for name in limit.not_with:
        if not _known(name):
            says = _("{name!r} is not known here, so no step is checked against it.").format(name=name)
            remedy = _(
                "Use a name that `lungwort fits` lists, or check the steps by hand and say so in a note."
            )
            yield Finding("materials", Severity.WARNING, path, says, remedy, OUR_RULE, Basis.COMPUTED)


@lru_cache(maxsize=256)
def _known(name: str) -> bool:
    if _agents_called(name) or any(plain(name) in names for names in HEAT_NAMES.values()):
        return True
    try:
        find_treatment(name)
    except LungwortError:
        return False
    return True


# ---- what the materials bear ----


def _borne(kind: Kind, step: Step, process: str, path: Path, allowed: str) -> Iterator[Finding]:
    """Yield the worst that is known of the kind's materials; a heat that the maker allows is at most noted."""
    things = kind.materials or ((kind.like,) if kind.like else ())
    if not things:
        says = _("What it is made of is not stated, so whether it bears {process} is not shown.")
        remedy = _("Add materials, or like = a kind of part that `lungwort fits` lists.")
        words = says.format(process=process)
        yield Finding("materials", Severity.NOTE, path, words, remedy, OUR_RULE, Basis.COMPUTED)
        return
    reasons = [
        reason for thing in things for reason in _fit(thing, process).reasons if reason.about != kind.like
    ]
    reasons += _of_build(kind, step, process)
    answers = [a for a in SEVERITIES if any(reason.answer is a for reason in reasons)]
    for answer in answers[:1] if Answer.DOES_NOT_FIT in answers else answers:
        yield from _said(answer, reasons, _fit(things[0], process).process, path, allowed)


@lru_cache(maxsize=4096)
def _fit(thing: str, process: str) -> Fit:
    return fits(thing, process)


def _of_build(kind: Kind, step: Step, process: str) -> list[Reason]:
    """Return what the build of the generic part adds: one that is only to be wiped may be wiped, never soaked."""
    if kind.like is None or step.process == "wipe":
        return []
    found = [reason for reason in _fit(kind.like, process).reasons if reason.about == kind.like]
    return [replace(reason, answer=Answer.DOES_NOT_FIT) for reason in found]


def _said(
    answer: Answer, reasons: Iterable[Reason], process: str, path: Path, allowed: str
) -> Iterator[Finding]:
    """Yield one finding with all the reasons for one answer."""
    if allowed and answer is not Answer.DOES_NOT_FIT:
        return
    chosen = list(dict.fromkeys(reason for reason in reasons if reason.answer is answer))
    told = "; ".join(f"{reason.about}: {reason.sentence.rstrip('.')}" for reason in chosen) + "."
    says = _first_large(_says(answer).format(process=process, reasons=told))
    severity, remedy = (Severity.NOTE if allowed else SEVERITIES[answer]), _remedy(answer, allowed)
    sources = "; ".join(dict.fromkeys(reason.source for reason in chosen))
    basis = weakest(reason.basis for reason in chosen)
    yield Finding("materials", severity, path, says, remedy, sources, basis)


def _says(answer: Answer) -> str:
    return {
        Answer.DOES_NOT_FIT: _("{process} ruins it: {reasons}"),
        Answer.LIMITED: _("{process} is borne within limits only: {reasons}"),
        Answer.NOT_SHOWN: _("whether it bears {process} is not shown: {reasons}"),
    }[answer]


def _remedy(answer: Answer, allowed: str) -> str:
    if allowed:
        text = _("The maker allows it (clause {clause}), and that counts; look for damage after each cycle.")
        return text.format(clause=allowed)
    return {
        Answer.DOES_NOT_FIT: _("Choose another process, or state the materials of the part in hand."),
        Answer.LIMITED: _(
            "Look for damage after each cycle, and count the cycles; the maker's word overrides."
        ),
        Answer.NOT_SHOWN: _("Ask the maker, and write the answer as a limit of the maker with its clause."),
    }[answer]


def _first_large(text: str) -> str:
    return text[:1].upper() + text[1:]


# ---- how long a set lasts ----


def _cycles(path: Path, kind: Kind, limit: MakerLimit) -> Iterator[Finding]:
    """Yield how long the sets last that the maker allows so many cycles; a warning where that is soon."""
    most, sets, used = limit.cycles_at_most, kind.sets_owned, kind.used_per_day
    if most is None:
        return
    source = _("maker's instructions, clause {clause}, as written in this document").format(
        clause=limit.clause
    )
    if not sets or not used:
        says = _("The maker allows {most} cycles; how long that lasts is not shown.").format(most=most)
        remedy = _("Add sets_owned and used_per_day, and count the cycles of each set.")
        yield Finding("materials", Severity.NOTE, path, says, remedy, source, Basis.COMPUTED)
        return
    days = most * sets / used
    severity = Severity.WARNING if days < SOON_DAYS else Severity.NOTE
    says = _("At {most} cycles each, the {sets} sets are worn out after {days} days of use.").format(
        most=most, sets=sets, days=number(int(min(days, 1e6)), 0)
    )
    remedy = _("Count the cycles of each set, and order new ones in time.")
    computed = _(
        "{most} cycles · {sets} sets / {used} used a day = {days} days; one cycle a turnaround"
    ).format(most=most, sets=sets, used=figure(used), days=number(min(days, 1e6), 0))
    yield Finding("materials", severity, path, says, remedy, source, Basis.COMPUTED, computed)
