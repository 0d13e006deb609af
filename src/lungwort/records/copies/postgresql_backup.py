"""Backup and restore of records in PostgreSQL by its own programs; refused where they are not there."""

from __future__ import annotations

import os
import secrets
import shutil
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

from lungwort.errors import UnusableRecords
from lungwort.language import _
from lungwort.records.connect import connect, disconnect
from lungwort.records.stores.failures import told
from lungwort.records.verify import Report, verify

Configuration = Mapping[str, Any]


def dump(configuration: Configuration, target: Path, where: str) -> None:
    """Write a live database to a file in PostgreSQL's own archive format.

    Raises:
        UnusableRecords: `pg_dump` is not installed, or fails.
    """
    _run(
        ["pg_dump", "--format=custom", "--no-owner", "--no-privileges", "--file", str(target)],
        configuration,
        where,
    )
    with target.open("rb+") as opened:
        os.fsync(opened.fileno())


def restore(source: Path, configuration: Configuration, where: str) -> None:
    """Fill an empty database from a backup, all or nothing.

    Raises:
        UnusableRecords: the database holds tables already or is not there, or `pg_restore` is missing or fails.
    """
    import psycopg

    query = "SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema()"
    try:
        with psycopg.connect(address(configuration)) as connection:
            (tables,) = connection.execute(query).fetchone() or (0,)
    except psycopg.Error as error:
        raise told(error, where) from error
    if tables:
        text = _(
            "{where} holds tables already and is not overwritten; give the address of a new, empty database"
        )
        raise UnusableRecords(text.format(where=where))
    words = ["pg_restore", "--single-transaction", "--exit-on-error", "--no-owner", "--no-privileges"]
    _run([*words, "--dbname", str(configuration["NAME"]), str(source)], configuration, where)


def verified(configuration: Configuration, source: Path, where: str) -> Report:
    """Return what verifying finds in a backup restored into a temporary database on the same server.

    Raises:
        UnusableRecords: this account may not make databases there.
    """
    with _temporary_database(configuration, where) as temporary:
        restore(source, temporary, where)
        try:
            return verify(connect(address(temporary)))
        finally:
            disconnect(address(temporary))


@contextmanager
def _temporary_database(configuration: Configuration, where: str) -> Iterator[Configuration]:
    import psycopg

    name = f"lungwort_check_{secrets.token_hex(6)}"
    try:
        with psycopg.connect(address(configuration), autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}" TEMPLATE template0'.encode())
            try:
                yield {**configuration, "NAME": name}
            finally:
                connection.execute(f'DROP DATABASE "{name}"'.encode())
    except psycopg.errors.InsufficientPrivilege as error:
        text = _(
            "{where}: the backup cannot be verified, since this account may not make a temporary database ({why}); "
            "let the administrator grant CREATEDB, or back up under another account"
        )
        raise UnusableRecords(text.format(where=where, why=error.diag.message_primary)) from error


def address(configuration: Configuration) -> str:
    """Return the address of a configured database.

    >>> address({"NAME": "hill", "USER": "ada", "PASSWORD": "a b", "HOST": "", "PORT": 5433})
    'postgresql://ada:a%20b@:5433/hill'
    """
    user, password = quote(configuration.get("USER") or "", safe=""), configuration.get("PASSWORD")
    secret = f":{quote(password, safe='')}" if password else ""
    port = f":{configuration['PORT']}" if configuration.get("PORT") else ""
    who = f"{user}{secret}@" if user or secret else ""
    return f"postgresql://{who}{quote(configuration.get('HOST') or '', safe='')}{port}/{quote(configuration['NAME'])}"


# ---- PostgreSQL's programs ----


def _run(words: Sequence[str], configuration: Configuration, where: str) -> None:
    """Run one of PostgreSQL's programs; its password goes by the environment, where no other account sees it."""
    program = found(words[0])
    if program is None:
        text = _(
            "{program} is not installed, and records in PostgreSQL are backed up and restored with it; "
            "install PostgreSQL's client programs (on Debian: apt-get install postgresql-client)"
        )
        raise UnusableRecords(text.format(program=words[0]))
    known = {
        "PGHOST": "HOST",
        "PGPORT": "PORT",
        "PGUSER": "USER",
        "PGPASSWORD": "PASSWORD",
        "PGDATABASE": "NAME",
    }
    environment = os.environ | {
        to: str(configuration[key]) for to, key in known.items() if configuration.get(key)
    }
    done = subprocess.run([program, *words[1:]], env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        text = _("{where}: {program} failed ({why}); nothing was restored or kept")
        why = " ".join(done.stderr.split())[:300]
        raise UnusableRecords(text.format(where=where, program=words[0], why=why))


def found(program: str) -> str | None:
    """Return where a program of PostgreSQL is: on the path, or the newest where Debian keeps them."""
    debian = [p for p in Path("/usr/lib/postgresql").glob(f"*/bin/{program}") if p.parts[4].isdigit()]
    newest = max(debian, key=lambda p: int(p.parts[4]), default=None)
    return shutil.which(program) or (str(newest) if newest else None)
