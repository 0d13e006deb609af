"""The driver's own cursor, in a transaction that is begun: Django's errors without its work on every statement."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import chain
from typing import Any

from lungwort.records.stores.tables import Insert, plain


class Cursor:
    """A cursor that takes statements with `%s` for each value, on either database."""

    def __init__(self, connection: Any) -> None:
        self.vendor: str = connection.vendor
        self._own = connection.connection.cursor()
        self._errors = connection.wrap_database_errors
        self._marked = _with_question_marks if self.vendor == "sqlite" else str

    def run(self, statement: str, values: Sequence[Any] = ()) -> None:
        """Run a statement."""
        with self._errors:
            self._own.execute(self._marked(statement), values)

    def insert(self, into: Insert, rows: Sequence[Sequence[Any]]) -> None:
        """Put rows into a table, with one message to a server, and none for no rows."""
        if not rows:
            return
        if self.vendor == "sqlite":
            with self._errors:
                self._own.executemany(_with_question_marks(into.statement()), rows)
        else:
            self.run(into.statement(len(rows)), [*chain.from_iterable(rows)])

    def rows(self, query: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """Return the rows of a query."""
        with self._errors:
            self._own.execute(self._marked(query), values)
            found: list[tuple[Any, ...]] = self._own.fetchall()
        return found if self.vendor == "sqlite" else [plain(row) for row in found]


@cache
def _with_question_marks(statement: str) -> str:
    return statement.replace("%s", "?")
