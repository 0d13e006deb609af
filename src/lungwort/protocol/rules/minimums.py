"""Holds, strengths, contact times and ages of solutions against the published minimum of each way to treat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from lungwort.evidence.strengths import substance_of
from lungwort.language import _, number
from lungwort.library.agents import Agent, Use
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.kinds import Step
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import step_doubts
from lungwort.protocol.planned import heat_of, proving, standing, strength_asked, use_of, uses_for
from lungwort.protocol.rule import rule, steps_of
from lungwort.wording import figure

BARELY = 1e-9
CONTRACTION = 0.96
"""Alcohol and water shrink when mixed, by at most 4 %, so that per cent by weight come out lower (common knowledge)."""


@dataclass(frozen=True)
class Chemical:
    """A step with an agent as planned: its path, the strength asked in mg/L, and the use it is held against."""

    at: Path
    step: Step
    agent: Agent
    use: Use
    asked_mg_per_l: float


@rule(
    "minimums",
    "Holds, strengths and contact times are not below the published minimum, nor solutions older than it.",
)
def minimums(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a finding for each hold, strength, contact or age of a solution that its published use does not allow."""
    for k, _kind, s, step in steps_of(protocol):
        at: Path = ("kind", k, "step", s)
        if step.process in ("steam", "hot water"):
            yield from _hold(protocol, at, step)
        elif step.process in ("soak", "wipe"):
            yield from _chemical(protocol, at, step)


def _hold(protocol: Protocol, at: Path, step: Step) -> Iterator[Finding]:
    planned = heat_of(protocol, at, step)
    for criterion in proving(step) if planned else ():
        assert planned is not None
        found = standing(criterion, planned.temperature_c, planned.hold_min)
        if found is None or found.fault != "too short":
            continue
        says = _("A hold of {hold} min is shorter than the {asked} min of {criterion}.").format(
            hold=figure(planned.hold_min, 1),
            asked=figure(found.needed_min or 0.0, 1),
            criterion=criterion.name,
        )
        remedy = _("Hold it {asked} min or longer, or name the criterion that is meant.")
        words = remedy.format(asked=figure(found.needed_min or 0.0, 1))
        limit = found.limit
        path = planned.hold_path
        yield Finding(
            "minimums", Severity.ERROR, path, says, words, limit.source, limit.basis, found.computed
        )


# ---- soaks and wipes ----


def _chemical(protocol: Protocol, at: Path, step: Step) -> Iterator[Finding]:
    stock, asked = protocol.stock(step.stock), strength_asked(protocol, step)
    if stock is None or asked is None or step.contact_min is None or step_doubts(protocol, step):
        return
    agent = stock.described
    named = [found[1] for found in map(use_of, proving(step)) if found and found[0] == agent]
    held = [Chemical(at, step, agent, use, asked.strength_mg_per_l) for use in named or uses_for(agent, step)]
    if named:
        for plan in held:
            yield from _against(protocol, plan)
    elif held:
        yield from _against(protocol, _nearest(held))


def _nearest(plans: Sequence[Chemical]) -> Chemical:
    """Return the use that a plan without a criterion comes nearest to: fewest faults, then the weakest of them."""
    return min(
        plans, key=lambda plan: (_too_weak(plan) + _too_short(plan), plan.use.strength_mg_per_l or 0.0)
    )


def _against(protocol: Protocol, plan: Chemical) -> Iterator[Finding]:
    if _too_weak(plan):
        yield _weak(plan)
    elif _too_strong(plan):
        yield _strong(plan)
    if _too_short(plan):
        yield _short(plan)
    yield from _age(plan)
    yield from _cold(protocol, plan)


def _too_weak(plan: Chemical) -> bool:
    least = plan.use.strength_mg_per_l
    if least is not None:
        return plan.asked_mg_per_l < least * (1 - BARELY)
    by_weight = _percent_by_weight(plan)
    return by_weight is not None and by_weight * CONTRACTION < (plan.use.strength_percent or 0.0)


def _too_strong(plan: Chemical) -> bool:
    most = plan.use.strength_at_most_mg_per_l
    if most is not None:
        return plan.asked_mg_per_l > most * (1 + BARELY)
    by_weight, most_percent = _percent_by_weight(plan), plan.use.strength_at_most_percent
    return by_weight is not None and most_percent is not None and by_weight * CONTRACTION > most_percent


def _percent_by_weight(plan: Chemical) -> float | None:
    """Return an alcohol's strength in per cent by weight, volumes taken to add up; None for other agents."""
    pure = substance_of(plan.agent).pure_kg_per_l
    if pure is None or plan.use.percent_basis != "w/w":
        return None
    kg_per_l = plan.asked_mg_per_l / 1e6
    return 100.0 * kg_per_l / (1.0 - kg_per_l / pure + kg_per_l)


def _too_short(plan: Chemical) -> bool:
    return (plan.step.contact_min or 0.0) * 60 < plan.use.contact_s * (1 - BARELY)


def _strength_words(plan: Chemical) -> tuple[str, str]:
    """Return the least and the most that the use allows, with their unit; an en dash where there is none."""
    use = plan.use
    if use.strength_mg_per_l is not None:
        return _mg_per_l(use.strength_mg_per_l), _mg_per_l(use.strength_at_most_mg_per_l)
    unit = f"% {use.percent_basis}"
    return f"{number(use.strength_percent, 0)} {unit}", f"{number(use.strength_at_most_percent, 0)} {unit}"


def _mg_per_l(strength: float | None) -> str:
    return f"{number(strength, 0)} mg/L"


def _computed(plan: Chemical) -> str:
    by_weight = _percent_by_weight(plan)
    if by_weight is None:
        text = _("{written} is {asked} mg/L")
        return text.format(written=plan.step.strength, asked=number(plan.asked_mg_per_l, 0))
    text = _("{written} is {low} to {high} % w/w")
    low, high = number(by_weight * CONTRACTION), number(by_weight)
    return text.format(written=plan.step.strength, low=low, high=high)


def _finding(
    severity: Severity, plan: Chemical, key: str, says: str, remedy: str, computed: str = ""
) -> Finding:
    use = plan.use
    return Finding("minimums", severity, (*plan.at, key), says, remedy, use.source, use.basis, computed)


def _called(plan: Chemical) -> str:
    return f"{plan.agent.name} ({plan.use.name})"


def _weak(plan: Chemical) -> Finding:
    least = _strength_words(plan)[0]
    says = _("A strength of {asked} is below the {least} published for {use}.")
    words = says.format(asked=plan.step.strength, least=least, use=_called(plan))
    remedy = _("Ask for {least} or more, and for its contact time; or name the use that is meant.")
    return _finding(Severity.ERROR, plan, "strength", words, remedy.format(least=least), _computed(plan))


def _strong(plan: Chemical) -> Finding:
    most = _strength_words(plan)[1]
    says = _("A strength of {asked} is above the {most} up to which {use} is published.")
    words = says.format(asked=plan.step.strength, most=most, use=_called(plan))
    remedy = _("Ask for {most} at most, or name the use that is meant: stronger harms parts and people more.")
    return _finding(Severity.WARNING, plan, "strength", words, remedy.format(most=most), _computed(plan))


def _short(plan: Chemical) -> Finding:
    asked_min = figure(plan.use.contact_s / 60, 1)
    says = _("{contact} min of contact are fewer than the {asked} min published for {use}.")
    words = says.format(contact=figure(plan.step.contact_min or 0.0, 1), asked=asked_min, use=_called(plan))
    remedy = _("Keep it under for {asked} min or longer.")
    if plan.step.process == "wipe":
        remedy = _("Keep it wet for {asked} min or longer.")
    computed = ""
    if plan.use.contact_shortest_s is not None:
        text = _("documents and labels give {shortest} to {longest} min; the cautious end counts")
        computed = text.format(shortest=figure(plan.use.contact_shortest_s / 60, 1), longest=asked_min)
    return _finding(Severity.ERROR, plan, "contact_min", words, remedy.format(asked=asked_min), computed)


def _age(plan: Chemical) -> Iterator[Finding]:
    """Yield an error for a solution kept beyond its use life, and a warning where a soak does not say how long."""
    most, days = plan.use.use_life_days, plan.step.solution_days
    if most is None:
        return
    if days is None and plan.step.process == "soak":
        says = _("How long the solution is used is not stated; {use} allows {most} d.")
        remedy = _("Add solution_days, and a date on the bath.")
        words = says.format(use=_called(plan), most=figure(most, 1))
        yield _finding(Severity.WARNING, plan, "solution_days", words, remedy)
    elif days is not None and days > most:
        says = _("A solution used for {days} d is older than the {most} d of {use}.")
        words = says.format(days=figure(days, 1), most=figure(most, 1), use=_called(plan))
        remedy = _("Throw it away after {most} d at the latest, or earlier where its strip fails.")
        yield _finding(Severity.ERROR, plan, "solution_days", words, remedy.format(most=figure(most, 1)))


def _cold(protocol: Protocol, plan: Chemical) -> Iterator[Finding]:
    """Yield a warning where a soak may be colder than its use was published for."""
    least_c, planned_c = plan.use.temperature_c, plan.step.temperature_c
    if least_c is None or plan.step.process != "soak":
        return
    room_c = protocol.place.room.lowest_c
    if (room_c if planned_c is None else planned_c) >= least_c:
        return
    if planned_c is None:
        says = _("The room may be at {is_c} °C, and {use} is published for {least} °C and more.")
        computed = _("no temperature_c is planned, so the solution is taken to be as cold as the room")
    else:
        says = _("The solution is planned at {is_c} °C, and {use} is published for {least} °C and more.")
        computed = ""
    is_c = number(room_c if planned_c is None else planned_c, 0)
    words = says.format(is_c=is_c, use=_called(plan), least=number(least_c, 0))
    remedy = _("Plan temperature_c, read it in the bath, and warm the room where it is colder.")
    key = "stock" if planned_c is None else "temperature_c"
    yield _finding(Severity.WARNING, plan, key, words, remedy, computed)
