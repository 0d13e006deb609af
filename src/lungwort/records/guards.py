"""Triggers by which the database itself refuses to change or remove what is recorded.

A migration that lets SQLite rebuild a table drops its triggers: let it end with `set_guards`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

SAME_ROW: Mapping[str, str] = {
    "records_place": "code = NEW.code",
    "records_event": "id = NEW.id OR (place = NEW.place AND sequence = NEW.sequence)",
    "records_event_thing": "event_id = NEW.event_id AND code = NEW.code AND part = NEW.part",
    "records_evidence": "sha256 = NEW.sha256",
}
"""Each guarded table, and when a row to be inserted would take the place of one that is there."""

SAYS = "what is recorded is never changed or removed; append an event that corrects it"
_FUNCTION = "records_refuse_change"
BEFORE_ANY_CHANGE = 2 | 8 | 16 | 32
"""PostgreSQL's `tgtype`: before, on delete, update and truncate, for each statement. Source: its `pg_trigger.h`."""


def sqlite_guards() -> Iterator[tuple[str, str]]:
    """Yield name and statement of each trigger for SQLite.

    INSERT OR REPLACE removes a row without asking the trigger on DELETE, so replacing is refused on its own, by rowid
    too.
    """
    refuse = f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
    for table, same in SAME_ROW.items():
        for verb in ("UPDATE", "DELETE"):
            name = f"{table}_never_{verb.lower()}"
            yield name, f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE {verb} ON {table} {refuse}"
        name = f"{table}_never_replace"
        there = f"EXISTS (SELECT 1 FROM {table} WHERE rowid = NEW.rowid OR {same})"
        yield name, f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE INSERT ON {table} WHEN {there} {refuse}"


def postgresql_guards() -> Iterator[tuple[str, str]]:
    """Yield name and statements of each trigger for PostgreSQL; they hold in a replica's session too."""
    for table in SAME_ROW:
        name = f"{table}_never_change"
        yield (
            name,
            (
                f"DROP TRIGGER IF EXISTS {name} ON {table}; "
                f"CREATE TRIGGER {name} BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
                f"FOR EACH STATEMENT EXECUTE FUNCTION {_FUNCTION}(); "
                f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}"
            ),
        )


def refusing_function() -> str:
    """Return the statement that makes PostgreSQL's refusing function."""
    return (
        f"CREATE OR REPLACE FUNCTION {_FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$ "
        f"BEGIN RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'restrict_violation'; END $$"
    )


def set_guards(_apps: Any, editor: Any) -> None:
    """Set every trigger; the ones that stand already are left or made anew."""
    if editor.connection.vendor == "postgresql":
        editor.execute(refusing_function())
    for _name, statement in guards_of(editor.connection.vendor):
        editor.execute(statement)


def lift_guards(editor: Any, table: str) -> None:
    """Take a table's triggers away, for a migration that fills a new column; `set_guards` must follow."""
    for name, _statement in guards_of(editor.connection.vendor):
        if name.startswith(f"{table}_never_"):
            on_table = f" ON {table}" if editor.connection.vendor == "postgresql" else ""
            editor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def guards_of(vendor: str) -> list[tuple[str, str]]:
    """Return name and statement of each trigger of a database's kind."""
    return list(postgresql_guards() if vendor == "postgresql" else sqlite_guards())


def missing_guards(connection: Any) -> list[str]:
    """Return the names of the triggers that should stand and do not, are disabled, or do something else now."""
    with connection.cursor() as cursor:
        standing = _standing_on_postgresql(cursor) if connection.vendor == "postgresql" else _standing(cursor)
    return [name for name, _statement in guards_of(connection.vendor) if name not in standing]


def _standing(cursor: Any) -> set[str]:
    """Return the names of SQLite's triggers that are word for word as they were set."""
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    kept = dict(cursor.fetchall())
    return {name for name, told in sqlite_guards() if kept.get(name) == told.replace(" IF NOT EXISTS", "", 1)}


def _standing_on_postgresql(cursor: Any) -> set[str]:
    """Return the names of PostgreSQL's triggers that always fire, each on its table, and call what refuses."""
    cursor.execute(
        "SELECT t.tgname, c.relname, t.tgtype, f.prosrc FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
        "JOIN pg_proc f ON f.oid = t.tgfoid WHERE t.tgenabled = 'A' AND t.tgqual IS NULL AND NOT t.tgisinternal"
    )
    body = refusing_function().split("$$")[1]
    return {
        name
        for name, table, fires, source in cursor.fetchall()
        if name == f"{table}_never_change" and fires == BEFORE_ANY_CHANGE and source == body
    }
