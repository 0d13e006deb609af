"""Recording from a form: once however often it is sent, and when it happened where that was not just now."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from hashlib import sha256

from django.http import HttpRequest
from django.utils import timezone

from lungwort.errors import OutOfRange
from lungwort.language import _
from lungwort.records.life.witness import Witness


def witness_of(request: HttpRequest) -> Witness:
    """Return who records what a form sent tells: `once` its word, `when` and `why` where it is entered afterwards.

    The same form sent elsewhere or with other contents, as after going back, is another deed.
    Raises OutOfRange where `when` is no moment, or where `why` stands without it.
    """
    asked = request.POST
    witness: Witness = request.witness.just_once(_word(request))  # type: ignore[attr-defined]
    when, why = asked.get("when", "").strip(), asked.get("why", "").strip()
    if not when and not why:
        return witness
    return replace(witness, when=moment_typed(when), late=why)


def _word(request: HttpRequest) -> str:
    """Return the form's own word with the digest of where it is sent and all that it tells; "" where it has none."""
    word = request.POST.get("once", "")[:40]
    told = [(name, request.POST.getlist(name)) for name in sorted(request.POST)]
    sent = [
        (name, file.name, file.size)
        for name, file in sorted(request.FILES.items())
        if not isinstance(file, list)
    ]
    kept = [pair for pair in told if pair[0] not in ("once", "csrfmiddlewaretoken")]
    return f"{word}-{sha256(repr((request.path, kept, sent)).encode()).hexdigest()[:16]}" if word else ""


def moment_typed(text: str) -> datetime:
    """Return a moment typed in the hospital's zone; OutOfRange where it is none.

    It is written as a browser sends it, 2026-11-25T14:00, or with a space between day and time.
    """
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        says = _("{text!r} is no moment; give day and time, such as 2026-11-25 14:00")
        raise OutOfRange(says.format(text=text)) from error
    return moment if moment.tzinfo else timezone.make_aware(moment)
