"""Deeds on equipment and on batches of chemicals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from lungwort.language import _
from lungwort.records.chain.event import Event, Thing
from lungwort.records.codes.own import mint
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.known import in_force, known, new_code
from lungwort.records.life.parts import said
from lungwort.records.life.reasons import Reason
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import BatchState, EquipmentState
from lungwort.records.states.view import View


def enrol_equipment(
    witness: Witness,
    name: str,
    *,
    serial: str = "",
    calibration_due: date | None = None,
    code: str | None = None,
) -> Event:
    """Enrol an autoclave, a bath, a thermometer or a scale under the name that the protocol gives it."""
    given = code or mint("equipment", witness.book.rng)

    def plan(view: View) -> Proposal:
        due = calibration_due.isoformat() if calibration_due else ""
        told = {"name": name, "serial": serial, "calibration_due": due}
        return Proposal(
            (Thing(given, "equipment"),),
            told,
            gathered(new_code(view, EquipmentState, given), _named(view, name)),
        )

    return do(witness, "equipment.enrolled", plan)


def _named(view: View, name: str) -> Iterator[Reason]:
    protocol = in_force(view)
    named = (protocol.autoclaves, protocol.baths, protocol.thermometers, protocol.scales)
    names = [item.name for items in named for item in items]
    if name not in names:
        says = _("the protocol in force has no equipment called {name!r}").format(name=name)
        yield Reason("protocol", says, _("give one of: {names}").format(names="; ".join(names)), firm=True)


def calibrate(witness: Witness, equipment: str, due: date, *, note: str = "") -> Event:
    """Record a calibration and the day until which it counts."""
    return _on_equipment(witness, "equipment.calibrated", equipment, {"due": due.isoformat(), "note": note})


def hold_equipment(witness: Witness, equipment: str, reason: str) -> Event:
    """Put equipment out of service; no cycle can be loaded or started with it."""
    return _on_equipment(witness, "equipment.held", equipment, {"reason": reason}, said(reason))


def free_equipment(witness: Witness, equipment: str, reason: str) -> Event:
    """Put equipment back in service."""
    return _on_equipment(witness, "equipment.freed", equipment, {"reason": reason}, said(reason))


def withdraw_equipment(witness: Witness, equipment: str, reason: str) -> Event:
    """Take equipment out of service for ever."""
    return _on_equipment(witness, "equipment.withdrawn", equipment, {"reason": reason}, said(reason))


def _on_equipment(
    witness: Witness, what: str, code: str, told: Mapping[str, str], *rules: Iterator[Reason]
) -> Event:
    reasons = gathered(*rules)

    def plan(view: View) -> Proposal:
        state = known(view, EquipmentState, code)
        gone = _gone(code, _("withdrawn")) if state.status == "withdrawn" else iter(())
        return Proposal((Thing(code, "equipment"),), told, (*reasons, *gathered(gone)))

    return do(witness, what, plan)


def _gone(code: str, status: str) -> Iterator[Reason]:
    says = _("{code} is {status}, which is for ever").format(code=code, status=status)
    yield Reason("status", says, _("take another; what is gone never comes back"))


# ---- batches ----


def enrol_batch(
    witness: Witness,
    stock: str,
    *,
    lot: str = "",
    made_on: date | None = None,
    expires_on: date | None = None,
    code: str | None = None,
) -> Event:
    """Enrol a batch of a chemical under the name that the protocol gives its stock."""
    given = code or mint("batch", witness.book.rng)
    days = {"made_on": made_on, "expires_on": expires_on}

    def plan(view: View) -> Proposal:
        told = {"stock": stock, "lot": lot} | {key: day.isoformat() for key, day in days.items() if day}
        reasons = gathered(new_code(view, BatchState, given), _stocked(view, stock))
        return Proposal((Thing(given, "batch"),), told, reasons)

    return do(witness, "batch.enrolled", plan)


def _stocked(view: View, stock: str) -> Iterator[Reason]:
    names = [item.name for item in in_force(view).stocks]
    if stock not in names:
        says = _("the protocol in force has no stock called {name!r}").format(name=stock)
        yield Reason("protocol", says, _("give one of: {names}").format(names="; ".join(names)), firm=True)


def hold_batch(witness: Witness, batch: str, reason: str) -> Event:
    """Hold a batch back, such as one found too weak."""
    return _on_batch(witness, "batch.held", batch, {"reason": reason}, said(reason))


def use_up_batch(witness: Witness, batch: str) -> Event:
    """Record that a batch is used up or thrown away."""
    return _on_batch(witness, "batch.used_up", batch, {})


def _on_batch(
    witness: Witness, what: str, code: str, told: Mapping[str, str], *rules: Iterator[Reason]
) -> Event:
    reasons = gathered(*rules)

    def plan(view: View) -> Proposal:
        state = known(view, BatchState, code)
        gone = _gone(code, _("used up")) if state.status == "used up" else iter(())
        return Proposal((Thing(code, "batch"),), told, (*reasons, *gathered(gone)))

    return do(witness, what, plan)
