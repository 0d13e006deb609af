"""Letting go of databases, so that files can be copied, killed or removed."""

from django.db import connections


def close_all() -> None:
    """Let go of every database."""
    for connection in connections.all(initialized_only=True):
        connection.close()
