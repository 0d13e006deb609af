"""What every template knows."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest


def frame(request: HttpRequest) -> dict[str, Any]:
    """Return the person, the place, and the ways through the house that are open to the person."""
    from lungwort.web.frame.ways import ways_open_to

    person, book = getattr(request, "person", None), getattr(request, "book", None)
    return {
        "person": person,
        "place": book.place if book else "",
        "ways": ways_open_to(person.roles, request.path) if person else (),
    }
