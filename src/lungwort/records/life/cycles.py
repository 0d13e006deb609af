"""Deeds on cycles: parts put in a load, the exposure started and ended, its evidence attached; judging is beside."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields
from hashlib import sha256 as digest
from itertools import chain
from typing import Any

from lungwort.errors import LungwortError
from lungwort.evidence.reading import Declared
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind
from lungwort.protocol.proving import required_criteria
from lungwort.records.chain.event import Attachment, Event, Thing
from lungwort.records.codes.own import mint
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.gate import no_more
from lungwort.records.life.known import (
    PROTOCOL,
    in_force,
    kind_of,
    known,
    part_things,
    parts_known,
    protocol_kept,
    well_typed,
)
from lungwort.records.life.parts import batch_usable, said
from lungwort.records.life.reasons import Reason
from lungwort.records.life.status import has_status, not_in_load, not_joined
from lungwort.records.life.trained import trained_for
from lungwort.records.life.turnaround import before, fit_for, not_done
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import BatchState, CycleState, EquipmentState, PartState, ProtocolState
from lungwort.records.states.view import View

EVIDENCE = ("log", "hand", "strip", "weight", "biological", "chemical")
"""Kinds of evidence: a logger's file, readings by hand, strips, weights, a biological or a chemical indicator."""

RESULTS = ("positive", "negative")

PROCESSES = ("steam", "hot water", "soak")
"""What a load can be treated by; a wipe needs no load."""

DECLARED = (*(field.name for field in fields(Declared)), "sensor", "pressure_error_kpa", "unit")
"""What can be said of a log or of readings by hand that they do not say themselves."""


def load(
    witness: Witness,
    parts: Sequence[str],
    process: str,
    *,
    equipment: str = "",
    setting: str = "",
    batch: str = "",
    code: str | None = None,
) -> Event:
    """Put parts in a load for one exposure.

    Args:
        witness: who loads.
        parts: washed, and through every step that the protocol puts before the treatment.
        process: steam, hot water or soak.
        equipment: the autoclave or bath, by its code here; none for a soak.
        setting: the autoclave's programme, in the protocol's words.
        batch: the chemical, by its code here, for a soak.
        code: of a load that is still open, to add to it; a new one is minted otherwise.

    Returns:
        The event; its only thing of kind `cycle` is the load and its cycle.
    """
    given = code or mint("cycle", witness.book.rng)

    def plan(view: View) -> Proposal:
        protocol, found = in_force(view), parts_known(view, parts)
        kinds = [kind_of(protocol, part) for part in found]
        told = {"process": process, "setting": setting, "protocol": _version(view)}
        told_kinds = {"kinds": sorted({kind.name for kind in kinds})}
        reasons = gathered(
            _still_open(view, given, (process, equipment, setting, batch, _version(view))),
            *(_may_be_loaded(view, p, k, process) for p, k in zip(found, kinds, strict=True)),
            _treats(protocol, kinds, _named(view, equipment, batch), setting, process),
            _usable(view, equipment, batch),
            trained_for(view, witness.who, _owners(kinds, process), _("load a cycle")),
        )
        return Proposal(_things(given, parts, equipment, batch), {**told, **told_kinds}, reasons)

    return do(witness, "cycle.loaded", plan)


def _version(view: View) -> str:
    state = view.state(ProtocolState, PROTOCOL)
    return state.version if state else ""


def _named(view: View, equipment: str, batch: str) -> str:
    """Return the protocol's name of what treats: the equipment, or the chemical in stock."""
    if equipment:
        return known(view, EquipmentState, equipment).name
    return known(view, BatchState, batch).stock if batch else ""


def _still_open(view: View, code: str, asked: tuple[str, ...]) -> Iterator[Reason]:
    """Yield why nothing can be put in a load: it is closed, or is to be treated in another way."""
    state = view.state(CycleState, code) or as_it_stands(view).state(CycleState, code)
    if state is None:
        yield from well_typed(code)
        return
    if state.status != "loading":
        says = _("load {code} is closed").format(code=code)
        yield Reason("load", says, _("begin a new load"), firm=True)
    elif asked != (state.process, state.equipment, state.setting, state.batch, state.protocol):
        says = _(
            "load {code} was begun for another treatment: {process} {setting}, protocol version {version}"
        )
        words = {"code": code, "process": state.process, "setting": state.setting}
        says = says.format(**words, version=state.protocol)
        yield Reason("load", says, _("begin a new load; all parts of one are treated alike"), firm=True)


def _may_be_loaded(view: View, part: PartState, kind: Kind, process: str) -> Iterator[Reason]:
    if part.single_patient:
        says = _("{code} is for a single patient").format(code=part.code)
        yield Reason("single patient", says, _("throw it away; it is never treated for another"))
    if any(step.process == process for step in kind.steps):  # else that is what stands in the way
        yield from has_status(part, *fit_for(kind, process))
        yield from not_done(part, before(kind, "treat", process), "order")
    yield from not_joined(part)
    yield from not_in_load(view, part)
    yield from no_more(kind, part)


def _treats(
    protocol: Protocol, kinds: Sequence[Kind], with_what: str, setting: str, process: str
) -> Iterator[Reason]:
    if process not in PROCESSES:
        says = _("{process!r} is no treatment in a load").format(process=process)
        yield Reason("process", says, _("give one of: {all}").format(all=", ".join(PROCESSES)), firm=True)
        return
    try:
        required_criteria(
            protocol, [kind.name for kind in kinds], with_what or None, setting or None, process
        )
    except LungwortError as error:
        yield Reason("protocol", str(error).rstrip("."), _("see the card of its kind in the protocol"))


def _usable(view: View, equipment: str, batch: str) -> Iterator[Reason]:
    if equipment:
        yield from equipment_usable(known(view, EquipmentState, equipment))
    if batch:
        yield from batch_usable(view, known(view, BatchState, batch))


def equipment_usable(state: EquipmentState) -> Iterator[Reason]:
    """Yield why an autoclave or a bath may not be used."""
    if state.status != "in service":
        says = _("{name} ({code}) is out of service: {why}").format(
            name=state.name, code=state.code, why="; ".join(state.held) or state.status
        )
        yield Reason("equipment", says, _("use another, or have it put back in service"))


def _owners(kinds: Sequence[Kind], process: str) -> list[str]:
    return [step.by for kind in kinds for step in kind.steps if step.process == process]


# ---- the exposure ----


def start(witness: Witness, cycle: str) -> Event:
    """Record that a cycle began; one autoclave runs one cycle at a time."""

    def rules(view: View, found: CycleState) -> Iterator[Reason]:
        in_force(view)
        yield from _is(found, "loading")
        yield from _version_stands(view, found)
        yield from _usable(view, found.equipment, found.batch)
        running = _running(view, found.equipment) if found.equipment else ""
        if running not in ("", found.code):
            says = _("{equipment} is running cycle {other}")
            says = says.format(equipment=found.equipment, other=running)
            yield Reason("equipment", says, _("end that cycle first"))

    return _of_cycle(witness, "cycle.started", cycle, rules)


def _running(view: View, equipment: str) -> str:
    """Return the cycle that equipment is running; "" for none."""
    stands = as_it_stands(view)
    for state in stands.states(CycleState, "running"):
        if state.equipment == equipment and _runs(view, state.code):
            return state.code
    if stands is not view:  # it may have ended since
        told = view.facts("equipment", equipment, newest_first=True)
        last = next((fact for fact in told if fact.what in ("cycle.started", "cycle.ended")), None)
        return last.the("cycle") if last and _runs(view, last.the("cycle")) else ""
    return ""


def _runs(view: View, cycle: str) -> bool:
    state = view.state(CycleState, cycle)
    return state is not None and state.status == "running"


def _version_stands(view: View, cycle: CycleState) -> Iterator[Reason]:
    protocol = view.state(ProtocolState, PROTOCOL)
    if protocol is not None and cycle.protocol in protocol.withdrawn:
        says = _("load {code} was begun by protocol version {version}, withdrawn since: {why}").format(
            code=cycle.code, version=cycle.protocol, why=protocol.withdrawn[cycle.protocol]
        )
        yield Reason("protocol", says, _("abandon it, and load anew by the version in force"))


def end(witness: Witness, cycle: str) -> Event:
    """Record that a cycle ended; its parts are treated, and held back until the cycle is judged."""
    return _of_cycle(witness, "cycle.ended", cycle, lambda view, found: _is(found, "running"))


def abandon(witness: Witness, cycle: str, reason: str) -> Event:
    """Record that a load was given up before its cycle began; its parts are what they were."""

    def rules(view: View, found: CycleState) -> Iterator[Reason]:
        yield from _is(found, "loading")
        yield from said(reason)

    return _of_cycle(witness, "cycle.abandoned", cycle, rules, {"reason": reason})


def _of_cycle(
    witness: Witness,
    what: str,
    cycle: str,
    rules: Callable[[View, CycleState], Iterator[Reason]],
    told: Mapping[str, Any] | None = None,
) -> Event:
    def plan(view: View) -> Proposal:
        found = known(view, CycleState, cycle)
        trained = trained_for(view, witness.who, _owners_in(view, found), _("run a cycle"))
        data = {"process": found.process, **(told or {})}
        return Proposal(things_of(found), data, gathered(rules(view, found), trained))

    return do(witness, what, plan)


def _owners_in(view: View, cycle: CycleState) -> list[str]:
    """Return who owns a cycle's treatment by the protocol version under which it was loaded."""
    protocols = view.state(ProtocolState, PROTOCOL)
    if protocols is None or cycle.protocol not in protocols.versions:
        return []
    protocol = protocol_kept(view, protocols.versions[cycle.protocol])
    return _owners([kind for name in cycle.part_kinds if (kind := protocol.kind(name))], cycle.process)


# ---- its evidence ----


def attach(
    witness: Witness,
    cycle: str,
    kind: str,
    files: Sequence[Attachment] = (),
    *,
    result: str = "",
    note: str = "",
    declared: Mapping[str, Any] | None = None,
) -> Event:
    """Attach evidence to a cycle; a positive indicator holds its parts at once.

    Args:
        witness: who attaches it.
        cycle: its code.
        kind: one of `EVIDENCE`.
        files: the log as the logger wrote it; readings by hand, strips and weights as lines of text.
        result: positive or negative, of an indicator.
        note: lot, place in the load, who read it.
        declared: how to read a log that does not say so itself: the keyword arguments of `Declared`.
    """

    named = {digest(file.content).hexdigest(): file.file_name for file in files}

    def plan(view: View) -> Proposal:
        found = known(view, CycleState, cycle)
        told: dict[str, Any] = {"kind": kind, "note": note} | ({"result": result} if result else {})
        told |= {"declared": _plain(declared)} if declared else {}
        reasons = gathered(
            _is(found, "running", "ended", "judged"),
            _is_evidence(kind, files, result),
            _can_be_declared(declared or {}),
            chain.from_iterable(_of_no_other(view, cycle, file) for file in named),
        )
        return Proposal((*things_of(found), *(Thing(code, "file") for code in named)), told, reasons)

    return do(witness, "cycle.evidence_attached", plan, files)


def _is_evidence(kind: str, files: Sequence[Attachment], result: str) -> Iterator[Reason]:
    if kind not in EVIDENCE:
        says = _("{kind!r} is no kind of evidence").format(kind=kind)
        yield Reason("evidence", says, _("give one of: {kinds}").format(kinds=", ".join(EVIDENCE)), firm=True)
    elif kind in ("biological", "chemical"):
        if result not in RESULTS:
            says = _("{result!r} is no result of an indicator").format(result=result)
            yield Reason("evidence", says, _("give positive or negative"), firm=True)
    elif not files:
        says = _("no file of readings is given")
        yield Reason("evidence", says, _("attach the log, or the readings as lines of text"), firm=True)
    elif result:
        says = _("{result} is a result of an indicator, not of readings").format(result=result)
        yield Reason("evidence", says, _("leave the result out; readings are judged by computing"), firm=True)


def _can_be_declared(declared: Mapping[str, Any]) -> Iterator[Reason]:
    wrong = [name for name in declared if name not in DECLARED]
    if wrong:
        says = _("{names} cannot be declared of a log").format(names=", ".join(map(repr, wrong)))
        yield Reason("evidence", says, _("give any of: {names}").format(names=", ".join(DECLARED)), firm=True)
    for name, value in declared.items():
        if name in DECLARED and not _is_in_form(name, value):
            says = _("{value!r} cannot be declared as {name}").format(value=value, name=name)
            next_step = _("give a number of kPa, a list of names, a table of units, or a text")
            yield Reason("evidence", says, next_step, firm=True)


def _is_in_form(name: str, value: Any) -> bool:
    if name == "pressure_error_kpa":
        return isinstance(value, int | float) and not isinstance(value, bool)
    if name in ("channels", "leave_out"):
        return isinstance(value, list | tuple) and all(isinstance(each, str) for each in value)
    if name == "units":
        return isinstance(value, Mapping) and all(isinstance(each, str) for each in (*value, *value.values()))
    return isinstance(value, str)


def _plain(declared: Mapping[str, Any]) -> dict[str, Any]:
    return {key: list(value) if isinstance(value, tuple) else value for key, value in declared.items()}


def _of_no_other(view: View, cycle: str, sha256: str) -> Iterator[Reason]:
    """Yield why a file is no evidence of this cycle: it was attached already, at any time, here or to another."""
    for fact in as_it_stands(view).facts("file", sha256):
        says = _("this file is evidence of cycle {other} already").format(other=fact.the("cycle"))
        next_step = _(
            "attach what was measured in cycle {cycle}, readings by hand with their day; "
            "strike the other where it was the wrong one"
        )
        yield Reason("evidence", says, next_step.format(cycle=cycle), firm=True)
        return


def things_of(cycle: CycleState) -> tuple[Thing, ...]:
    """Return a cycle, its parts and what treated them, as things of an event."""
    return _things(cycle.code, cycle.parts, cycle.equipment, cycle.batch)


def _things(cycle: str, parts: Sequence[str], equipment: str, batch: str) -> tuple[Thing, ...]:
    treated_with = [Thing(code, part) for code, part in ((equipment, "equipment"), (batch, "batch")) if code]
    return (Thing(cycle, "cycle"), *part_things(parts), *treated_with)


def _is(cycle: CycleState, *allowed: str) -> Iterator[Reason]:
    if cycle.status not in allowed:
        names = {
            "loading": _("being loaded"),
            "running": _("running"),
            "ended": _("ended, not judged"),
            "judged": _("judged"),
            "abandoned": _("abandoned"),
        }
        status = names.get(cycle.status, cycle.status)
        says = _("cycle {code} is {status}").format(code=cycle.code, status=status)
        wanted = _(" or ").join(names[status] for status in allowed)
        yield Reason("cycle", says, _("this needs one that is {wanted}").format(wanted=wanted))
