"""A PostgreSQL server for the tests: started on a free port of this machine, its data in a temporary folder."""

from __future__ import annotations

import fcntl
import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import psycopg

SYSTEM_USER = "nobody"  # PostgreSQL refuses to run as root; this account is on every Debian and owns nothing
SETTINGS = "-c fsync=off -c unix_socket_directories='' -c listen_addresses=127.0.0.1 -c max_connections=40"


class NoServerError(Exception):
    """PostgreSQL cannot be had here; the message says why."""


class Server:
    """A running server: address of a database on it, and stopping or killing it."""

    def __init__(self, binaries: Path, data: Path, port: int) -> None:
        self.binaries, self.data, self.port = binaries, data, port

    def url(self, database: str) -> str:
        """Return the address of a database."""
        return f"postgres://records@127.0.0.1:{self.port}/{database}"

    def run(self, statement: str, database: str = "postgres") -> str:
        """Run a statement as the server's administrator and return the first value it gives, as text."""
        with psycopg.connect(self.url(database), autocommit=True) as connection:
            cursor = connection.execute(statement)
            row = cursor.fetchone() if cursor.description else None
        return "" if row is None else str(row[0])

    def start(self) -> None:
        """Start it and wait until it answers."""
        options = f"-p {self.port} {SETTINGS}"
        log = self.data / "server.log"
        run_as_nobody([self.binaries / "pg_ctl", "-D", self.data, "-w", "-l", log, "-o", options, "start"])

    def stop(self, mode: str = "fast") -> None:
        """Stop it; `immediate` is a crash: every process of it ends at once, nothing is tidied."""
        run_as_nobody([self.binaries / "pg_ctl", "-D", self.data, "-w", "-m", mode, "stop"])


@contextmanager
def server() -> Iterator[Server]:
    """Start a server and stop it at the end.

    Raises:
        NoServerError: it cannot be had.
    """
    binaries = found_binaries() or installed_binaries()
    base = Path(tempfile.mkdtemp(prefix="lungwort-postgresql-"))
    base.chmod(0o755)
    data = base / "data"
    data.mkdir()
    if os.geteuid() == 0:
        shutil.chown(data, SYSTEM_USER)
    started = Server(binaries, data, free_port())
    try:
        initdb = [
            binaries / "initdb",
            "--no-sync",
            "-A",
            "trust",
            "-U",
            "records",
            "-E",
            "UTF8",
            "--locale=C.UTF-8",
        ]
        run_as_nobody([*initdb, "-D", data])
        started.start()
        try:
            yield started
        finally:
            started.stop("immediate")
    finally:
        shutil.rmtree(base, ignore_errors=True)


def found_binaries() -> Path | None:
    """Return the folder of the newest server's binaries on this machine."""
    on_path = shutil.which("initdb")
    if on_path:
        return Path(on_path).resolve().parent
    found = [p.parent for p in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    return max(found, key=lambda p: float(p.parent.name), default=None)


def installed_binaries() -> Path:
    """Install Debian's server, where this account may, and return the folder of its binaries."""
    if os.geteuid() != 0 or shutil.which("apt-get") is None:
        raise NoServerError("PostgreSQL is not installed; as administrator run: apt-get install postgresql")
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    with Path(tempfile.gettempdir(), "lungwort-apt.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # another worker of the same test run may be installing it
        if found_binaries() is None:
            for words in (["update", "-qq"], ["install", "-y", "-qq", "postgresql"]):
                subprocess.run(["apt-get", *words], env=environment, capture_output=True, check=False)
    found = found_binaries()
    if found is None:
        raise NoServerError(
            "PostgreSQL is not installed, and apt-get could not install it; is there a network?"
        )
    return found


def run_as_nobody(command: Sequence[object]) -> None:
    """Run a command, as another account where this one is root."""
    words = [str(word) for word in command]
    if os.geteuid() == 0:
        words = ["setpriv", f"--reuid={SYSTEM_USER}", "--regid=nogroup", "--clear-groups", *words]
    done = subprocess.run(
        words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False, cwd="/"
    )
    if done.returncode:
        raise NoServerError(f"{words[-1]} of PostgreSQL failed: {done.stderr[-500:]}")


def free_port() -> int:
    """Return a port of this machine that nobody uses."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
