"""Stores for the tests: in memory, in SQLite, in PostgreSQL, each empty and with its own cast and clock."""

import itertools
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from closing import close_all
from nursery import Nursery, open_nursery
from postgres_server import NoServerError, Server, server

from lungwort.records.connect import connect
from lungwort.records.stores.database import DatabaseStore
from lungwort.records.stores.memory import MemoryStore

MEMORY_DISK = Path("/dev/shm")
_count = itertools.count()


@pytest.fixture(scope="session")
def quick_folder() -> Iterator[Path]:
    """Return a folder on a disk in memory where there is one: the same calls, without a slow disk's waiting."""
    base = MEMORY_DISK if MEMORY_DISK.is_dir() else None
    with tempfile.TemporaryDirectory(dir=base, prefix="lungwort-records-") as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """Return a running server; skip, saying why, where it cannot be had."""
    try:
        with server() as running:
            yield running
    except NoServerError as why:
        pytest.skip(str(why))


@pytest.fixture(scope="session")
def empty_sqlite(quick_folder: Path) -> Path:
    """Return a SQLite file with tables and nothing in them, to be copied."""
    path = quick_folder / "empty.db"
    connect(path, new=True)
    close_all()
    return path


@pytest.fixture(scope="session")
def empty_postgres(postgres: Server) -> str:
    """Return the name of a database with tables and nothing in them, to be copied."""
    postgres.run("CREATE DATABASE empty_records")
    connect(postgres.url("empty_records"), new=True)
    close_all()
    return "empty_records"


@pytest.fixture
def new_sqlite(quick_folder: Path, empty_sqlite: Path) -> Iterator[Callable[[], Path]]:
    """Return what makes an empty database of records in a file."""
    made: list[Path] = []

    def make() -> Path:
        made.append(quick_folder / f"records{next(_count)}.db")
        shutil.copy(empty_sqlite, made[-1])
        return made[-1]

    yield make
    for path in made:
        close_all()
        for end in ("", "-wal", "-shm"):
            path.with_name(path.name + end).unlink(missing_ok=True)


@pytest.fixture
def new_postgres(postgres: Server, empty_postgres: str) -> Iterator[Callable[[], str]]:
    """Return what makes an empty database of records on the server and gives its address."""
    made: list[str] = []

    def make() -> str:
        made.append(f"records{next(_count)}")
        postgres.run(f"CREATE DATABASE {made[-1]} TEMPLATE {empty_postgres}")
        return postgres.url(made[-1])

    yield make
    close_all()
    for name in made:
        postgres.run(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> str | Path:
    """Return the address of an empty database, once on SQLite and once on PostgreSQL."""
    maker = {"sqlite": "new_sqlite", "postgresql": "new_postgres"}[request.param]
    made: str | Path = request.getfixturevalue(maker)()
    return made


@pytest.fixture
def database_store(database: str | Path) -> DatabaseStore:
    """Return the records in an empty database."""
    return connect(database)


@pytest.fixture
def memory_store() -> MemoryStore:
    """Return empty records in memory."""
    return MemoryStore()


@pytest.fixture(scope="session")
def nursery() -> Iterator[Nursery]:
    """Return a process that forks writers at once."""
    opened = open_nursery()
    yield opened
    opened.process.communicate()
