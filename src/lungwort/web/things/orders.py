"""What is ordered of a thing on its own page: held, freed, mended, withdrawn, calibrated, used up, a duty done."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.records.chain.event import Event
from lungwort.records.life import parts, supplies
from lungwort.records.life.known import in_force, kind_of
from lungwort.records.life.permissions import MAY
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import BatchState, EquipmentState, PartState, State
from lungwort.records.states.view import View

Record = Callable[[Witness, str, Mapping[str, Any]], Event]
Words = Callable[[], str]


@dataclass(frozen=True)
class Order:
    """An order: the deed it records, its words, what it asks besides (`reason`, `day`, `duty`), when it makes sense."""

    what: str
    word: Words
    told: Words
    asks: tuple[str, ...]
    fits: Callable[[Any], bool]
    record: Record
    grave: bool = False


def _reason(deed: Callable[[Witness, list[str], str], Event]) -> Record:
    return lambda witness, code, told: deed(witness, [code], told["reason"])


def _of_equipment(deed: Callable[[Witness, str, str], Event]) -> Record:
    return lambda witness, code, told: deed(witness, code, told["reason"])


def _held_by(begins: str) -> Callable[[PartState], bool]:
    return lambda part: any(entry.startswith(begins) for entry in part.held)


def _calibrated(witness: Witness, code: str, told: Mapping[str, Any]) -> Event:
    day: date = told["day"]
    return supplies.calibrate(witness, code, day, note=told["reason"])


_PART: Mapping[str, Order] = {
    "duty": Order(
        "part.duty_done",
        lambda: _("Record a duty by the calendar"),
        lambda: _("The duty on {code} is recorded."),
        ("duty",),
        lambda part: part.status != "withdrawn",
        lambda witness, code, told: parts.do_duty(witness, code, told["duty"]),
    ),
    "lift": Order(
        "part.quarantine_lifted",
        lambda: _("Lift the quarantine"),
        lambda: _("The quarantine of {code} is lifted; its turnaround begins anew."),
        ("reason",),
        _held_by("order:"),
        _reason(parts.lift_quarantine),
    ),
    "repair": Order(
        "part.repaired",
        lambda: _("Record a repair"),
        lambda: _("The repair of {code} is recorded; its turnaround begins anew."),
        ("reason",),
        _held_by("defect:"),
        _reason(parts.repair),
    ),
    "hold": Order(
        "part.quarantined",
        lambda: _("Put it in quarantine"),
        lambda: _("{code} is held back."),
        ("reason",),
        lambda part: part.status not in ("withdrawn", "quarantined"),
        _reason(parts.quarantine),
        grave=True,
    ),
    "withdraw": Order(
        "part.withdrawn",
        lambda: _("Withdraw it for ever"),
        lambda: _("{code} is withdrawn for ever."),
        ("reason",),
        lambda part: part.status not in ("withdrawn", "in use"),
        _reason(parts.withdraw),
        grave=True,
    ),
}
_EQUIPMENT: Mapping[str, Order] = {
    "calibrate": Order(
        "equipment.calibrated",
        lambda: _("Record a calibration"),
        lambda: _("The calibration of {code} is recorded."),
        ("day", "reason"),
        lambda state: state.status != "withdrawn",
        _calibrated,
    ),
    "free": Order(
        "equipment.freed",
        lambda: _("Put it back in service"),
        lambda: _("{code} is back in service."),
        ("reason",),
        lambda state: state.status == "held",
        _of_equipment(supplies.free_equipment),
    ),
    "hold": Order(
        "equipment.held",
        lambda: _("Take it out of service"),
        lambda: _("{code} is out of service."),
        ("reason",),
        lambda state: state.status == "in service",
        _of_equipment(supplies.hold_equipment),
        grave=True,
    ),
    "withdraw": Order(
        "equipment.withdrawn",
        lambda: _("Withdraw it for ever"),
        lambda: _("{code} is withdrawn for ever."),
        ("reason",),
        lambda state: state.status != "withdrawn",
        _of_equipment(supplies.withdraw_equipment),
        grave=True,
    ),
}
_BATCH: Mapping[str, Order] = {
    "use_up": Order(
        "batch.used_up",
        lambda: _("Record that it is used up"),
        lambda: _("{code} is used up."),
        (),
        lambda state: state.status != "used up",
        lambda witness, code, told: supplies.use_up_batch(witness, code),
    ),
    "hold": Order(
        "batch.held",
        lambda: _("Hold it back"),
        lambda: _("{code} is held back."),
        ("reason",),
        lambda state: state.status == "in stock",
        lambda witness, code, told: supplies.hold_batch(witness, code, told["reason"]),
        grave=True,
    ),
}
ORDERS: Mapping[str, Mapping[str, Order]] = {
    PartState.kind: _PART,
    EquipmentState.kind: _EQUIPMENT,
    BatchState.kind: _BATCH,
}
"""By kind of thing and the order's word in its address."""


def orders_for(view: View, state: State, roles: tuple[str, ...]) -> Iterator[tuple[str, Order]]:
    """Yield the orders that make sense for a thing at its status and are open to somebody's roles."""
    for name, order in ORDERS.get(state.kind, {}).items():
        sensible = order.fits(state) and ("duty" not in order.asks or bool(duties_of(view, state)))
        if sensible and set(MAY[order.what]) & set(roles):
            yield name, order


def duties_of(view: View, state: State) -> list[str]:
    """Return a part's duties by the calendar, in the protocol's words; none where the protocol has none."""
    if not isinstance(state, PartState):
        return []
    try:
        kind = kind_of(in_force(view), state)
    except LungwortError:
        return []
    return [duty.what for duty in kind.duties if duty.every_days is not None]
