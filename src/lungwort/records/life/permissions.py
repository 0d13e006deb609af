"""Roles as permissions: who may record which deed. Which step somebody was trained for is another question."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lungwort.language import _

WARD, REPROCESSING, TECHNICAL = "ward", "reprocessing", "technical"
LEAD, STORE, AUDITOR, ADMINISTRATOR = "infection control lead", "store", "auditor", "administrator"

ROLES: tuple[str, ...] = (WARD, REPROCESSING, TECHNICAL, LEAD, STORE, AUDITOR, ADMINISTRATOR)
"""Every role; an auditor reads everything and records nothing."""

_BEDSIDE = (WARD, LEAD)
_ROOM = (REPROCESSING, LEAD)
_HANDS = (WARD, REPROCESSING, TECHNICAL, LEAD)

MAY: Mapping[str, tuple[str, ...]] = {
    "place.opened": (ADMINISTRATOR,),
    "person.enrolled": (ADMINISTRATOR,),
    "person.roles_given": (ADMINISTRATOR,),
    "person.left": (ADMINISTRATOR, LEAD),
    "person.trained": (LEAD,),
    "part.enrolled": (STORE, TECHNICAL, LEAD),
    "part.withdrawn": (TECHNICAL, STORE, LEAD),
    "part.repaired": (TECHNICAL,),
    "part.quarantined": _HANDS,
    "part.quarantine_lifted": (LEAD,),
    "part.duty_done": _HANDS,
    "set_up.joined": (WARD, TECHNICAL, LEAD),
    "set_up.parted": (WARD, TECHNICAL, LEAD),
    "set_up.checked": (WARD, TECHNICAL, LEAD),
    "set_up.connected": _BEDSIDE,
    "set_up.duty_done": (WARD, TECHNICAL, LEAD),
    "set_up.disconnected": _BEDSIDE,
    "part.taken_apart": _HANDS,
    "part.washed": _HANDS,
    "part.wiped": _HANDS,
    "part.dried": _HANDS,
    "part.inspected": _HANDS,
    "cycle.loaded": _ROOM,
    "cycle.started": _ROOM,
    "cycle.ended": _ROOM,
    "cycle.abandoned": _ROOM,
    "cycle.evidence_attached": (REPROCESSING, TECHNICAL, LEAD),
    "cycle.judged": _ROOM,
    "part.released": (WARD, REPROCESSING, LEAD),
    "part.released_by_exception": (LEAD,),
    "equipment.enrolled": (TECHNICAL,),
    "equipment.calibrated": (TECHNICAL,),
    "equipment.held": (TECHNICAL, REPROCESSING, LEAD),
    "equipment.freed": (TECHNICAL, LEAD),
    "equipment.withdrawn": (TECHNICAL,),
    "batch.enrolled": (STORE, REPROCESSING, LEAD),
    "batch.held": (STORE, REPROCESSING, LEAD),
    "batch.used_up": (STORE, REPROCESSING, LEAD),
    "criterion.adopted": (LEAD,),
    "criterion.dropped": (LEAD,),
    "protocol.published": (LEAD,),
    "protocol.withdrawn": (LEAD,),
    "event.corrected": (),
    "event.struck": (),
}
"""By deed, the roles that may record it. A correction asks for the permission of what it corrects."""


def role_words(role: str) -> str:
    """Return a role's name for people to read.

    >>> role_words("ward")
    'ward'
    """
    names = {
        WARD: _("ward"),
        REPROCESSING: _("reprocessing"),
        TECHNICAL: _("technical"),
        LEAD: _("infection control lead"),
        STORE: _("store"),
        AUDITOR: _("auditor"),
        ADMINISTRATOR: _("administrator"),
    }
    return names[role]


def deed_words(what: str) -> str:
    """Return a kind of deed for people to read.

    >>> deed_words("set_up.connected")
    'connecting a patient'
    """
    return _DEEDS[what]() if what in _DEEDS else what


_DEEDS: Mapping[str, Callable[[], str]] = {
    "place.opened": lambda: _("opening a place"),
    "person.enrolled": lambda: _("enrolling a person"),
    "person.roles_given": lambda: _("giving roles"),
    "person.left": lambda: _("that somebody left"),
    "person.trained": lambda: _("a training and its assessment"),
    "part.enrolled": lambda: _("enrolling a part"),
    "part.withdrawn": lambda: _("withdrawing a part"),
    "part.repaired": lambda: _("a repair"),
    "part.quarantined": lambda: _("a quarantine"),
    "part.quarantine_lifted": lambda: _("lifting a quarantine"),
    "part.duty_done": lambda: _("a duty by the calendar"),
    "set_up.joined": lambda: _("joining a set-up"),
    "set_up.parted": lambda: _("dissolving a set-up"),
    "set_up.checked": lambda: _("a check before use"),
    "set_up.connected": lambda: _("connecting a patient"),
    "set_up.duty_done": lambda: _("a duty at the bedside"),
    "set_up.disconnected": lambda: _("disconnecting a patient"),
    "part.taken_apart": lambda: _("taking apart"),
    "part.washed": lambda: _("washing"),
    "part.wiped": lambda: _("wiping with disinfectant"),
    "part.dried": lambda: _("drying"),
    "part.inspected": lambda: _("an inspection"),
    "cycle.loaded": lambda: _("loading a cycle"),
    "cycle.started": lambda: _("the start of a cycle"),
    "cycle.ended": lambda: _("the end of a cycle"),
    "cycle.abandoned": lambda: _("giving up a load"),
    "cycle.evidence_attached": lambda: _("the evidence of a cycle"),
    "cycle.judged": lambda: _("the judgement of a cycle"),
    "part.released": lambda: _("a release"),
    "part.released_by_exception": lambda: _("a release by exception"),
    "equipment.enrolled": lambda: _("enrolling equipment"),
    "equipment.calibrated": lambda: _("a calibration"),
    "equipment.held": lambda: _("taking equipment out of service"),
    "equipment.freed": lambda: _("putting equipment back in service"),
    "equipment.withdrawn": lambda: _("withdrawing equipment"),
    "batch.enrolled": lambda: _("enrolling a batch"),
    "batch.held": lambda: _("holding a batch"),
    "batch.used_up": lambda: _("that a batch is used up"),
    "criterion.adopted": lambda: _("adopting a criterion"),
    "criterion.dropped": lambda: _("dropping a criterion"),
    "protocol.published": lambda: _("publishing the protocol"),
    "protocol.withdrawn": lambda: _("withdrawing a version of the protocol"),
    "event.corrected": lambda: _("a correction"),
    "event.struck": lambda: _("striking an entry"),
}
"""Each asked for when it is needed, so that it speaks the language of the one who reads it."""
