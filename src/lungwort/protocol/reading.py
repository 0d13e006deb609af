"""Reading a protocol: from TOML text to a document that knows its lines, with errors that name line, table and key."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from lungwort.errors import UnreadableProtocol
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.lines import Path as KeyPath
from lungwort.protocol.lines import line_at, lines_of

MOST_BYTES = 5_000_000


@dataclass(frozen=True, eq=False)
class Document:
    """A protocol with the file it came from and the lines its keys stand on."""

    protocol: Protocol
    file_name: str
    lines: Mapping[KeyPath, int]

    def line(self, *path: str | int) -> int:
        """Return the line of a path such as ("kind", 0, "step", 2), or of the nearest table around it."""
        return line_at(self.lines, tuple(path))


def read_protocol(path: Path) -> Document:
    """Read a protocol from a TOML file.

    Raises UnreadableProtocol where the file is missing, is no TOML, or does not fit the form.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise UnreadableProtocol(
                _("{file} is larger than 5 MB; is it a protocol?").format(file=path.name)
            )
        text = path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        text = _("{file} cannot be read ({why}); give a text file in UTF-8")
        raise UnreadableProtocol(text.format(file=path.name, why=_why(error))) from error
    return parse_protocol(text, path.name)


def _why(error: OSError | UnicodeDecodeError) -> str:
    return error.strerror or str(error) if isinstance(error, OSError) else _("it is not UTF-8")


def parse_protocol(text: str, file_name: str = "protocol.toml") -> Document:
    """Read a protocol from TOML text; `file_name` serves messages."""
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        says = _("{file}: {fault}. TOML wants key = value, text in quotes, tables as [name] or [[name]]")
        raise UnreadableProtocol(says.format(file=file_name, fault=error)) from error
    lines = lines_of(text)
    try:
        return Document(Protocol.model_validate(raw), file_name, lines)
    except ValidationError as error:
        faults = [_fault(fault, lines, file_name) for fault in _own(error.errors())]
        raise UnreadableProtocol("\n".join(dict.fromkeys(faults))) from error


def _own(faults: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return the faults without those that only say that something inside has a fault."""
    paths = [fault["loc"] for fault in faults]
    inside = {path[:n] for path in paths for n in range(len(path))}
    return [fault for fault in faults if fault["loc"] not in inside or fault["type"] == "value_error"]


def _fault(fault: Mapping[str, Any], lines: Mapping[KeyPath, int], file_name: str) -> str:
    path: KeyPath = tuple(fault["loc"])
    where = _("{file}, line {line}, {place}").format(
        file=file_name, line=line_at(lines, path), place=_place(path) or _("the document")
    )
    return f"{where}: {_says(fault)}"


def _place(path: KeyPath) -> str:
    """Say a path as people count: kind 2, step 3, minutes."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int) and words:
            words[-1] += f" {part + 1}"
        else:
            words.append(str(part))
    return ", ".join(words)


def _says(fault: Mapping[str, Any]) -> str:
    kind, context = fault["type"], fault.get("ctx", {})
    if kind == "missing":
        return _("this key is needed and not there")
    if kind == "extra_forbidden":
        return _("this key is not known here; is it misspelt?")
    if kind == "literal_error":
        return _("{value!r} is not allowed; give {expected}").format(
            value=fault["input"], expected=context.get("expected", "")
        )
    if kind == "value_error":
        return str(context.get("error", fault["msg"]))
    return _("{value!r} is not allowed ({fault})").format(value=_short(fault["input"]), fault=fault["msg"])


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) < 60 else text[:57] + "..."
