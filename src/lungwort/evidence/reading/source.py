"""The raw file: its bytes, its encoding, its text; files that are no log are refused here."""

from __future__ import annotations

import codecs
import hashlib
import io
import os
from pathlib import Path
from typing import NamedTuple, TextIO

from lungwort.errors import UnreadableLog
from lungwort.evidence.reading.refusals import refuse
from lungwort.language import _

HEAD_BYTES = 65_536
TAIL_BYTES = 8_192
BIG_BYTES = 5_000_000
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP = b"PK\x03\x04"
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


class Source(NamedTuple):
    """A file on disk: `head` is its first part, whole when the file is small; `encoding` as Python names it."""

    path: Path
    size: int
    head: bytes
    encoding: str
    workbook: bool = False

    @property
    def whole(self) -> bool:
        """Whether `head` is the whole file."""
        return len(self.head) == self.size

    def head_text(self) -> str:
        """Return the text of the head, cut after its last whole line when the file goes on, newlines as \\n."""
        text = self.head[:HEAD_BYTES].decode(self.encoding, errors="replace").lstrip("\ufeff")
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        return text if self.size <= HEAD_BYTES else text[: text.rfind("\n") + 1]

    def tail_text(self) -> str:
        """Return the text of the last part, from a line's start as far as it can be told."""
        start = max(self.size - TAIL_BYTES, 0) & ~1
        if self.whole:
            tail = self.head[start:]
        else:
            with self.path.open("rb") as file:
                file.seek(start)
                tail = file.read()
        text = tail.decode(self.encoding, errors="replace")
        return text.replace("\r\n", "\n").replace("\r", "\n")

    def open_text(self) -> TextIO:
        """Open the text from its start, every kind of newline as \\n."""
        if self.whole:
            return io.StringIO(self.head.decode(self.encoding).lstrip("\ufeff"), newline=None)
        stream = self.path.open(encoding=self.encoding, newline=None)
        if stream.read(1) != "\ufeff":
            stream.seek(0)
        return stream


def open_source(path: Path) -> Source:
    """Look at a file and settle its encoding.

    Small files are held whole, of big ones only the head. Raises UnreadableLog for what is no readable text.
    """
    return _settled(path, *_read(path))


def source_of(content: bytes, file_name: str) -> Source:
    """Look at the bytes of a file that is at hand, held whole however big, and settle its encoding."""
    return _settled(Path(file_name), len(content), content)


def _settled(path: Path, size: int, head: bytes) -> Source:
    if not head.strip(b"\0\r\n\t \xff\xfe\xef\xbb\xbf"):
        refuse(_("the file is empty; export the log again."))
    if head.startswith(_OLD_WORKBOOK):
        refuse(_("this is an old spreadsheet (.xls); open it and save it as CSV or XLSX."))
    if head.startswith(_ZIP):
        return Source(path, size, head, "", workbook=True)
    return Source(path, size, head, _encoding(path, head, size))


def _read(path: Path) -> tuple[int, bytes]:
    if path.is_dir():
        refuse(_("this is a folder; name the log file in it."))
    try:
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            return size, file.read() if size < BIG_BYTES else file.read(HEAD_BYTES)
    except FileNotFoundError:
        raise UnreadableLog(_("no such file; check the name and the folder.")) from None
    except (OSError, ValueError) as error:
        raise UnreadableLog(_("the file cannot be opened ({reason}).").format(reason=error)) from error


def _encoding(path: Path, head: bytes, size: int) -> str:
    for bom, name in _BOMS:
        if head.startswith(bom):
            return _decodable(path, head, size, name) or _not_text()
    wide = _utf16_without_bom(head)
    if wide:
        return _decodable(path, head, size, wide) or _not_text()
    if b"\0" in head or _control_share(head[:4096]) > 0.02:
        _not_text()
    return _decodable(path, head, size, "utf-8") or _decodable(path, head, size, "cp1252") or "latin-1"


def _not_text() -> str:
    refuse(_("the file is not text; export the log as CSV or XLSX."))


def _control_share(part: bytes) -> float:
    return sum(byte < 32 and byte not in b"\t\n\r\f\x1a" for byte in part) / max(len(part), 1)


def _utf16_without_bom(head: bytes) -> str | None:
    part = head[:4096]
    even, odd = part[0::2].count(0), part[1::2].count(0)
    half = max(len(part) // 2, 1)
    if odd > 0.6 * half and even < 0.1 * half:
        return "utf-16-le"
    return "utf-16-be" if even > 0.6 * half and odd < 0.1 * half else None


def _decodable(path: Path, head: bytes, size: int, encoding: str) -> str | None:
    """Return the encoding if the whole file decodes in it."""
    decoder = codecs.getincrementaldecoder(encoding)()
    try:
        if len(head) == size:
            decoder.decode(head, final=True)
        else:
            _decode_blocks(path, decoder)
    except UnicodeDecodeError:
        return None
    return encoding


def _decode_blocks(path: Path, decoder: codecs.IncrementalDecoder) -> None:
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            if not block.isascii() or decoder.getstate()[0]:
                decoder.decode(block)
        decoder.decode(b"", final=True)


def digest(source: Source) -> str:
    """Return the SHA-256 of the raw bytes, in hexadecimal."""
    if source.whole:
        return hashlib.sha256(source.head).hexdigest()
    with source.path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
