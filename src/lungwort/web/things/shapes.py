"""The kinds of thing that have a page: their names, their lists, and one line about each thing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse

from lungwort.language import _, ngettext
from lungwort.records.life.held import outcome_words
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
from lungwort.records.stores.place_view import PlaceView

SHAPES: Mapping[str, type[State]] = {
    shape.kind: shape
    for shape in (PartState, SetUpState, CycleState, EquipmentState, BatchState, PatientState)
}
"""Each kind of thing that has a page."""


@dataclass(frozen=True)
class Tab:
    """A list of things: its word, the states in it, and whether a state belongs there."""

    word: Callable[[], str]
    shape: type[State]
    holds: Callable[[Any], bool] = lambda _state: True
    statuses: tuple[str, ...] = ()


_OF_A_PART = ("in use", "soiled", "washed", "treated", "drying", "ready", "quarantined", "withdrawn")
TABS: Mapping[str, Tab] = {
    "part": Tab(lambda: _("Parts"), PartState, lambda state: not state.machine, _OF_A_PART),
    "machine": Tab(lambda: _("Machines"), PartState, lambda state: state.machine, _OF_A_PART),
    "set_up": Tab(
        lambda: _("Set-ups"), SetUpState, statuses=("joined", "checked", "in use", "ended", "parted")
    ),
    "cycle": Tab(
        lambda: _("Cycles"), CycleState, statuses=("loading", "running", "ended", "judged", "abandoned")
    ),
    "equipment": Tab(lambda: _("Equipment"), EquipmentState, statuses=("in service", "held", "withdrawn")),
    "batch": Tab(lambda: _("Batches"), BatchState, statuses=("in stock", "held", "used up")),
    "patient": Tab(lambda: _("Patients"), PatientState, statuses=("connected", "not connected")),
}
"""The lists, by the word in their address."""


def tab_of(state: State) -> str:
    """Return the list that a thing belongs to."""
    return "machine" if isinstance(state, PartState) and state.machine else state.kind


def page_of(kind: str, code: str) -> str:
    """Return the address of a thing's page; "" where its kind has none."""
    return reverse("thing", args=[kind, code]) if kind in SHAPES and code else ""


def remembering(view: View) -> View:
    """Return a view that reads each state once, for a page that asks for some of them again and again."""
    return replace(view, known={}) if isinstance(view, PlaceView) else view


def described(state: State) -> str:
    """Return what a thing is, in a few words."""
    if isinstance(state, PartState):
        return state.of_kind
    if isinstance(state, SetUpState):
        count = len(state.parts)
        text = ngettext("{machine} with {count} part", "{machine} with {count} parts", count)
        return text.format(machine=state.machine, count=count)
    if isinstance(state, CycleState):
        return ", ".join(filter(None, (state.process, state.setting, state.equipment)))
    if isinstance(state, EquipmentState):
        return state.name
    if isinstance(state, BatchState):
        return state.stock
    return getattr(state, "ward", "")


def detail(state: State) -> str:
    """Return the one more thing that a list says of a thing."""
    if isinstance(state, PartState):
        where = state.set_up or state.cycle if state.status in ("in use", "treated") else ""
        return where or state.serial
    if isinstance(state, SetUpState):
        return " ".join(filter(None, (state.patient, state.ward)))
    if isinstance(state, CycleState):
        return outcome_words(state.outcome)
    if isinstance(state, EquipmentState):
        return _("calibrated until {day}").format(day=state.calibration_due) if state.calibration_due else ""
    if isinstance(state, BatchState):
        return _("until {day}").format(day=state.expires_on) if state.expires_on else ""
    return ", ".join(getattr(state, "set_ups", ()))
