"""Files of evidence as they are kept: pressed by zlib, under the digest of the file, with a digest of what is kept."""

from __future__ import annotations

import zlib
from hashlib import sha256 as digest

from lungwort.errors import UnusableEvent, UnusableRecords
from lungwort.language import _
from lungwort.records.chain.event import Attachment, Kept

LONGEST_FILE_NAME = 255
LARGEST_FILE_BYTES = 100_000_000


def press(attachment: Attachment | Kept) -> Kept:
    """Return a file of evidence as it will be kept; one that is pressed already as it is.

    Raises:
        UnusableEvent: its name cannot be written down, or it is larger than 100 MB.
    """
    if isinstance(attachment, Kept):
        return attachment
    title, size = attachment.file_name, len(attachment.content)
    if not (0 < len(title) <= LONGEST_FILE_NAME and title.isprintable()):
        says = _("a file of evidence is called {title!r}; give 1 to {most} printable characters")
        raise UnusableEvent(says.format(title=title, most=LONGEST_FILE_NAME))
    if size > LARGEST_FILE_BYTES:
        says = _(
            "{title} has {size} bytes; at most {most} are kept as evidence: attach the part that matters"
        )
        raise UnusableEvent(says.format(title=title, size=size, most=LARGEST_FILE_BYTES))
    kept = zlib.compress(attachment.content)
    return Kept(digest(attachment.content).hexdigest(), size, title, kept, digest(kept).hexdigest())


def reference(kept: Kept, given_name: str) -> dict[str, object]:
    """Return how an event's payload refers to a file: exactly as kept, and the name given now where that differs."""
    told: dict[str, object] = {"file_name": kept.file_name, "kept_sha256": kept.kept_sha256}
    told |= {"sha256": kept.sha256, "size": kept.size}
    return told if given_name == kept.file_name else told | {"given_name": given_name}


def no_such_evidence(sha256: str) -> str:
    """Return the sentence for a digest under which nothing is kept."""
    return _("no evidence is kept under {sha256}; take the digest from an event's payload").format(
        sha256=sha256
    )


def opened_from(kept: Kept | None, sha256: str) -> bytes:
    """Return the file kept under a digest; UnusableRecords where there is none."""
    if kept is None:
        raise UnusableRecords(no_such_evidence(sha256))
    return opened(sha256, kept.kept)


def opened(sha256: str, kept: bytes) -> bytes:
    """Return a file from its kept form; UnusableRecords where it is not the file that was attached."""
    try:
        content = zlib.decompress(kept)
    except zlib.error:
        content = None
    if content is None or digest(content).hexdigest() != sha256:
        says = _(
            "the evidence {sha256} is not what was attached; run `lungwort records verify`, restore a backup"
        )
        raise UnusableRecords(says.format(sha256=sha256))
    return content
