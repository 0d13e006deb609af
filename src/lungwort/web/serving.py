"""Serving the pages: the environment made, the database brought up to date, the server run until it is stopped."""

from __future__ import annotations

import os
from pathlib import Path
from secrets import token_urlsafe

from lungwort.errors import LungwortError
from lungwort.language import _

LOCAL = "127.0.0.1"


def prepare(database: str, zone: str = "UTC", hosts: str = "") -> None:
    """Set what the pages' settings read, and make or bring up to date the tables.

    Args:
        database: a file, or postgres://user@host/name.
        zone: the hospital's time zone by its IANA name.
        hosts: further names under which the pages are asked for, with commas between.

    Raises:
        UnusableRecords: the database cannot be used.
        LungwortError: the zone is not known.
    """
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError) as error:
        text = _("the time zone {zone!r} is not known; give one such as Africa/Nairobi")
        raise LungwortError(text.format(zone=zone)) from error
    names = ["localhost", LOCAL, "[::1]", *(host.strip() for host in hosts.split(",") if host.strip())]
    os.environ |= {
        "DJANGO_SETTINGS_MODULE": "lungwort.web.settings",
        "LUNGWORT_DATABASE": database,
        "LUNGWORT_ZONE": zone,
        "LUNGWORT_HOSTS": ",".join(names),
        "LUNGWORT_SECRET": os.environ.get("LUNGWORT_SECRET") or secret_beside(database),
    }
    import django

    django.setup()
    from lungwort.records.connect import connect

    connect(database, new=True)


def give_pin_here(database: str, person: str, pin: str, place: str = "") -> None:
    """Give a person of the records a PIN from this machine; `prepare` comes first.

    Raises:
        LungwortError: the PIN is too short, no such person works there, or the place must be named.
    """
    from lungwort.records.states.kinds import PersonState
    from lungwort.web.accounts.forms import SHORTEST_PIN
    from lungwort.web.accounts.models import give_pin
    from lungwort.web.frame.books import book_of, store

    if len(pin) < SHORTEST_PIN:
        text = _("the PIN has {count} characters; give at least {least}")
        raise LungwortError(text.format(count=len(pin), least=SHORTEST_PIN))
    places = [place] if place else store().places()
    if len(places) != 1:
        text = _("{database} holds {names}; name the place with --place")
        raise LungwortError(text.format(database=database, names=", ".join(places) or _("nothing yet")))
    found = book_of(places[0]).view().state(PersonState, person)
    if found is None or found.status != "active":
        text = _(
            "nobody with the code {person!r} works at {place}; check the code, or enrol the person first"
        )
        raise LungwortError(text.format(person=person, place=places[0]))
    give_pin(places[0], person, pin)


def secret_beside(database: str) -> str:
    """Return what signs the sessions: kept beside a file, so that a restart signs nobody out; new for a server."""
    if "://" in database:
        return token_urlsafe(50)
    path = Path(f"{database}.secret")
    if not path.exists():
        path.touch(mode=0o600)
        path.write_text(token_urlsafe(50), "ascii")
    return path.read_text("ascii")


def run(address: str, port: int, workers: int) -> None:
    """Serve until stopped."""
    from granian.constants import Interfaces
    from granian.server import Server

    Server(
        "lungwort.web.wsgi:application",
        address=address,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        blocking_threads=4,
        log_enabled=False,
    ).serve()
