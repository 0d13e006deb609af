"""Whether the equipment listed can give the proof that each step asks: criteria, thermometers, scales, calibration."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import ceil

from lungwort.language import _, number
from lungwort.library.catalogue import find_criterion
from lungwort.library.criteria import Criterion, Limit
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import Thermometer
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Step
from lungwort.protocol.lines import Path
from lungwort.protocol.planned import (
    CRITERION_PROCESS,
    Heat,
    heat_of,
    proving,
    standing,
    use_of,
)
from lungwort.protocol.rule import rule, steps_of
from lungwort.science.lethality import Z_K
from lungwort.science.uncertainty import bias_quantile
from lungwort.wording import day, figure

CONFIDENCE = 0.95
LEAST_ROOM_K = 1.0
MOST_COST = 0.30
SOON_DAYS = 31
OURS = "Lungwort: what is not measured is not shown"
GUARD = "JCGM 106:2012: guarded acceptance, one-sided 95 %"
CALIBRATION = "Lungwort: a thermometer proves nothing beyond the date to which its calibration holds"
PROCESSES = {"steam": "steam", "hot water": "hot water", "chemical": "soaks", "drying": "drying"}


@rule(
    "proof", "Every treat step names its criteria, and the equipment listed can give the proof they ask for."
)
def proof(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a finding for each step whose proof is not named, or that no instrument listed can give."""
    for k, _kind, s, step in steps_of(protocol):
        at: Path = ("kind", k, "step", s)
        yield from _named(protocol, at, step)
        if step.process in ("steam", "hot water") and _exists(protocol, step):
            yield from _measured(protocol, at, step)
        elif step.proved_by and step.do == "dry" and not protocol.scales:
            says = _("Dryness is to be proved by weight, and no scale is listed.")
            remedy = _("List a scale under [[scale]], or take the criterion out.")
            yield _finding(Severity.ERROR, (*at, "proved_by"), says, remedy, OURS)
    yield from _calibrated(protocol, today)


def _finding(
    severity: Severity, path: Path, says: str, remedy: str, source: str, computed: str = ""
) -> Finding:
    return Finding("proof", severity, path, says, remedy, source, Basis.COMPUTED, computed)


def _exists(protocol: Protocol, step: Step) -> bool:
    """Whether the step's equipment is in the document; where not, the rule of references speaks."""
    if step.process == "steam":
        return protocol.autoclave(step.equipment) is not None
    return protocol.bath(step.equipment) is not None


# ---- which criteria ----


def _named(protocol: Protocol, at: Path, step: Step) -> Iterator[Finding]:
    """Yield an error for a treat step without criteria, and for each criterion of another process or agent."""
    if step.do == "treat" and step.process != "wipe" and not step.proved_by:
        says = _("This step names no criterion, so nothing can prove it.")
        remedy = _(
            "Add proved_by, with a criterion that the hospital has adopted; `lungwort criteria` lists them."
        )
        yield _finding(Severity.ERROR, (*at, "proved_by"), says, remedy, OURS)
    for criterion in map(find_criterion, step.proved_by):
        if criterion.process != _asked_process(step):
            says = _("{criterion} is a criterion for {its}; it cannot prove this step ({step}).").format(
                criterion=criterion.name, its=_(PROCESSES[criterion.process]), step=_(step.process or step.do)
            )
        elif _other_agent(protocol, step, criterion):
            says = _("{criterion} is a criterion for another agent than {stock} holds.").format(
                criterion=criterion.name, stock=step.stock
            )
        else:
            continue
        remedy = _("Name a criterion of the step's own process; `lungwort criteria` lists them.")
        yield _finding(Severity.ERROR, (*at, "proved_by"), says, remedy, OURS)


def _asked_process(step: Step) -> str:
    return "drying" if step.do == "dry" else CRITERION_PROCESS.get(step.process or "", "")


def _other_agent(protocol: Protocol, step: Step, criterion: Criterion) -> bool:
    found, stock = use_of(criterion), protocol.stock(step.stock)
    return found is not None and stock is not None and found[0].name != stock.agent


# ---- with which instruments ----


def _measured(protocol: Protocol, at: Path, step: Step) -> Iterator[Finding]:
    """Yield what the best thermometer on the step's equipment cannot show."""
    used = [(t, x) for t, x in enumerate(protocol.thermometers) if step.equipment in x.used_on]
    if not used:
        says = _("No thermometer listed is used on {equipment}: its heat cannot be shown.")
        remedy = _('List a thermometer or logger with used_on = ["{equipment}"].')
        says, remedy = (text.format(equipment=step.equipment) for text in (says, remedy))
        yield _finding(Severity.ERROR, (*at, "equipment"), says, remedy, OURS)
        return
    planned = heat_of(protocol, at, step)
    each = [list(_cannot(("thermometer", t), x, at, step, planned)) for t, x in used]
    yield from min(each, key=lambda found: (sum(f.severity is Severity.ERROR for f in found), len(found)))


def _cannot(
    path: Path, thermometer: Thermometer, at: Path, step: Step, planned: Heat | None
) -> Iterator[Finding]:
    for criterion in proving(step):
        for limit in criterion.limits:
            if limit.rule == "sampling":
                yield from _too_slow(path, thermometer, criterion, limit)
            elif limit.rule == "hold":
                yield from _too_coarse(path, thermometer, criterion, limit)
            elif limit.rule in ("a0", "f0"):
                yield from _too_costly(path, thermometer, criterion, limit)
            elif limit.rule == "saturation" and not thermometer.pressure_too:
                yield _no_pressure(path, thermometer, limit)
        if planned is not None and step.process == "hot water":
            yield from _no_room(at, thermometer, criterion, planned)


def _too_slow(path: Path, thermometer: Thermometer, criterion: Criterion, limit: Limit) -> Iterator[Finding]:
    if limit.at_most is None or thermometer.interval_s <= limit.at_most:
        return
    says = _("{name} reads every {interval} s; {criterion} needs a reading every {most} s or faster.").format(
        name=thermometer.name,
        interval=figure(thermometer.interval_s, 1),
        criterion=criterion.name,
        most=number(limit.at_most, 0),
    )
    remedy = _("Set the logger to {most} s or less, or use a faster one.").format(
        most=number(limit.at_most, 0)
    )
    where = (*path, "interval_s")
    yield Finding("proof", Severity.ERROR, where, says, remedy, limit.source, limit.basis)


def _errors_k(thermometer: Thermometer, temperature_c: float) -> tuple[float, float]:
    """Return the lowest and highest error of indication to reckon with, each at 95 %."""
    bias = thermometer.described.bias_at(min(max(temperature_c, 0.0), 200.0))
    return float(bias_quantile(bias, 1 - CONFIDENCE)), float(bias_quantile(bias, CONFIDENCE))


def _too_coarse(
    path: Path, thermometer: Thermometer, criterion: Criterion, limit: Limit
) -> Iterator[Finding]:
    """Yield an error where the thermometer's error leaves too little of a band to hold."""
    if limit.at_least is None or limit.at_most is None:
        return
    low_k, high_k = _errors_k(thermometer, limit.at_least)
    band_k = limit.at_most - limit.at_least
    room_k = band_k - (high_k - low_k)
    if room_k >= LEAST_ROOM_K:
        return
    says = _("{name} ({sensor}) is too coarse for the band of {criterion}.").format(
        name=thermometer.name, sensor=thermometer.sensor, criterion=criterion.name
    )
    remedy = _(
        "Use a thermometer with a certificate, or a finer one: errors of ±{most} K leave {least} K."
    ).format(most=number((band_k - LEAST_ROOM_K) / 2, 1), least=number(LEAST_ROOM_K, 0))
    computed = _("band {band} K less {low} and {high} K of error at 95 % leaves {room} K").format(
        band=number(band_k), low=number(-low_k, 2), high=number(high_k, 2), room=number(max(room_k, 0.0), 2)
    )
    yield _finding(Severity.ERROR, (*path, "sensor"), says, remedy, GUARD, computed)


def _too_costly(
    path: Path, thermometer: Thermometer, criterion: Criterion, limit: Limit
) -> Iterator[Finding]:
    """Yield a warning where the thermometer's error costs much of the lethality that a cycle reaches."""
    high_k = _errors_k(thermometer, limit.reference_c or 0.0)[1]
    kept = 10 ** (-high_k / Z_K)
    if 1 - kept <= MOST_COST:
        return
    says = _(
        "{name} ({sensor}) is coarse: {cost} % of what {criterion} counts in each cycle cannot be shown."
    ).format(
        name=thermometer.name,
        sensor=thermometer.sensor,
        cost=number(100 * (1 - kept), 0),
        criterion=criterion.name,
    )
    remedy = _("Use a finer thermometer, or hold {factor} times as long.").format(factor=number(1 / kept, 2))
    computed = _("an error of {high} K at 95 % leaves 10^(−{high} / 10) = {kept} %").format(
        high=number(high_k, 2), kept=number(100 * kept, 0)
    )
    yield _finding(Severity.WARNING, (*path, "sensor"), says, remedy, GUARD, computed)


def _no_pressure(path: Path, thermometer: Thermometer, limit: Limit) -> Finding:
    says = _("{name} has no pressure beside its temperature: that the steam is free of air cannot be shown.")
    remedy = _("Use a logger with pressure, or log the gauge too, and write pressure_too = true.")
    words = says.format(name=thermometer.name)
    where = (*path, "pressure_too")
    return Finding("proof", Severity.ERROR, where, words, remedy, limit.source, limit.basis)


def _no_room(at: Path, thermometer: Thermometer, criterion: Criterion, planned: Heat) -> Iterator[Finding]:
    """Yield a warning where a cycle just as planned would not be shown, for the thermometer's error."""
    high_k = _errors_k(thermometer, planned.temperature_c)[1]
    ideal = standing(criterion, planned.temperature_c, planned.hold_min)
    shown = standing(criterion, planned.temperature_c - high_k, planned.hold_min)
    if ideal is None or shown is None or not ideal.met or shown.met:
        return
    says = _(
        "A cycle just as planned would not be shown to meet {criterion}: {name} may read {high} K high."
    ).format(criterion=criterion.name, name=thermometer.name, high=number(high_k, 2))
    remedy = _("Plan {high} K hotter.")
    if shown.fault == "too little":
        remedy = _("Hold it {minutes} min or longer, or plan {high} K hotter.")
    minutes = number(ceil((shown.needed_min or 0.0) * 10 - 1e-6) / 10)
    remedy = remedy.format(high=number(ceil(high_k * 10 - 1e-6) / 10), minutes=minutes)
    key = planned.hold_path if shown.fault == "too little" else planned.temperature_path
    yield _finding(Severity.WARNING, key, says, remedy, GUARD, shown.computed)


# ---- calibration ----


def _calibrated(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield what is wrong with the calibration of each thermometer listed."""
    for t, thermometer in enumerate(protocol.thermometers):
        due, path = thermometer.calibration_due, ("thermometer", t, "calibration_due")
        name = thermometer.name
        remedy = _("Have it calibrated, or compare it with one that is, and write the new date.")
        if due is None:
            says = _("{name} has no calibration_due: whether its calibration holds is not shown.")
            yield _finding(Severity.WARNING, path, says.format(name=name), remedy, CALIBRATION)
        elif due < today:
            says = _("The calibration of {name} lapsed on {day}.").format(name=name, day=day(due))
            yield _finding(Severity.ERROR, path, says, remedy, CALIBRATION)
        elif (due - today).days <= SOON_DAYS:
            says = _("The calibration of {name} lapses on {day}.").format(name=name, day=day(due))
            yield _finding(Severity.WARNING, path, says, remedy, CALIBRATION)
