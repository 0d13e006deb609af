"""Deeds at the bedside: joining a set-up, checking it, connecting a patient, duties, disconnecting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from lungwort.language import _
from lungwort.protocol.kinds import Check, Kind
from lungwort.records.chain.event import Event, Thing
from lungwort.records.codes.own import mint
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.gate import fit_to_join, reasons_not_to_connect
from lungwort.records.life.known import in_force, kind_of, known, new_code, part_things, parts_known
from lungwort.records.life.parts import known_duty
from lungwort.records.life.reasons import Reason
from lungwort.records.life.status import not_joined
from lungwort.records.life.trained import trained_for
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import PartState, PatientState, SetUpState
from lungwort.records.states.view import View


def join(witness: Witness, machine: str, parts: Sequence[str], *, code: str | None = None) -> Event:
    """Join a machine and parts into a set-up for one patient; every one of them must be ready.

    Returns:
        The event; its only thing of kind `set_up` is the set-up.
    """
    given = code or mint("set_up", witness.book.rng)

    def plan(view: View) -> Proposal:
        found = parts_known(view, [machine, *parts])
        fit = chain.from_iterable(chain(not_joined(part), fit_to_join(view, part)) for part in found)
        reasons = gathered(_one_machine(found), new_code(view, SetUpState, given), fit)
        return Proposal(
            (Thing(given, "set_up"), *part_things([machine, *parts])), {"machine": machine}, reasons
        )

    return do(witness, "set_up.joined", plan)


def _one_machine(parts: Sequence[PartState]) -> Iterator[Reason]:
    first, *others = parts
    if not first.machine:
        says = _("{code} is no machine but a {kind}").format(code=first.code, kind=first.of_kind)
        yield Reason("machine", says, _("name the machine first, then its parts"), firm=True)
    for part in others:
        if part.machine:
            says = _("{code} is a second machine").format(code=part.code)
            yield Reason("machine", says, _("a set-up has one machine; leave the other out"), firm=True)


def part_company(witness: Witness, set_up: str) -> Event:
    """Dissolve a set-up that was never connected; its parts are what they were before."""

    def plan(view: View) -> Proposal:
        found = known(view, SetUpState, set_up)
        return Proposal(_things(found), {}, gathered(_is(found, "joined", "checked")))

    return do(witness, "set_up.parted", plan)


def check(witness: Witness, set_up: str, checks: Sequence[str], failed: Sequence[str] = ()) -> Event:
    """Record the check before use.

    Args:
        witness: who checked.
        set_up: its code.
        checks: what was checked, in the protocol's words; every check before use of every kind in the set-up is needed.
        failed: those of them that were not in order; with any, the set-up cannot be connected.
    """

    def rules(view: View, found: SetUpState) -> Iterator[Reason]:
        needed = _before_use(view, found)
        yield from _checks_missing([c.what for c in needed], [*checks, *failed])
        yield from trained_for(view, witness.who, [c.by for c in needed], _("check before use"))

    def plan(view: View) -> Proposal:
        found = known(view, SetUpState, set_up)
        told = {"checks": list(checks), "failed": list(failed)}
        return Proposal(_things(found), told, gathered(_is(found, "joined", "checked"), rules(view, found)))

    return do(witness, "set_up.checked", plan)


def _checks_missing(needed: Sequence[str], done: Sequence[str]) -> Iterator[Reason]:
    missing = [what for what in dict.fromkeys(needed) if what not in done]
    if missing:
        says = _("not checked: {checks}").format(checks="; ".join(missing))
        yield Reason("check", says, _("check these too, or say that they failed"))


def connect(witness: Witness, set_up: str, patient: str, ward: str) -> Event:
    """Record that a patient was connected to a set-up.

    Args:
        witness: who connected.
        set_up: checked and fit.
        patient: the hospital's reference, never a name or a date of birth.
        ward: where.
    """

    def trained(view: View, found: SetUpState) -> Iterator[Reason]:
        owners = [check.by for check in _before_use(view, found)]
        yield from trained_for(view, witness.who, owners, _("connect a patient"))

    def plan(view: View) -> Proposal:
        found = known(view, SetUpState, set_up)
        reasons = gathered(
            _named(patient, _("patient")),
            _named(ward, _("ward")),
            reasons_not_to_connect(view, found),
            _not_connected(view, patient),
            trained(view, found),
        )
        return Proposal(_things(found, patient, ward), {}, reasons)

    return do(witness, "set_up.connected", plan)


def _named(code: str, what: str) -> Iterator[Reason]:
    if not code.strip():
        says = _("no {what} is named").format(what=what)
        yield Reason("unknown", says, _("give the reference that the hospital uses"), firm=True)


def _not_connected(view: View, patient: str) -> Iterator[Reason]:
    state = view.state(PatientState, patient)
    for code in state.set_ups if state else ():
        other = view.state(SetUpState, code)
        if other is not None and (other.status, other.patient) == ("in use", patient):
            says = _("{patient} is connected to set-up {set_up}").format(patient=patient, set_up=code)
            next_step = _("record its disconnection first, or check the reference")
            yield Reason("connected", says, next_step)


def do_duty(witness: Witness, set_up: str, duty: str) -> Event:
    """Record an in-use duty, such as a trap emptied or a chamber filled."""

    def rules(view: View, found: SetUpState) -> Iterator[Reason]:
        duties = [d for kind in _kinds(view, found) for d in kind.duties if d.every_h is not None]
        yield from known_duty(duty, [d.what for d in duties])
        yield from trained_for(view, witness.who, [d.by for d in duties if d.what == duty], duty)

    def plan(view: View) -> Proposal:
        found = known(view, SetUpState, set_up)
        things = [t for t in _things(found, found.patient, found.ward) if t.part != "part"]
        return Proposal(tuple(things), {"duty": duty}, gathered(_is(found, "in use"), rules(view, found)))

    return do(witness, "set_up.duty_done", plan)


def disconnect(witness: Witness, set_up: str) -> Event:
    """Record that the patient was disconnected: every part is soiled; single-patient parts are withdrawn."""

    def plan(view: View) -> Proposal:
        found = known(view, SetUpState, set_up)
        return Proposal(_things(found, found.patient, found.ward), {}, gathered(_is(found, "in use")))

    return do(witness, "set_up.disconnected", plan)


# ---- shared ----


def _things(set_up: SetUpState, patient: str = "", ward: str = "") -> tuple[Thing, ...]:
    people = [Thing(code, part) for code, part in ((patient, "patient"), (ward, "ward")) if code]
    return (Thing(set_up.code, "set_up"), *part_things([set_up.machine, *set_up.parts]), *people)


def _kinds(view: View, set_up: SetUpState) -> list[Kind]:
    protocol = in_force(view)
    found = parts_known(view, [set_up.machine, *set_up.parts])
    return [kind_of(protocol, part) for part in found]


def _before_use(view: View, set_up: SetUpState) -> list[Check]:
    return [check for kind in _kinds(view, set_up) for check in kind.checks if check.when == "before use"]


def _is(set_up: SetUpState, *allowed: str) -> Iterator[Reason]:
    if set_up.status not in allowed:
        names = {
            "joined": _("joined, not yet checked"),
            "checked": _("checked, not in use"),
            "in use": _("in use"),
            "ended": _("no longer in use"),
            "parted": _("dissolved"),
        }
        says = _("set-up {code} is {status}").format(
            code=set_up.code, status=names.get(set_up.status, set_up.status)
        )
        wanted = _(" or ").join(names[status] for status in allowed)
        yield Reason("set-up", says, _("this needs one that is {wanted}").format(wanted=wanted))
