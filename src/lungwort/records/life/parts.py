"""Deeds on parts and machines, from enrolment to withdrawal; cycles and set-ups have files of their own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.records.chain.event import Attachment, Event, Thing
from lungwort.records.codes.own import mint
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.gate import no_more
from lungwort.records.life.held import held_back
from lungwort.records.life.known import in_force, kind_of, known, new_code, part_things, parts_known
from lungwort.records.life.reasons import Reason
from lungwort.records.life.status import has_status, not_in_load, not_joined
from lungwort.records.life.trained import trained_for
from lungwort.records.life.turnaround import before, not_done
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import BatchState, PartState
from lungwort.records.states.parts import CLEARED_BY_WASHING
from lungwort.records.states.view import View

UNDER_WAY = ("soiled", "washed", "treated", "drying")

Rule = Callable[[View, PartState], Iterator[Reason]]
"""From a place and a part to every reason against a step on it."""


def enrol(
    witness: Witness,
    kind: str,
    *,
    code: str | None = None,
    serial: str = "",
    tag: str = "",
    expires_on: date | None = None,
    cycles: int = 0,
) -> Event:
    """Enrol a part or a machine; it counts as soiled, unless it is a single-patient part in its closed packet.

    Args:
        witness: who enrols it.
        kind: its kind in the protocol in force.
        code: its own code where it bears one already; a new one is minted otherwise.
        serial: the maker's serial number.
        tag: another code on it, such as a GS1 element string.
        expires_on: the last day of use printed on a packet.
        cycles: treatments it went through before, as far as known.

    Returns:
        The event; its only thing of kind `part` is the part.
    """
    described = in_force(witness.book.view()).kind(kind)
    given = code or mint("machine" if described and described.machine else "part", witness.book.rng)

    def plan(view: View) -> Proposal:
        protocol = in_force(view)
        described = protocol.kind(kind)
        told = {"kind": described.name if described else kind, "serial": serial, "cycles": cycles}
        if described is not None:
            told |= {"machine": described.machine, "single_patient": described.reuse == "single patient"}
        told |= {"expires_on": expires_on.isoformat()} if expires_on else {}
        things = (Thing(given, "part"), *((Thing(tag, "tag"),) if tag else ()))
        rules = (new_code(view, PartState, given), _new_tag(view, tag), _known_kind(protocol, kind))
        return Proposal(things, told, gathered(*rules, _counted_from(cycles)))

    return do(witness, "part.enrolled", plan)


def _new_tag(view: View, tag: str) -> Iterator[Reason]:
    """Yield the part that bears a tag already, unless that one is withdrawn."""
    stands = as_it_stands(view)
    for fact in stands.facts("tag", tag) if tag else ():
        other = stands.state(PartState, fact.the("part"))
        if other is not None and other.status != "withdrawn":
            says = _("{code} bears {tag} already").format(code=other.code, tag=tag)
            next_step = _("read the tag again; two parts cannot bear the same one")
            yield Reason("code", says, next_step, firm=True)


def _counted_from(cycles: int) -> Iterator[Reason]:
    if cycles < 0:
        says = _("{count} treatments before enrolment cannot be").format(count=cycles)
        yield Reason("cycles", says, _("give how many it went through, 0 where it is new"), firm=True)


def _known_kind(protocol: Protocol, kind: str) -> Iterator[Reason]:
    if protocol.kind(kind) is None:
        says = _("the protocol in force has no kind called {kind!r}").format(kind=kind)
        names = "; ".join(k.name for k in protocol.kinds)
        yield Reason("protocol", says, _("give one of these: {names}").format(names=names), firm=True)


# ---- the turnaround ----


def take_apart(witness: Witness, parts: Sequence[str]) -> Event:
    """Record that parts were taken apart, which begins their turnaround; what is ready may be treated again so."""
    return _step(witness, "part.taken_apart", parts, "take apart", (*UNDER_WAY, "ready", "quarantined"))


def wash(witness: Witness, parts: Sequence[str], *, batch: str = "") -> Event:
    """Record that parts were washed; what a failed cycle holds begins here anew."""
    allowed = (*UNDER_WAY, "ready", "quarantined")
    return _step(
        witness, "part.washed", parts, "wash", allowed, _only_cycles_hold, _may_be_washed, batch=batch
    )


def wipe(witness: Witness, parts: Sequence[str], *, batch: str = "") -> Event:
    """Record that surfaces were wiped with disinfectant for the contact time, as the protocol says for their kind."""
    allowed = ("soiled", "washed", "treated")  # what must come before is for the protocol to say
    rules = (_is_wiped, _wiped_with(batch))
    return _step(witness, "part.wiped", parts, "treat", allowed, *rules, process="wipe", batch=batch)


def dry(
    witness: Witness, parts: Sequence[str], *, done: bool = True, evidence: Sequence[Attachment] = ()
) -> Event:
    """Record that parts are dry, or with `done` false that they were put to dry."""
    allowed = ("washed", "treated", "drying", "quarantined")
    return _step(witness, "part.dried", parts, "dry", allowed, told={"done": done}, evidence=evidence)


def inspect(
    witness: Witness, parts: Sequence[str], checks: Sequence[str] = ("look",), *, defect: str = ""
) -> Event:
    """Record that parts were inspected: looked at, assembled, tested; a defect puts them in quarantine.

    Args:
        witness: who inspected.
        parts: their codes.
        checks: of look, assemble, test: what was done.
        defect: what was found; "" where nothing was.
    """
    told = {"checks": list(checks), **({"defect": defect} if defect else {})}
    allowed = (*UNDER_WAY, "ready", "quarantined")
    return _step(witness, "part.inspected", parts, tuple(checks), allowed, _checks_known(checks), told=told)


def _checks_known(checks: Sequence[str]) -> Rule:
    def rule(view: View, part: PartState) -> Iterator[Reason]:
        wrong = [check for check in checks if check not in ("look", "assemble", "test")]
        if wrong or not checks:
            says = _("no inspection is named")
            if wrong:
                says = _("{checks} is no inspection").format(checks=", ".join(wrong))
            yield Reason("inspection", says, _("give look, assemble or test"), firm=True)

    return rule


def _only_cycles_hold(view: View, part: PartState) -> Iterator[Reason]:
    for entry, reason in zip(part.held, held_back(part), strict=True):
        if not entry.startswith(CLEARED_BY_WASHING):
            yield reason


def _may_be_washed(view: View, part: PartState) -> Iterator[Reason]:
    """Yield what must come before a wash, and that a part which is only washed was so often enough."""
    kind = kind_of(in_force(view), part)
    if any(step.do == "wash" for step in kind.steps):
        yield from not_done(part, [s for s in before(kind, "wash") if s.do != "treat"], "order")
    if not any(step.do == "treat" for step in kind.steps):
        yield from no_more(kind, part)


def _is_wiped(view: View, part: PartState) -> Iterator[Reason]:
    """Yield why a part is not wiped: its protocol treats it otherwise, or what comes before was not done."""
    kind = kind_of(in_force(view), part)
    if not any(step.process == "wipe" for step in kind.steps):
        says = _("{code} is a {kind}, which the protocol in force does not treat by wiping")
        next_step = _("treat it as the card of its kind says")
        yield Reason("protocol", says.format(code=part.code, kind=kind.name), next_step)
    else:
        yield from not_done(part, before(kind, "treat", "wipe"), "order")
        yield from no_more(kind, part)


def _wiped_with(batch: str) -> Rule:
    def rule(view: View, part: PartState) -> Iterator[Reason]:
        kind, state = kind_of(in_force(view), part), view.state(BatchState, batch) if batch else None
        stocks = [step.stock for step in kind.steps if step.process == "wipe"]
        if state is not None and stocks and state.stock not in stocks:
            says = _("{code} is wiped with {stock}; batch {batch} is {other}").format(
                code=part.code, stock=stocks[0], batch=batch, other=state.stock
            )
            yield Reason("batch", says, _("take a batch of the stock that its card names"))

    return rule


def _never_again(part: PartState) -> Iterator[Reason]:
    """Yield that a single-patient part has no turnaround."""
    if part.single_patient:
        says = _("{code} is for a single patient").format(code=part.code)
        yield Reason("single patient", says, _("throw it away; it is never treated for another"))


def _step(
    witness: Witness,
    what: str,
    parts: Sequence[str],
    do_words: str | tuple[str, ...],
    allowed: tuple[str, ...],
    *more: Rule,
    process: str | None = None,
    batch: str = "",
    told: Mapping[str, object] | None = None,
    evidence: Sequence[Attachment] = (),
) -> Event:
    """Record a step of the turnaround on parts that are of an allowed status, in the protocol's order."""
    doing = (do_words,) if isinstance(do_words, str) else do_words

    def rules(view: View, part: PartState) -> Iterator[Reason]:
        if what != "part.inspected":
            yield from _never_again(part)
        yield from has_status(part, *allowed)
        yield from not_joined(part)
        yield from not_in_load(view, part)
        for rule in more:
            yield from rule(view, part)

    def plan(view: View) -> Proposal:
        found = parts_known(view, parts)
        trained = _owners_trained(view, witness.who, found, doing, process)
        reasons = gathered(*(rules(view, part) for part in found), trained, _batch_good(view, batch))
        things = (*part_things(parts), *((Thing(batch, "batch"),) if batch else ()))
        return Proposal(things, told or {}, reasons)

    return do(witness, what, plan, evidence)


def _owners_trained(
    view: View, who: str, parts: Sequence[PartState], doing: Sequence[str], process: str | None
) -> Iterator[Reason]:
    protocol = in_force(view)
    for word in doing:
        owners = [
            step.by
            for part in parts
            for step in kind_of(protocol, part).steps
            if step.do == word and (process is None or step.process == process)
        ]
        yield from trained_for(view, who, owners, word)


def _batch_good(view: View, code: str) -> Iterator[Reason]:
    if code:
        yield from batch_usable(view, known(view, BatchState, code))


def batch_usable(view: View, batch: BatchState) -> Iterator[Reason]:
    """Yield why a batch may not be used: held, used up, past its day."""
    if batch.status != "in stock":
        says = _("batch {code} is {status}").format(code=batch.code, status=batch.status)
        yield Reason("batch", says, _("take another batch"))
    if batch.expires_on and batch.expires_on < view.now.date().isoformat():
        says = _("batch {code} expired on {day}").format(code=batch.code, day=batch.expires_on)
        yield Reason("batch", says, _("take another batch"))


# ---- held, mended, gone ----


def quarantine(witness: Witness, parts: Sequence[str], reason: str) -> Event:
    """Hold parts back; what is in use stays in use until it is disconnected, and then is held."""
    allowed = ("in use", *UNDER_WAY, "ready", "quarantined")
    return _ordered(witness, "part.quarantined", parts, reason, allowed)


def lift_quarantine(witness: Witness, parts: Sequence[str], reason: str) -> Event:
    """End a quarantine that was ordered; the parts count as soiled and go through their whole turnaround.

    What a defect or a cycle holds stays held: a repair frees the one, a new treatment from the wash the other.
    """
    what, allowed = "part.quarantine_lifted", ("quarantined", "in use")
    return _ordered(witness, what, parts, reason, allowed, _held_by_order, decides=True)


def _held_by_order(part: PartState) -> Iterator[Reason]:
    if not any(entry.startswith("order:") for entry in part.held):
        says = _("{code} is not held by an order").format(code=part.code)
        yield Reason("quarantine", says, _("see why it is held; only what frees it helps"))


def repair(witness: Witness, parts: Sequence[str], what_was_done: str) -> Event:
    """Record a repair, which frees what a defect held; the parts count as soiled and go through a whole turnaround."""
    allowed = (*UNDER_WAY, "ready", "quarantined")
    return _ordered(witness, "part.repaired", parts, what_was_done, allowed, not_joined, _never_again)


def withdraw(witness: Witness, parts: Sequence[str], reason: str) -> Event:
    """Take parts out of service for ever."""
    return _ordered(witness, "part.withdrawn", parts, reason, (*UNDER_WAY, "ready", "quarantined"))


def _ordered(
    witness: Witness,
    what: str,
    parts: Sequence[str],
    reason: str,
    allowed: tuple[str, ...],
    *more: Callable[[PartState], Iterator[Reason]],
    decides: bool = False,
) -> Event:
    def rules(part: PartState) -> Iterator[Reason]:
        yield from has_status(part, *allowed)
        for rule in more:
            yield from rule(part)

    def plan(view: View) -> Proposal:
        found = parts_known(view, parts)
        return Proposal(part_things(parts), {"reason": reason}, gathered(*map(rules, found), said(reason)))

    return do(witness, what, plan, decides=decides)


def said(reason: str) -> Iterator[Reason]:
    """Yield why a reason is none: nobody could tell from it later what was meant."""
    if len(reason.strip()) < 3:
        yield Reason("reason", _("no reason is given"), _("say why in a few words"), firm=True)


def do_duty(witness: Witness, part: str, duty: str) -> Event:
    """Record a duty by the calendar on a part or machine, such as a filter changed or a calibration checked."""

    def plan(view: View) -> Proposal:
        found = known(view, PartState, part)
        duties = [d for d in kind_of(in_force(view), found).duties if d.every_days is not None]
        owners = [d.by for d in duties if d.what == duty]
        reasons = gathered(
            known_duty(duty, [d.what for d in duties]), trained_for(view, witness.who, owners, duty)
        )
        return Proposal(part_things([part]), {"duty": duty}, reasons)

    return do(witness, "part.duty_done", plan)


def known_duty(duty: str, duties: Sequence[str]) -> Iterator[Reason]:
    """Yield why something is no duty here, with those that are: by the hour on a set-up, by the day on a part."""
    if duty not in duties:
        says = _("the protocol has no duty {duty!r} here").format(duty=duty)
        next_step = _("give one of these: {names}").format(
            names="; ".join(dict.fromkeys(duties)) or _("none")
        )
        yield Reason("duty", says, next_step, firm=True)
