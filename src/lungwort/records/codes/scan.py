"""Whatever a hand scanner, a photo or a keyboard gave, read as the code of a thing."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from reprlib import repr as shown

from lungwort.errors import UnreadableCode, UnusableEvent
from lungwort.language import _
from lungwort.records.chain.preparing import name
from lungwort.records.codes.gs1 import SYMBOLOGIES, ElementString, element_string, looks_like_gs1, record_code
from lungwort.records.codes.own import kind_of, looks_own, read_code

LONGEST_SCAN = 500
_OTHER_SYMBOLOGY = re.compile(r"\A\][A-Za-z][0-9A-Za-z]")


@dataclass(frozen=True)
class Scanned:
    """What was read.

    Attributes:
        code: as records write it; reading it again gives the same.
        kind: of thing, where the code is our own and says so.
        element: what a GS1 string says; None for our own codes and a hospital's tags.
    """

    code: str
    kind: str | None = None
    element: ElementString | None = None


def read_scan(text: str, today: date) -> Scanned:
    """Read a code of ours, a GS1 element string, or else a hospital's own tag, which stays as it is.

    Args:
        text: as scanned or typed; space and line ends around it, and a scanner's symbology identifier, are dropped.
        today: by which GS1 places years of two digits.

    Raises:
        UnreadableCode: nothing, not printable, too long, or meant as a code of ours or of GS1 but wrong.

    >>> today = date(2026, 11, 25)
    >>> read_scan("p8md8atm", today).code, read_scan("(8004)6141411234", today).code
    ('P-8MD8AT-M', '8004 6141411234')
    >>> read_scan("VENT-0012", today)
    Scanned(code='VENT-0012', kind=None, element=None)
    """
    cleaned = _cleaned(text)
    try:
        return _read(cleaned, today)
    except UnusableEvent as error:
        raise UnreadableCode(str(error)) from None
    except UnreadableCode as error:
        if not cleaned.isalnum():
            raise
        says = _("{error}. If it is a tag of the hospital's own, type it parted: {parted}")
        raise UnreadableCode(says.format(error=error, parted=f"{cleaned[:4]}-{cleaned[4:]}")) from None


def _read(cleaned: str, today: date) -> Scanned:
    if looks_like_gs1(cleaned):
        element = element_string(cleaned, today)
        return Scanned(record_code(element), element=element)
    if looks_own(cleaned):
        code = read_code(cleaned)
        return Scanned(code, kind_of(code))
    return Scanned(name(cleaned, _("the code of a thing")))


def _cleaned(text: str) -> str:
    cleaned = text.strip(" \t\r\n")
    if not cleaned.startswith(SYMBOLOGIES):
        cleaned = _OTHER_SYMBOLOGY.sub("", cleaned)
    if not cleaned:
        raise UnreadableCode(_("nothing was read; scan again, or type the code from the label"))
    if len(cleaned) > LONGEST_SCAN:
        says = _(
            "{text} has {count} characters, more than the {most} of any code; scan the code of one thing"
        )
        raise UnreadableCode(says.format(text=shown(cleaned), count=len(cleaned), most=LONGEST_SCAN))
    return cleaned
