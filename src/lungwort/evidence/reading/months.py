"""Month names, whole or shortened, in the languages loggers and their users write."""

from __future__ import annotations

import unicodedata
from functools import cache

_NAMES = (
    "january february march april may june july august september october november december",
    "janvier fevrier mars avril mai juin juillet aout septembre octobre novembre decembre",
    "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
    "janeiro fevereiro marco abril maio junho julho agosto setembro outubro novembro dezembro",
    "januar februar marz april mai juni juli august september oktober november dezember",
    "januari februari machi aprili mei juni julai agosti septemba oktoba novemba desemba",
    "jan feb mar apr may jun jul aug sept oct nov dec",
)


@cache
def month_number(word: str) -> int | None:
    """Return the month that three or more letters begin, in any of the languages, or None where they fit none or two.

    >>> month_number("Mai"), month_number("déc"), month_number("jui")
    (5, 12, None)
    """
    plain = unicodedata.normalize("NFKD", word).encode("ascii", "ignore").decode().casefold()
    if len(plain) < 3:
        return None
    fitting = {i + 1 for names in _NAMES for i, name in enumerate(names.split()) if name.startswith(plain)}
    return fitting.pop() if len(fitting) == 1 else None
