"""Roles as permissions: who may record which deed. Which step somebody was trained for is another question."""

from __future__ import annotations

from collections.abc import Mapping

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
