"""The hospital as it stands: how many parts and machines are in use, held, ready and on their way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from lungwort.records.states.kinds import PartState
from lungwort.records.states.view import View

ON_THE_WAY = ("soiled", "washed", "treated", "drying")


def standing(view: View) -> Mapping[str, Counter[str]]:
    """Return how many machines, reusable parts and packets are in use, held, ready and on their way to it.

    What was withdrawn does not count.
    """
    found: dict[str, Counter[str]] = {"machines": Counter(), "parts": Counter(), "packets": Counter()}
    for state in view.states(PartState):
        which = "machines" if state.machine else "packets" if state.single_patient else "parts"
        found[which][place_of(state)] += state.status != "withdrawn"
    return found


def place_of(state: PartState) -> str:
    """Return a part's status in one of four words.

    >>> place_of(PartState("P-1", "washed"))
    'on the way'
    """
    if state.status in ON_THE_WAY:
        return "on the way"
    return "held" if state.status == "quarantined" else state.status


def held(view: View) -> Iterable[PartState]:
    """Return the parts and machines that are held, in order of code."""
    return view.states(PartState, "quarantined")
