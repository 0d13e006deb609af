"""A column that sorts alike on every database."""

from __future__ import annotations

from typing import Any

from django.db import models


class OrderedText(models.CharField):  # type: ignore[type-arg]
    """Text that PostgreSQL sorts as SQLite does, code point by code point, whatever language its server speaks."""

    def db_parameters(self, connection: Any) -> Any:
        """Return type and collation of the column."""
        found = super().db_parameters(connection)
        return {**found, "collation": "C"} if connection.vendor == "postgresql" else found
