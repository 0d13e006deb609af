"""The records behind the pages."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from functools import cache

from django.conf import settings

from lungwort.records.connect import connect
from lungwort.records.life.witness import Book
from lungwort.records.stores.database import DatabaseStore


@cache
def store() -> DatabaseStore:
    """Return the records that the pages show."""
    return connect(settings.DATABASE)


def now() -> datetime:
    """Return the time."""
    return datetime.now(UTC)


def book_of(place: str) -> Book:
    """Return the records of one place."""
    return Book(store(), place, now, os.urandom)
