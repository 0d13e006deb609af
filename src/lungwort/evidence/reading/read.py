"""Reading a log: from a file as loggers and people write it to a Log, with every repair and assumption listed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.log import Log
from lungwort.evidence.reading.assemble import Reading, log_of
from lungwort.evidence.reading.blocks import Task
from lungwort.evidence.reading.declared import NOTHING_DECLARED, Declared
from lungwort.evidence.reading.doubts import last_number_is_cut
from lungwort.evidence.reading.layout import Layout, find_table
from lungwort.evidence.reading.near_times import cells_of, clearer
from lungwort.evidence.reading.refusals import NoTableError
from lungwort.evidence.reading.source import HEAD_BYTES, Source, digest, open_source, source_of
from lungwort.evidence.reading.table import Progress, read_table, task_of
from lungwort.evidence.reading.tokens import Records, records
from lungwort.evidence.reading.zones import zone_of
from lungwort.language import _


def read_log(path: Path, declared: Declared = NOTHING_DECLARED, progress: Progress | None = None) -> Log:
    """Read a file of readings as loggers and people write it.

    `declared` fills what the file leaves open and never overrides it; `progress` is told the fraction read.
    Returns a Log in °C and kPa (gauge stays gauge) with a sentence for each repair and assumption.
    Raises UnreadableLog, naming line, column, value and remedy, for what cannot be read without guessing, and
    UnknownName for declared columns, units or a zone that do not exist.
    """
    return _named(path.name, lambda: open_source(path), declared, progress)


def read_log_bytes(content: bytes, file_name: str, declared: Declared = NOTHING_DECLARED) -> Log:
    """Read the bytes of a file of readings, as `read_log` does the file; `file_name` is what it was called.

    >>> log = read_log_bytes(b"time,T1 (C)\\n14:00:00,82.0\\n14:00:30,82.5\\n", "bath.csv")
    >>> log.file_name, log.elapsed_s.tolist()
    ('bath.csv', [0.0, 30.0])
    """
    return _named(Path(file_name).name, lambda: source_of(content, file_name), declared, None)


def _named(name: str, source: Callable[[], Source], declared: Declared, progress: Progress | None) -> Log:
    """Read a source; what is wrong with it is said with the name of the file before it."""
    if declared.zone is not None:
        zone_of(declared.zone)
    try:
        return _read(source(), declared, progress)
    except UnreadableLog as error:
        raise UnreadableLog(f"{name}: {error}") from error.__cause__
    except UnknownName as error:
        raise UnknownName(f"{name}: {error}") from error.__cause__


def _read(source: Source, declared: Declared, progress: Progress | None) -> Log:
    if source.workbook:
        from lungwort.evidence.reading.spreadsheet import read_workbook

        return read_workbook(source, declared, progress)
    lines = source.head_text().split("\n")
    tail = _tail(source, lines)
    layout, task = _planned(lines, tail, declared)
    count = _counter(source, lines, progress)
    bulk = _in_bulk(source, task, count)
    reading, sha256 = bulk or (read_table(task, lambda: _records(source, layout), count), digest(source))
    reading = reading._replace(cut=last_number_is_cut(layout, tail))
    return log_of(reading, declared, source.path.name, sha256, _encoding_notes(source))


def _planned(lines: list[str], tail: list[str], declared: Declared) -> tuple[Layout, Task]:
    try:
        layout = find_table(lines)
        return layout, task_of(layout, declared, [*(text for _number, text in layout.before), *tail])
    except NoTableError as error:
        raise clearer(error, cells_of(lines)) from error


def _in_bulk(source: Source, task: Task, count: Callable[[int], None]) -> tuple[Reading, str] | None:
    if source.whole:
        return None
    from lungwort.evidence.reading.bulk import read_bulk, suits

    found = read_bulk(source, task, count) if suits(source, task) else None
    return (Reading(task, found[0], found[1]), found[2]) if found else None


def _encoding_notes(source: Source) -> list[str]:
    text = _("The text is not UTF-8; it is read as Western European ({encoding}).")
    return [text.format(encoding=source.encoding)] if source.encoding in ("cp1252", "latin-1") else []


def _records(source: Source, layout: Layout) -> Iterator[Records]:
    with source.open_text() as stream:
        yield from records(stream, layout.delimiter, layout.first)


def _tail(source: Source, lines: list[str]) -> list[str]:
    """Return the last lines of the file, which may state units below the table."""
    return lines[-10:] if source.size <= HEAD_BYTES else source.tail_text().split("\n")[-10:]


def _counter(source: Source, lines: list[str], progress: Progress | None) -> Callable[[int], None]:
    """Return a function that turns rows read into the fraction of the file."""
    mean = max(len(source.head_text()), 1) / max(len(lines), 1)
    expected = max(source.size / mean, 1.0)
    return lambda rows: progress(min(rows / expected, 1.0)) if progress else None
