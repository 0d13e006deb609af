"""A process that has loaded everything and forks writers at once: `start` and a JSON line gives a pid, `wait` its end.

A writer notes each event in a file only after `append` has returned: what stands there was acknowledged.
"""

import json
import os
import resource
import subprocess
import sys
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from cast import cycle, washed

from lungwort.errors import LungwortError
from lungwort.records.chain.event import Draft, Event
from lungwort.records.chain.keeping import press
from lungwort.records.connect import connect, set_up
from lungwort.records.states.view import View
from lungwort.records.stores.database import DatabaseStore


def write(database: str, place: str, who: int, count: int, acknowledged: str, largest_log: int) -> None:
    """Append `count` events with things and, every third, a log; note each once it is acknowledged."""
    store, chance = connect(database, wait_s=50), Random(who)
    note = os.open(acknowledged, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    for number in range(count):
        log = chance.randbytes(chance.randrange(largest_log)) if number % 3 == 0 and largest_log else None
        draft = cycle(who * 100_000 + number, (f"C-{chance.randrange(50)}", f"D-{number % 7}"), log)
        if number % 50 == 49:
            draft = washed(f"C-{number % 50}")  # long ago, so entered late
        event = record(store, place, draft)
        os.write(note, f"{event.sequence} {event.id} {who} {number}\n".encode())


def record(store: DatabaseStore, place: str, draft: Draft) -> Event:
    """Record a draft, what is no late entry at the time of recording."""
    pressed = tuple(map(press, draft.evidence))

    def decide(view: View) -> Draft:
        at = draft.happened_at if draft.what == "part.washed" else view.now
        return replace(draft, happened_at=at, evidence=pressed)

    return store.record(place, decide, lambda: datetime.now(UTC), os.urandom)


def serve() -> None:
    """Do what the lines of standard input ask."""
    import django.db.backends.postgresql.base
    import django.db.backends.sqlite3.base
    import django.db.migrations.recorder  # noqa: F401 - loaded once, for every writer

    set_up()
    print("ready", flush=True)
    for line in sys.stdin:
        word, _space, rest = line.partition(" ")
        if word == "wait":
            print(os.waitstatus_to_exitcode(os.waitpid(int(rest), 0)[1]), flush=True)
            continue
        pid = os.fork()
        if pid == 0:
            begin(rest)
        print(pid, flush=True)


def begin(job: str) -> None:
    """Do a writer's job in this process and end it; what stops it is noted beside what was acknowledged."""
    code, told = 1, json.loads(job)
    confined(told.pop("file_bytes", None), told.pop("nobody", False))
    try:
        os.close(0)
        write(**told)
        code = 0
    except LungwortError as error:
        Path(told["acknowledged"] + ".error").write_text(str(error), "utf-8")
    finally:
        os._exit(code)


def confined(file_bytes: int | None, nobody: bool) -> None:
    """Let this process write no file beyond a size, as on a full disk; let it own nothing, where it is root."""
    if file_bytes is not None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (file_bytes, file_bytes))
    if nobody and os.geteuid() == 0:
        os.setuid(65534)


@dataclass
class Nursery:
    """The running nursery, from a test's side."""

    process: "subprocess.Popen[str]"

    def ask(self, line: str) -> int:
        """Send a line and return the number that answers it."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        return int(self.process.stdout.readline())

    def start(
        self,
        database: object,
        acknowledged: Path,
        who: int,
        count: int,
        largest_log: int = 0,
        **confined: object,
    ) -> int:
        """Start a writer and return its pid."""
        job = {"database": str(database), "place": "Hill Hospital", "who": who, "count": count}
        job |= {"acknowledged": str(acknowledged), "largest_log": largest_log} | confined
        return self.ask(f"start {json.dumps(job)}")

    def wait(self, pid: int) -> int:
        """Wait for a writer's end and return its exit code, negative if a signal ended it."""
        return self.ask(f"wait {pid}")


def open_nursery() -> Nursery:
    """Start the nursery."""
    command = [sys.executable, "-W", "error", __file__]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return Nursery(process)


if __name__ == "__main__":
    serve()
