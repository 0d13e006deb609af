"""What a thing is now: short lines of a name, words, and the other things they speak of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.protocol.kinds import Kind
from lungwort.records.life.gate import cycles_at_most, times_treated
from lungwort.records.life.held import hold_words, outcome_words
from lungwort.records.life.known import in_force, kind_of
from lungwort.records.states.kinds import (
    BatchState,
    CycleState,
    EquipmentState,
    PartState,
    PatientState,
    SetUpState,
    State,
)
from lungwort.records.states.view import View
from lungwort.web.things.history import Link
from lungwort.web.things.shapes import page_of


@dataclass(frozen=True)
class Line:
    """A line: its name, what it says, a moment of the records where it says when, and links to other things."""

    name: str
    says: str = ""
    moment: str = ""
    links: Sequence[Link] = ()


def lines_of(view: View, state: State) -> list[Line]:
    """Return what a thing is now; lines that say nothing are left out."""
    found: Iterator[Line] = iter(())
    if isinstance(state, PartState):
        found = _part(view, state)
    elif isinstance(state, SetUpState):
        found = _set_up(state)
    elif isinstance(state, CycleState):
        found = _cycle(state)
    elif isinstance(state, EquipmentState):
        found = _equipment(state)
    elif isinstance(state, BatchState):
        found = _batch(state)
    elif isinstance(state, PatientState):
        found = _patient(state)
    return [line for line in found if line.says or line.moment or line.links]


def _links(kind: str, *codes: str) -> list[Link]:
    return [Link(code, page_of(kind, code)) for code in codes if code]


def _part(view: View, part: PartState) -> Iterator[Line]:
    yield Line(_("Held because"), "; ".join(map(hold_words, part.held)))
    yield Line(_("On patient"), links=_links("patient", part.patient))
    yield Line(_("In set-up"), links=_links("set_up", part.set_up))
    yield Line(_("Done since its last use"), ", ".join(map(step_words, part.done)))
    yield Line(_("Treatments"), treatments_words(_kind(view, part), part))
    yield Line(_("Uses on patients"), str(part.uses))
    yield Line(_("Here since"), moment=part.enrolled_at)
    yield Line(_("To be used until"), part.expires_on)
    yield Line(_("Serial number"), part.serial)
    yield Line(_("Last cycle"), outcome_words(part.outcome), links=_links("cycle", part.cycle))
    if part.last_good_cycle != part.cycle:
        yield Line(_("Last cycle that passed"), links=_links("cycle", part.last_good_cycle))
    yield Line(_("Last released"), moment=part.released_at)
    if part.last_patient != part.patient:
        yield Line(_("Last patient"), links=_links("patient", part.last_patient))


def step_words(mark: str) -> str:
    """Return a step done for people to read.

    >>> step_words("treat steam"), step_words("wash")
    ('proved: steam', 'wash')
    """
    word, _space, process = mark.partition(" ")
    if word == "expose" and process:
        return _("exposed: {process}").format(process=process)
    return _("proved: {process}").format(process=process) if word == "treat" and process else mark


def _kind(view: View, part: PartState) -> Kind | None:
    try:
        return kind_of(in_force(view), part)
    except LungwortError:
        return None


def treatments_words(kind: Kind | None, part: PartState) -> str:
    """Return how often a part was treated, against what its maker allows."""
    if part.single_patient:
        return _("none: it is for a single patient")
    if kind is None:
        return _("{count}; the protocol in force says nothing of its kind").format(count=part.cycles)
    most, count = cycles_at_most(kind), times_treated(kind, part)
    if most is None:
        return _("{count}; no limit of its maker is known here").format(count=count)
    left = max(0, most - count)
    return _("{count} of the {most} that its maker allows; {left} left").format(
        count=count, most=most, left=left
    )


def _set_up(state: SetUpState) -> Iterator[Line]:
    yield Line(_("On patient"), state.ward, links=_links("patient", state.patient))
    yield Line(_("Failed its check"), state.check_failed)
    yield Line(_("Machine"), links=_links("part", state.machine))
    yield Line(_("Parts"), links=_links("part", *state.parts))
    yield Line(_("Checked"), moment=state.checked_at)
    yield Line(_("Connected"), moment=state.connected_at)
    yield Line(_("Ended"), moment=state.ended_at)
    for duty, done in sorted(state.duties.items()):
        yield Line(_("Last done: {duty}").format(duty=duty), moment=done)


def _cycle(state: CycleState) -> Iterator[Line]:
    yield Line(_("Judged"), outcome_words(state.outcome))
    for name, outcome in sorted(state.criteria.items()):
        yield Line(_("By {criterion}").format(criterion=name), outcome_words(outcome))
    yield Line(_("Treatment"), ", ".join(filter(None, (state.process, state.setting))))
    yield Line(_("Equipment"), links=_links("equipment", state.equipment))
    yield Line(_("Batch"), links=_links("batch", state.batch))
    yield Line(_("Parts"), "; ".join(state.part_kinds), links=_links("part", *state.parts))
    yield Line(_("Began"), moment=state.started_at)
    yield Line(_("Ended"), moment=state.ended_at)
    yield Line(_("Judged by"), state.judged_by)
    yield Line(_("Protocol version"), state.protocol)


def _equipment(state: EquipmentState) -> Iterator[Line]:
    yield Line(_("Out of service because"), "; ".join(state.held))
    yield Line(_("Serial number"), state.serial)
    yield Line(_("Calibration counts until"), state.calibration_due)
    yield Line(_("Cycles"), str(state.cycles))
    yield Line(_("Last cycle"), links=_links("cycle", state.last_cycle))
    yield Line(_("Last cycle that passed"), links=_links("cycle", state.last_good_cycle))


def _batch(state: BatchState) -> Iterator[Line]:
    yield Line(_("Held because"), "; ".join(state.held))
    yield Line(_("Lot"), state.lot)
    yield Line(_("Made on"), state.made_on)
    yield Line(_("To be used until"), state.expires_on)


def _patient(state: PatientState) -> Iterator[Line]:
    yield Line(_("Ward"), state.ward)
    yield Line(_("Set-ups in use"), links=_links("set_up", *state.set_ups))
