"""Enrolling a thing: what the protocol has names for, and the deed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from lungwort.errors import LungwortError
from lungwort.records.chain.event import Event
from lungwort.records.codes.own import is_own, kind_of
from lungwort.records.life import parts, supplies
from lungwort.records.life.known import in_force
from lungwort.records.life.witness import Witness
from lungwort.records.states.view import View

DEEDS: Mapping[str, str] = {
    "part": "part.enrolled",
    "equipment": "equipment.enrolled",
    "batch": "batch.enrolled",
}
"""What can be enrolled here, and the deed that it is; set-ups and cycles begin on their own screens."""

Told = Mapping[str, Any]


def names_of(view: View, what: str) -> list[str]:
    """Return the names that the protocol in force has for parts, equipment or batches; none where none is in force."""
    try:
        protocol = in_force(view)
    except LungwortError:
        return []
    equipment = (protocol.autoclaves, protocol.baths, protocol.thermometers, protocol.scales)
    names: Mapping[str, Callable[[], list[str]]] = {
        "part": lambda: [kind.name for kind in protocol.kinds],
        "equipment": lambda: [item.name for items in equipment for item in items],
        "batch": lambda: [stock.name for stock in protocol.stocks],
    }
    return names[what]()


def first_told(what: str, code: str) -> dict[str, str]:
    """Return what a form begins with for a code that was scanned: its own, or another on the thing.

    >>> first_told("part", "P-8MD8AT-M"), first_told("part", "PUMP-0012")
    ({'code': 'P-8MD8AT-M'}, {'tag': 'PUMP-0012'})
    """
    if not code:
        return {}
    ours = is_own(code) and kind_of(code).replace("machine", "part") == what
    return {"tag" if what == "part" and not ours else "code": code}


def enrolled(witness: Witness, what: str, told: Told) -> Event:
    """Record an enrolment."""
    code = told["code"].strip() or None
    if what == "part":
        return parts.enrol(
            witness,
            told["name"],
            code=code,
            serial=told["serial"],
            tag=told["tag"].strip(),
            expires_on=told["expires_on"],
            cycles=told["cycles"] or 0,
        )
    if what == "equipment":
        due, serial = told["calibration_due"], told["serial"]
        return supplies.enrol_equipment(witness, told["name"], serial=serial, calibration_due=due, code=code)
    days = {"made_on": told["made_on"], "expires_on": told["expires_on"]}
    return supplies.enrol_batch(witness, told["name"], lot=told["lot"], code=code, **days)
