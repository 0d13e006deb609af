"""What a thing's page offers next: the screens that go on with it, where they are there and open to the person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import NoReverseMatch, resolve, reverse
from django.utils.http import urlencode

from lungwort.language import _
from lungwort.records.states.kinds import (
    BatchState,
    CycleState,
    EquipmentState,
    PartState,
    PatientState,
    SetUpState,
    State,
)
from lungwort.records.states.parts import CLEARED_BY_WASHING
from lungwort.records.states.view import View
from lungwort.web.access import roles_of
from lungwort.web.things.orders import orders_for

Roles = tuple[str, ...]
ON_ITS_WAY = ("soiled", "washed", "treated", "drying", "quarantined")


@dataclass(frozen=True)
class Offer:
    """Something to do next: its words and address; `grave` where it takes something from use."""

    word: str
    address: str
    grave: bool = False


def offers_of(view: View, state: State, roles: Roles) -> list[Offer]:
    """Return what can be done with a thing at its status by somebody of these roles: what goes on first."""
    screens = [Offer(word, address) for word, address in _screens(state, roles) if address]
    orders = [
        Offer(order.word(), reverse("order", args=[state.kind, state.code, name]), order.grave)
        for name, order in orders_for(view, state, roles)
    ]
    return [*screens, *orders]


def _screens(state: State, roles: Roles) -> Iterator[tuple[str, str]]:
    if isinstance(state, PartState):
        yield from _of_part(state, roles)
    elif isinstance(state, SetUpState) and state.status in ("joined", "checked", "in use"):
        yield _("Go to the bedside with it"), address_of("set_up", roles, "code", state.code)
    elif isinstance(state, CycleState):
        yield _("Open the cycle: evidence, curve, verdict"), address_of("cycle", roles, "code", state.code)
        if state.outcome in ("failed", "not shown"):
            yield _("Look back: who was exposed?"), address_of("look_back", roles, "cycle", state.code)
    elif isinstance(state, BatchState) and state.status == "in stock":
        yield _("Mix from it"), address_of("mix", roles, "batch", state.code)
    elif isinstance(state, PatientState):
        yield _("Look back from this patient"), address_of("look_back", roles, "patient", state.code)
    if isinstance(state, EquipmentState | BatchState) and state.held:
        yield _("Look back: who was exposed?"), address_of("look_back", roles, state.kind, state.code)


def _of_part(part: PartState, roles: Roles) -> Iterator[tuple[str, str]]:
    washing_frees = all(entry.startswith(CLEARED_BY_WASHING) for entry in part.held)
    if part.status in ON_ITS_WAY and washing_frees and not part.set_up:
        yield _("Go on with its turnaround"), address_of("turnaround", roles, "part", part.code)
    if part.status in ("ready", "in use"):
        yield _("Go to the bedside with it"), address_of("bedside", roles, "part", part.code)


def address_of(name: str, roles: Roles, key: str = "", code: str = "") -> str:
    """Return a screen's address with a thing named in it; "" where it is not there or not open to these roles."""
    address = _reversed(name, key, code)
    path = address.partition("?")[0]
    return address if path and set(roles_of(resolve(path).func)) & set(roles) else ""


def _reversed(name: str, key: str, code: str) -> str:
    for arguments in ([code], []):
        try:
            address = reverse(name, args=arguments)
        except NoReverseMatch:
            continue
        return address if arguments or not key else f"{address}?{urlencode({key: code})}"
    return ""
