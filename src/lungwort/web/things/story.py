"""Each kind of fact as a sentence that somebody can read years later."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from lungwort.language import _
from lungwort.records.life.held import outcome_words
from lungwort.records.life.permissions import deed_words
from lungwort.records.states.fact import Fact

Text = Callable[[], str]

SENTENCES: Mapping[str, Text] = {
    "part.enrolled": lambda: _("Enrolled as {kind}."),
    "set_up.joined": lambda: _("Joined into set-up {set_up} with machine {machine}."),
    "set_up.parted": lambda: _("Set-up {set_up} was dissolved, unused."),
    "set_up.checked": lambda: _("Set-up {set_up} was checked before use: {checks}."),
    "set_up.connected": lambda: _("Connected to {patient} in {ward}, as set-up {set_up}."),
    "set_up.duty_done": lambda: _("Done on set-up {set_up} in use: {duty}."),
    "set_up.disconnected": lambda: _("Disconnected from {patient} in {ward}; set-up {set_up} ended."),
    "part.duty_done": lambda: _("Done, by the calendar: {duty}."),
    "part.taken_apart": lambda: _("Taken apart."),
    "part.washed": lambda: _("Washed."),
    "part.wiped": lambda: _("Wiped with disinfectant."),
    "part.dried": lambda: _("Dry."),
    "part.inspected": lambda: _("Inspected: {checks}."),
    "cycle.loaded": lambda: _("Put in load {cycle} for {process}."),
    "cycle.started": lambda: _("Cycle {cycle} ({process}) began."),
    "cycle.ended": lambda: _("Cycle {cycle} ({process}) ended; its parts wait for the judgement."),
    "cycle.abandoned": lambda: _("Load {cycle} was given up before it began."),
    "cycle.evidence_attached": lambda: _("Evidence of cycle {cycle} was attached: {evidence}."),
    "cycle.judged": lambda: _("Cycle {cycle} ({process}) was judged: {outcome}."),
    "part.released": lambda: _("Released for the next patient."),
    "part.released_by_exception": lambda: _("Released by exception, without proof, together with {person}."),
    "part.quarantined": lambda: _("Put in quarantine."),
    "part.quarantine_lifted": lambda: _("The quarantine was lifted; its turnaround begins anew."),
    "part.repaired": lambda: _("Repaired; its turnaround begins anew."),
    "part.withdrawn": lambda: _("Withdrawn for ever."),
    "equipment.enrolled": lambda: _("Enrolled as {name}."),
    "equipment.calibrated": lambda: _("Calibrated; that counts until {due}."),
    "equipment.held": lambda: _("Taken out of service."),
    "equipment.freed": lambda: _("Put back in service."),
    "equipment.withdrawn": lambda: _("Withdrawn for ever."),
    "batch.enrolled": lambda: _("Enrolled as a batch of {stock}."),
    "batch.held": lambda: _("Held back."),
    "batch.used_up": lambda: _("Used up, or thrown away."),
}
"""By kind of fact; the words in braces are what the fact says and the codes of its things."""

_CLAUSES: Mapping[str, Text] = {
    "serial": lambda: _("Serial number {serial}."),
    "tag": lambda: _("It bears the code {tag} too."),
    "cycles": lambda: _("{cycles} treatments before."),
    "lot": lambda: _("Lot {lot}."),
    "made_on": lambda: _("Made on {made_on}."),
    "expires_on": lambda: _("To be used until {expires_on}."),
    "calibration_due": lambda: _("Its calibration counts until {calibration_due}."),
    "equipment": lambda: _("In {equipment}."),
    "setting": lambda: _("Programme: {setting}."),
    "batch": lambda: _("With batch {batch}."),
    "result": lambda: _("Result: {result}."),
    "failed": lambda: _("Not in order: {failed}."),
    "defect": lambda: _("Found: {defect}."),
    "reason": lambda: _("Reason: {reason}."),
    "note": lambda: _("Note: {note}."),
}
"""What is added where a fact says it and its sentence did not."""


def sentence(fact: Fact) -> str:
    """Return what a fact says, as sentences."""
    said, told = _main(fact), words_of(fact)
    more = [text() for key, text in _CLAUSES.items() if told.get(key) and f"{{{key}}}" not in said]
    return " ".join((said, *more)).format_map(_Known(told))


def _main(fact: Fact) -> str:
    if fact.what == "part.dried" and not fact.data.get("done", True):
        return _("Put to dry.")
    text = SENTENCES.get(fact.what)
    return text() if text else f"{deed_words(fact.what)}."


def words_of(fact: Fact) -> dict[str, str]:
    """Return the words that a sentence about a fact may use: what it says, and the codes of its things."""
    things = {kind: ", ".join(codes) for kind, codes in fact.by_kind.items()}
    told = {key: _plain(key, value) for key, value in fact.data.items()}
    if fact.what == "cycle.evidence_attached":
        told["evidence"] = evidence_words(told.pop("kind", ""))
    return {**things, **told}


def evidence_words(kind: str) -> str:
    """Return a kind of evidence for people to read.

    >>> evidence_words("hand")
    'readings by hand'
    """
    names = {
        "log": _("a log"),
        "hand": _("readings by hand"),
        "strip": _("strips"),
        "weight": _("weights"),
        "biological": _("a biological indicator"),
        "chemical": _("a chemical indicator"),
    }
    return names.get(kind, kind)


def _plain(key: str, value: Any) -> str:
    if key == "outcome":
        return outcome_words(str(value))
    if isinstance(value, list | tuple):
        return "; ".join(map(str, value))
    return "" if value is None or value in (False, 0) else str(value).rstrip(". ")


class _Known(dict[str, str]):
    """Words by name; one that is missing is written as an en dash."""

    def __missing__(self, name: str) -> str:
        return "–"
