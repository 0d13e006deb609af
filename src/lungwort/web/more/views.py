"""The further screens."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from lungwort.language import _
from lungwort.web.access import for_everybody
from lungwort.web.frame.ways import ways_among


@for_everybody
@require_safe
def more(request: HttpRequest) -> HttpResponse:
    """List the further screens that are open to the person; one that is not there yet is left out."""
    asked: Any = request
    further = ways_among(_further(), asked.person.roles, request.path)
    return render(
        request, "more/more.html", {"further": [(way, _about().get(way.icon, "")) for way in further]}
    )


def _further() -> dict[str, tuple[str, str]]:
    """Return word and name of each further screen; its name stands where a way has its picture."""
    words = {
        "mix": _("Mix"),
        "equipment": _("Equipment"),
        "stock": _("Stock"),
        "protocol": _("Protocol"),
        "look_back": _("Look-back"),
        "people": _("People"),
        "export": _("Export"),
    }
    return {name: (word, name) for name, word in words.items()}


def _about() -> dict[str, str]:
    return {
        "mix": _("How much of the bottle in how much water, and the label for the container."),
        "equipment": _("Autoclaves, baths and instruments, and what is due on them."),
        "stock": _("Batches of chemicals and packets."),
        "protocol": _("The cards, the text, its versions, and the criteria that were adopted."),
        "look_back": _("Who was exposed, after a failed cycle, a wrong batch, a defect or an infection."),
        "people": _("Who may do what, who was trained for it, and what lapses soon."),
        "export": _("Everything that is recorded, for a spreadsheet."),
    }
