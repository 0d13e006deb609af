"""May a thing go on? The one question that matters at its status, answered with every reason and its next step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from lungwort.language import _
from lungwort.records.life.cycles import equipment_usable
from lungwort.records.life.deed import gathered
from lungwort.records.life.gate import fit_to_join, may_connect, may_release
from lungwort.records.life.held import outcome_words
from lungwort.records.life.parts import batch_usable
from lungwort.records.life.reasons import Answer, Reason, Refused
from lungwort.records.states.kinds import BatchState, CycleState, EquipmentState, PartState, SetUpState, State
from lungwort.records.states.view import View


@dataclass(frozen=True)
class Standing:
    """What is asked of a thing, the answer; `answer` is None where `says` tells it all, `stop` where that is a no."""

    asks: str
    says: str = ""
    answer: Answer | None = None
    stop: bool = False


def standing_of(view: View, state: State) -> Standing:
    """Return what is to be asked of a thing at its status, and the answer."""
    if isinstance(state, PartState):
        return _part(view, state)
    if isinstance(state, SetUpState):
        return _set_up(view, state)
    if isinstance(state, CycleState):
        return Standing(
            _("May its parts go on?"), _cycle(state), stop=state.outcome in ("failed", "not shown")
        )
    if isinstance(state, EquipmentState):
        return _ask(_("May it be used?"), _("Nothing recorded stands in the way."), lambda: _usable(state))
    if isinstance(state, BatchState):
        told = _("Nothing recorded stands in the way.")
        return _ask(_("May it be used?"), told, lambda: _answered(batch_usable(view, state)))
    return Standing(_("What was used on this patient?"), _("Its story below names every set-up."))


def _ask(asks: str, yes: str, asked: Callable[[], Answer]) -> Standing:
    try:
        answer = asked()
    except Refused as refused:
        answer = Answer(refused.reasons)
    return Standing(asks, yes if answer.yes else "", answer)


def _answered(reasons: Iterator[Reason]) -> Answer:
    return Answer(gathered(reasons))


def _usable(state: EquipmentState) -> Answer:
    return _answered(equipment_usable(state))


def _part(view: View, part: PartState) -> Standing:
    if part.status == "in use":
        return Standing(
            _("May it go on?"),
            _("It is in use on a patient. When the patient is disconnected, it counts as soiled."),
        )
    if part.status == "withdrawn":
        return Standing(
            _("May it go on?"),
            _("No: it is withdrawn for ever. Take another, and throw this away."),
            stop=True,
        )
    if part.status == "ready":
        return _ready(view, part)
    yes = _("Its turnaround is whole and proved. Nothing recorded stands in the way of its release.")
    return _ask(_("May it be released?"), yes, lambda: may_release(view, part.code))


def _ready(view: View, part: PartState) -> Standing:
    """Answer of a part that is ready; one released without proof is never said to be as good as the others."""
    yes = _("Nothing recorded stands in the way of using it on the next patient.")
    if part.excepted:
        yes = _("Only by the exception: it is not shown to be fit. Nothing else recorded stands in the way.")
    asks = _("May it be joined for a patient?")
    return replace(_ask(asks, yes, lambda: _answered(fit_to_join(view, part))), stop=part.excepted)


def _set_up(view: View, state: SetUpState) -> Standing:
    if state.status in ("joined", "checked"):
        yes = _("It is checked, and nothing recorded stands in the way of connecting a patient.")
        return _ask(_("May a patient be connected?"), yes, lambda: may_connect(view, state.code))
    told = {
        "in use": _("It is in use. Do its duties by the clock; it ends when the patient is disconnected."),
        "parted": _("It was dissolved before any use; its parts are what they were before."),
    }
    ended = _("It is over: it served one patient. Each part now has its own turnaround.")
    return Standing(_("May it go on?"), told.get(state.status, ended))


def _cycle(state: CycleState) -> str:
    told = {
        "loading": _("Not yet: it is being loaded. Start it, or give the load up."),
        "running": _("Not yet: it is running. Record when it ends."),
        "ended": _("Not yet: attach its evidence and judge it."),
        "abandoned": _("It never ran; its parts are what they were before."),
    }
    if state.status != "judged":
        return told.get(state.status, "")
    if state.outcome == "passed":
        return _("It passed. Each part may go on with its turnaround; its own page says what is missing.")
    says = _("No: it was judged “{outcome}”. Its parts begin again from the wash.")
    return says.format(outcome=outcome_words(state.outcome))
