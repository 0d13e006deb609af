"""The gate: may this set-up be connected, may this part be released? Yes, or every reason why not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta
from itertools import chain

from lungwort.language import _
from lungwort.protocol.kinds import Kind, Step
from lungwort.records.chain.identity import moment_of
from lungwort.records.life.calibration import calibrated
from lungwort.records.life.deed import gathered
from lungwort.records.life.held import held_back, outcome_words
from lungwort.records.life.known import PROTOCOL, in_force, kind_of, known, parts_known
from lungwort.records.life.reasons import Answer, Reason
from lungwort.records.life.status import has_status, not_in_load, not_joined
from lungwort.records.life.turnaround import (
    marks,
    missing,
    not_done,
    proved_by_cycle,
    since_treated,
    whole,
)
from lungwort.records.states.kinds import CriterionState, CycleState, PartState, ProtocolState, SetUpState
from lungwort.records.states.view import View


def may_connect(view: View, set_up: str) -> Answer:
    """Return whether a patient may be connected to a set-up now, or every reason why not.

    Raises Refused where no such set-up is known.
    """
    return Answer(gathered(reasons_not_to_connect(view, known(view, SetUpState, set_up))))


def may_release(view: View, part: str) -> Answer:
    """Return whether a part may be released now, or every reason why not; Refused where no such part is known."""
    return Answer(gathered(reasons_not_to_release(view, known(view, PartState, part))))


# ---- connecting ----


def reasons_not_to_connect(view: View, set_up: SetUpState) -> Iterator[Reason]:
    """Yield every reason against connecting a patient to a set-up."""
    if set_up.check_failed:
        says = _("the check of set-up {code} before use failed: {why}").format(
            code=set_up.code, why=set_up.check_failed
        )
        yield Reason("check", says, _("mend it and check again, or take another set-up"))
    elif set_up.status != "checked":
        says = _("set-up {code} was not checked, or is not waiting for a patient").format(code=set_up.code)
        yield Reason(
            "check", says, _("check it before use and record that; one that was used is joined anew")
        )
    for part in parts_known(view, [set_up.machine, *set_up.parts]):
        if part.set_up != set_up.code:
            says = _("{code} is no longer part of set-up {set_up}").format(code=part.code, set_up=set_up.code)
            yield Reason("joined", says, _("join a new set-up of parts that are ready"))
        yield from fit_to_join(view, part)


def fit_to_join(view: View, part: PartState) -> Iterator[Reason]:
    """Yield every reason against using a part on a patient: it is not ready, or no longer fit although released.

    What an exception overruled is not asked again.
    """
    proof = () if part.excepted else (_stands_still(view, part), _counted(view, part))
    return iter(
        gathered(
            has_status(part, "ready"),
            held_back(part) if part.status != "ready" else iter(()),
            not_in_load(view, part),
            _packet_good(view, part),
            *proof,
            _duties_done(view, part),
        )
    )


def _stands_still(view: View, part: PartState) -> Iterator[Reason]:
    """Yield what was withdrawn or dropped since a part was released by it."""
    cycles = _exposed_in(view, part)
    yield from _versions_stand(view, part, [part.released_under, *(cycle.protocol for cycle in cycles)])
    for cycle in cycles:
        yield from chain.from_iterable(_adopted(view, cycle, name) for name in cycle.criteria)


def _packet_good(view: View, part: PartState) -> Iterator[Reason]:
    if part.expires_on and part.expires_on < view.now.date().isoformat():
        says = _("the packet of {code} expired on {day}").format(code=part.code, day=part.expires_on)
        yield Reason("expired", says, _("throw it away and take one in date"))
    if part.single_patient and part.uses:
        says = _("{code} is for a single patient and was used").format(code=part.code)
        yield Reason("single patient", says, _("throw it away and take a new one"), firm=False)


def _counted(view: View, part: PartState) -> Iterator[Reason]:
    kind = kind_of(in_force(view), part)
    most, count = cycles_at_most(kind), times_treated(kind, part)
    if most is not None and count > most:
        says = _("{code} went through {count} treatments; its maker allows {most}").format(
            code=part.code, count=count, most=most
        )
        yield Reason("cycles", says, _("withdraw it and take another"))


def no_more(kind: Kind, part: PartState) -> Iterator[Reason]:
    """Yield why a part may not be treated once more: it was as often as its maker allows."""
    most, count = cycles_at_most(kind), times_treated(kind, part)
    if most is not None and count >= most:
        says = _("{code} went through {count} treatments, as many as its maker allows").format(
            code=part.code, count=count
        )
        yield Reason("cycles", says, _("withdraw it and take another"))


def times_treated(kind: Kind, part: PartState) -> int:
    """Return how often a part was treated; what its protocol only washes, how often it was washed."""
    return part.cycles if any(step.do == "treat" for step in kind.steps) else part.washes


def cycles_at_most(kind: Kind) -> int | None:
    """Return the fewest treatments that a maker's clause allows a kind; None where none is stated."""
    limits = [maker.cycles_at_most for maker in kind.makers if maker.cycles_at_most is not None]
    return min(limits, default=None)


def _duties_done(view: View, part: PartState) -> Iterator[Reason]:
    """Yield each duty by the calendar that is overdue; a part's turnaround counts as one, a machine's does not."""
    kind = kind_of(in_force(view), part)
    for duty in kind.duties:
        if duty.every_days is None or not duty.holds:
            continue
        started = part.enrolled_at if part.machine else max(part.released_at, part.enrolled_at)
        last = max(part.duties.get(duty.what, ""), started)
        due = moment_of(last) + timedelta(days=duty.every_days)
        if due < view.now:
            says = _("{code}: overdue since {day}: {duty}").format(
                code=part.code, day=due.date().isoformat(), duty=duty.what
            )
            yield Reason("duty", says, _("do it, record it, then go on"))


def _versions_stand(view: View, part: PartState, versions: Iterable[str]) -> Iterator[Reason]:
    protocol = view.state(ProtocolState, PROTOCOL)
    withdrawn = protocol.withdrawn if protocol else {}
    for version in dict.fromkeys(v for v in versions if v in withdrawn):
        says = _("{code} was treated by protocol version {version}, withdrawn since: {why}").format(
            code=part.code, version=version, why=withdrawn[version]
        )
        yield Reason("protocol", says, _("treat it again from the wash, by the version in force"))


# ---- releasing ----


def reasons_not_to_release(view: View, part: PartState) -> Iterator[Reason]:
    """Yield every reason against releasing a part."""
    kind = kind_of(in_force(view), part)
    recorded = [step for step in whole(kind) if not proved_by_cycle(step)]
    return iter(
        gathered(
            _under_way(part),
            not_joined(part),
            not_in_load(view, part),
            held_back(part),
            not_done(part, recorded, "order"),
            since_treated(part, kind),
            _treated(view, part, kind),
            _versions_stand(view, part, [cycle.protocol for cycle in _exposed_in(view, part)]),
            _counted(view, part),
        )
    )


def _under_way(part: PartState) -> Iterator[Reason]:
    if part.single_patient:
        says = _("{code} is for a single patient; it is never released again").format(code=part.code)
        yield Reason("single patient", says, _("throw it away and take a new one"), firm=True)
    elif part.status != "quarantined":  # what holds it says more
        yield from has_status(part, "washed", "treated")


def _exposed_in(view: View, part: PartState) -> list[CycleState]:
    """Return the cycles that a part was through in this turnaround, in order."""
    found = [cycle for code in part.exposures if (cycle := view.state(CycleState, code)) is not None]
    return [cycle for cycle in found if f"expose {cycle.process}" in part.done]


def _treated(view: View, part: PartState, kind: Kind) -> Iterator[Reason]:
    """Yield why a part's treatments open no gate: one is missing, not proved, or proved by less than is asked now."""
    cycles = _exposed_in(view, part)
    for cycle in cycles:
        yield from _cycle_good(view, part, cycle)
    steps = [step for step in whole(kind) if proved_by_cycle(step)]
    for mark in dict.fromkeys(map(marks, steps)):
        asked = [step for step in steps if marks(step) == mark]
        through = [cycle for cycle in cycles if f"treat {cycle.process}" == mark]
        unproved = any(cycle.status != "judged" or cycle.outcome != "passed" for cycle in through)
        if len(through) < len(asked) or (mark not in part.done and not unproved):
            yield missing(part, mark, "order")
        elif not unproved:
            yield from _by_what_is_asked(part, asked, through)


def _cycle_good(view: View, part: PartState, cycle: CycleState) -> Iterator[Reason]:
    """Yield why a cycle opens no gate: not judged, not passed, a criterion not adopted, a calibration lapsed."""
    if cycle.status != "judged":
        says = _("cycle {cycle} of {code} is not judged").format(cycle=cycle.code, code=part.code)
        yield Reason("proof", says, _("attach its evidence and judge it"))
    elif cycle.outcome != "passed":
        says = _("cycle {cycle} of {code}: {outcome}").format(
            cycle=cycle.code, code=part.code, outcome=outcome_words(cycle.outcome)
        )
        yield Reason(
            "proof", says, _("attach better evidence and judge again, or treat it again from the wash")
        )
    yield from chain.from_iterable(_adopted(view, cycle, name) for name in cycle.criteria)
    yield from calibrated(view, cycle)


def _by_what_is_asked(
    part: PartState, steps: Sequence[Step], cycles: Sequence[CycleState]
) -> Iterator[Reason]:
    """Yield each criterion that the protocol asks for now and by which no cycle of a part was judged."""
    judged = {name for cycle in cycles for name in cycle.criteria}
    for name in dict.fromkeys(name for step in steps for name in step.proved_by if name not in judged):
        says = _("{code}: the protocol in force asks for {name}; cycle {cycle} was judged by other criteria")
        says = says.format(code=part.code, name=name, cycle=cycles[-1].code)
        yield Reason("protocol", says, _("treat it again from the wash, by the version in force"))


def _adopted(view: View, cycle: CycleState, name: str) -> Iterator[Reason]:
    state = view.state(CriterionState, name)
    if state is None or state.status != "adopted":
        says = _("the hospital has not adopted {name}, by which cycle {cycle} was judged").format(
            name=name, cycle=cycle.code
        )
        yield Reason(
            "adoption", says, _("the infection control lead adopts it with the hospital's own source")
        )
