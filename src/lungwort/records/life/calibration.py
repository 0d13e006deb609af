"""Whether the instruments that measured a cycle were within their calibration on its day."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.language import _
from lungwort.protocol.equipment import Thermometer
from lungwort.records.life.as_of import AsOf
from lungwort.records.life.known import PROTOCOL, protocol_kept
from lungwort.records.life.reasons import Reason
from lungwort.records.states.kinds import CycleState, EquipmentState, ProtocolState
from lungwort.records.states.view import View


def calibrated(view: View, cycle: CycleState) -> Iterator[Reason]:
    """Yield why what measured a steam or hot-water cycle is not shown to be right: its calibration lapsed, or none.

    A day recorded, up to the end of the cycle, for an instrument of that name goes before the one in the protocol; of
    several of one name the first to lapse speaks for all, as nobody said which was read.
    """
    if cycle.process not in ("steam", "hot water") or not cycle.ended_at:
        return
    thermometers = _used_on(view, cycle)
    if not thermometers:
        says = _("no thermometer is listed that measured cycle {cycle}").format(cycle=cycle.code)
        yield Reason("calibration", says, _("have the protocol name it, then treat the parts again"))
    for thermometer in thermometers:
        due = _due(AsOf(view, cycle.ended_at), view, thermometer)
        if due == "":
            says = _("no calibration of {name} is recorded, which measured cycle {cycle}")
            yield Reason("calibration", says.format(name=thermometer.name, cycle=cycle.code), _next_step())
        elif due < cycle.ended_at[:10]:
            says = _("the calibration of {name} lapsed on {due}, before cycle {cycle}")
            says = says.format(name=thermometer.name, due=due, cycle=cycle.code)
            yield Reason("calibration", says, _next_step())


def _next_step() -> str:
    return _("have it calibrated and record that; then treat the parts again")


def _used_on(view: View, cycle: CycleState) -> list[Thermometer]:
    protocols = view.state(ProtocolState, PROTOCOL)
    equipment = view.state(EquipmentState, cycle.equipment) if cycle.equipment else None
    if protocols is None or equipment is None or cycle.protocol not in protocols.versions:
        return []
    protocol = protocol_kept(view, protocols.versions[cycle.protocol])
    return [t for t in protocol.thermometers if equipment.name in t.used_on]


def _due(then: AsOf, view: View, thermometer: Thermometer) -> str:
    """Return the day until which a thermometer was calibrated, as it stood then; "" where none is known."""
    written = thermometer.calibration_due.isoformat() if thermometer.calibration_due else ""
    codes = [state.code for state in view.states(EquipmentState) if state.name == thermometer.name]
    units = [state for code in codes if (state := then.state(EquipmentState, code)) is not None]
    return min(
        (unit.calibration_due or written for unit in units if unit.status != "withdrawn"), default=written
    )
