"""Who may open an address: every view says so, and one that does not is refused to all."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpResponseBase

from lungwort.records.life.permissions import MAY, ROLES

View = Callable[..., HttpResponseBase]
ANYONE = "anyone"


def open_to_anyone(view: View) -> View:
    """Let anybody open it, signed in or not: signing in, help, what the browser itself asks for."""
    return _marked(view, (ANYONE,))


def for_everybody(view: View) -> View:
    """Let everybody open it who is signed in."""
    return _marked(view, ROLES)


def for_roles(*roles: str) -> Callable[[View], View]:
    """Let people of some roles open it."""
    return lambda view: _marked(view, roles)


def for_deed(what: str) -> Callable[[View], View]:
    """Let those open it whose role may record a deed."""
    return for_roles(*MAY[what])


def roles_of(view: Any) -> tuple[str, ...]:
    """Return the roles that may open a view; none where it does not say."""
    return getattr(view, "may_open", ())


def _marked(view: View, roles: tuple[str, ...]) -> View:
    view.may_open = roles  # type: ignore[attr-defined]
    return view
