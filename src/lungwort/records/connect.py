"""Opening a database of records: Django set up for it and nothing else, no pages, no web."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from lungwort.errors import UnusableRecords
from lungwort.language import _
from lungwort.records import settings as plain_settings
from lungwort.records.stores.database import DatabaseStore
from lungwort.records.stores.failures import telling

WAIT_S = 20.0
"""How long a writer waits for others by default."""

_PRAGMAS = (
    "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA fullfsync=ON; PRAGMA recursive_triggers=ON"
)
_SQLITE, _POSTGRESQL = "django.db.backends.sqlite3", "django.db.backends.postgresql"


def connect(
    database: str | Path, *, new: bool = False, read_only: bool = False, wait_s: float = WAIT_S
) -> DatabaseStore:
    """Return the records in a database; the same again for the same database.

    Args:
        database: a file's path (SQLite), or an address such as `postgres://user@host/name`.
        new: make what is missing: the file, the tables. Without it, a database without records is refused, so that a
            mistyped name cannot pass for records that are whole.
        read_only: write nothing at all; a SQLite file on a read-only disk can be read.
        wait_s: how long to wait for other writers.

    Raises:
        UnusableRecords: no records there, or the database cannot be opened.
    """
    configuration = configured(database, read_only, wait_s)
    where = shown(configuration)
    if not new and not is_there(configuration):
        text = _(
            "there is no file {where}; check the name, restore a backup with `lungwort records restore`, "
            "or make new records with `lungwort records create`"
        )
        raise UnusableRecords(text.format(where=where))
    store = DatabaseStore(_alias(configuration), where, wait_s)
    with telling(where):
        if new:
            _build(store)
        _refuse_unfit(store)
    return store


def create(database: str | Path) -> str:
    """Make a database of records, or bring one that an earlier Lungwort wrote up to date.

    Returns:
        `made`, `brought up to date`, or `up to date` where there was nothing to do.

    Raises:
        UnusableRecords: the database belongs to another program or to a later Lungwort, or cannot be opened.
    """
    configuration = configured(database)
    found = is_there(configuration)
    store = DatabaseStore(_alias(configuration), shown(configuration), WAIT_S)
    before = steps_of(store) if found else set()
    after = steps_of(connect(database, new=True))
    if not before:
        return "made"
    return "up to date" if before == after else "brought up to date"


def is_there(configuration: Mapping[str, Any]) -> bool:
    """Tell whether a file is there; a server is taken to be."""
    return "FILE" not in configuration or Path(configuration["FILE"]).is_file()


def disconnect(database: str | Path, *, read_only: bool = False, wait_s: float = WAIT_S) -> None:
    """Let go of a database that was connected with the same arguments, so that its file can be moved or removed."""
    from django.db import connections

    key = _key(configured(database, read_only, wait_s))
    if key in _ALIASES:
        connections[_ALIASES[key]].close()


def configured(database: str | Path, read_only: bool = False, wait_s: float = WAIT_S) -> dict[str, Any]:
    """Return Django's settings for a database.

    Raises:
        UnusableRecords: an address of another kind of database, or one that cannot be read.

    >>> configured("hill.db")["OPTIONS"]["transaction_mode"]
    'IMMEDIATE'
    """
    text = str(database)
    if "://" not in text:
        return _sqlite(Path(text), read_only, wait_s)
    import dj_database_url

    try:
        found: dict[str, Any] = dict(dj_database_url.parse(text))
    except Exception as error:  # its reader raises many kinds
        says = _(
            "the address of the database cannot be read ({why}); give a file, or postgres://user@host/name"
        )
        raise UnusableRecords(says.format(why=type(error).__name__)) from error
    if found["ENGINE"] == _SQLITE:
        return _sqlite(Path(found["NAME"]), read_only, wait_s)
    if found["ENGINE"] != _POSTGRESQL:
        says = _(
            "records are kept in SQLite or PostgreSQL, not in {kind}; give a file, or postgres://user@host/name"
        )
        raise UnusableRecords(says.format(kind=text.partition(":")[0]))
    return found | {"OPTIONS": found.get("OPTIONS", {}) | {"options": _postgresql_options(read_only, wait_s)}}


def _sqlite(path: Path, read_only: bool, wait_s: float) -> dict[str, Any]:
    options: dict[str, Any] = {"timeout": wait_s, "transaction_mode": "IMMEDIATE", "init_command": _PRAGMAS}
    name = path.absolute().as_uri()
    if read_only:
        options = {"timeout": wait_s}
        name += "?mode=ro" + ("&immutable=1" if _lies_still(path) else "")
    return {"ENGINE": _SQLITE, "NAME": name, "OPTIONS": options, "FILE": str(path.absolute())}


def _lies_still(path: Path) -> bool:
    """Tell whether a file lies on a read-only disk with nothing pending, where SQLite cannot make its side files."""
    whole = path.absolute()
    if not whole.is_file() or os.access(whole.parent, os.W_OK):
        return False
    return not whole.with_name(whole.name + "-wal").exists()


def _postgresql_options(read_only: bool, wait_s: float) -> str:
    wait_ms = max(1, round(wait_s * 1000))
    options = f"-c lock_timeout={wait_ms} -c synchronous_commit=on"
    return options + (" -c default_transaction_read_only=on" if read_only else "")


def shown(configuration: Mapping[str, Any]) -> str:
    """Return a database's name for messages, without password.

    >>> shown({"ENGINE": "x", "NAME": "hill", "HOST": "db"})
    'hill on db'
    """
    if "FILE" in configuration:
        return Path(configuration["FILE"]).name
    return _("{name} on {host}").format(
        name=configuration["NAME"], host=configuration.get("HOST") or "localhost"
    )


# ---- Django ----


@cache
def set_up() -> None:
    """Set Django up for records, unless a web server did so before."""
    import django
    from django.conf import settings

    if not settings.configured:
        own = {key: value for key, value in vars(plain_settings).items() if key.isupper()}
        settings.configure(**own | {"DATABASES": {"default": {}}})
        django.setup()


_ALIASES: dict[str, str] = {}


def _key(configuration: Mapping[str, Any]) -> str:
    return repr(sorted(configuration.items(), key=lambda item: item[0]))


def _alias(configuration: dict[str, Any]) -> str:
    """Return Django's name for a database, entering it if it is new."""
    from django.db import connections

    set_up()
    key = _key(configuration)
    if key not in _ALIASES:
        alias = f"records_{len(_ALIASES)}"
        entered = connections.configure_settings({"default": {}, alias: configuration})
        connections.settings[alias] = entered[alias]
        _ALIASES[key] = alias
    return _ALIASES[key]


def _build(store: DatabaseStore) -> None:
    from django.core.management import call_command

    _refuse_foreign(store)
    call_command("migrate", database=store.alias, verbosity=0, interactive=False)


def _refuse_foreign(store: DatabaseStore) -> None:
    """Refuse to put tables among those of another program."""
    from django.db import connections

    tables = set(connections[store.alias].introspection.table_names()) - {"django_migrations"}
    if tables and not steps_of(store):
        text = _("{where} belongs to another program (it holds {tables}); give the name of a new database")
        raise UnusableRecords(text.format(where=store.where, tables=", ".join(sorted(tables)[:3])))


def steps_of(store: DatabaseStore) -> set[str]:
    """Return the steps by which a database's tables came to their form."""
    from django.db import connections
    from django.db.migrations.recorder import MigrationRecorder

    with telling(store.where):
        applied = MigrationRecorder(connections[store.alias]).applied_migrations()
    return {name for app, name in applied if app == "records"}


def _refuse_unfit(store: DatabaseStore) -> None:
    """Refuse a database without these tables, or whose tables are of a later Lungwort."""
    done = steps_of(store)
    ours = {path.stem for path in (Path(__file__).parent / "migrations").glob("[0-9]*.py")}
    if not done:
        text = _(
            "{where} holds no records; check the name, restore a backup into a new database, "
            "or make one with `lungwort records create`"
        )
        raise UnusableRecords(text.format(where=store.where))
    if done - ours:
        text = _("{where} was written by a later Lungwort ({steps}); use that version or a later one")
        raise UnusableRecords(text.format(where=store.where, steps=", ".join(sorted(done - ours))))
    if ours - done:
        text = _(
            "{where} was written by an earlier Lungwort; bring it up to date with `lungwort records create`"
        )
        raise UnusableRecords(text.format(where=store.where))
