"""Where each table and key of a TOML text stands, so that a finding can name its line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

Path = tuple[str | int, ...]
_TOKEN = re.compile(
    r'(?P<long>"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5})'
    r'|(?P<string>"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\')'
    r"|(?P<comment>#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{}=,])|(?P<word>[^\s\[\]{}=,.#\"']+)",
    re.DOTALL,
)


@dataclass
class _Frame:
    """A table or an array while it is read: where it hangs, the key or header begun, the value begun."""

    path: Path
    index: int | None = None  # of the item, in an array
    key: list[str] = field(default_factory=list)
    value: Path | None = None
    header: int = 0  # brackets of a header begun

    @property
    def item(self) -> Path | None:
        """The path of the value that would come next; None where a key must come first."""
        return self.value if self.index is None else (*self.path, self.index)


def lines_of(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every table, key and array item of a TOML text that tomllib has read.

    >>> lines = lines_of('[place]\\nname = "A"\\n[[kind]]\\nstep = [\\n  { do = "wash" },\\n]')
    >>> lines["place", "name"], lines["kind", 0, "step", 0, "do"]
    (2, 5)
    """
    found: dict[Path, int] = {(): 1}
    counts: dict[Path, int] = {}
    frames = [_Frame(())]
    for number, token, is_mark in _tokens(text):
        frame = frames[-1]
        if frame.header or (token == "[" and is_mark and frame.item is None):
            _header(frame, token, is_mark, number, found, counts)
        elif token == "\n":
            if len(frames) == 1:
                frame.value = None
        elif is_mark:
            _mark(frames, token, number, found)
        elif frame.item is None:
            frame.key.append(_unquoted(token))
        else:
            found.setdefault(frame.item, number)
    return found


def _tokens(text: str) -> Iterator[tuple[int, str, bool]]:
    """Yield the line of each token, the token, and whether it is one of the marks of the grammar."""
    number = 1
    for match in _TOKEN.finditer(text):
        if match.lastgroup != "comment":
            yield number, match[0], match.lastgroup in ("mark", "newline")
        if match.lastgroup in ("newline", "long"):
            number += match[0].count("\n")


def _unquoted(token: str) -> str:
    return token[1:-1] if token[0] in "\"'" else token


def _mark(frames: list[_Frame], mark: str, number: int, found: dict[Path, int]) -> None:
    """Open or close a table or an array, end a key with its equals sign, or go on to what follows a comma."""
    frame = frames[-1]
    if mark == "=":
        frame.value = (*frame.path, *frame.key)
        for length in range(len(frame.path) + 1, len(frame.value) + 1):
            found.setdefault(frame.value[:length], number)
        frame.key = []
    elif mark in "[{" and frame.item is not None:
        found.setdefault(frame.item, number)
        frames.append(_Frame(frame.item, 0 if mark == "[" else None))
    elif mark in "]}" and len(frames) > 1:
        frames.pop()
    elif frame.index is not None:
        frame.index += 1
    else:
        frame.value = None


def _header(
    frame: _Frame, token: str, is_mark: bool, number: int, found: dict[Path, int], counts: dict[Path, int]
) -> None:
    """Read on in a header such as [[kind.step]]; at its end, stand in its table."""
    if is_mark and token == "[":
        frame.header += 1
    elif not is_mark:
        frame.key.append(_unquoted(token))
    elif frame.key:
        frame.path = _table(frame.key, frame.header == 2, counts)
        for length in range(1, len(frame.path) + 1):
            found.setdefault(frame.path[:length], number)
        frame.key = []
    if is_mark and token == "\n":
        frame.header, frame.key = 0, []


def _table(names: list[str], is_array: bool, counts: dict[Path, int]) -> Path:
    """Return the path of a table header, with the index of each array it goes through."""
    path: Path = ()
    for name in names[:-1]:
        path = (*path, name)
        if path in counts:
            path = (*path, counts[path] - 1)
    path = (*path, names[-1])
    if not is_array:
        return path
    counts[path] = counts.get(path, 0) + 1
    return (*path, counts[path] - 1)


def line_at(lines: Mapping[Path, int], path: Path) -> int:
    """Return the line of a path, or of the nearest table around it."""
    while path not in lines:
        path = path[:-1]
    return lines[path]
