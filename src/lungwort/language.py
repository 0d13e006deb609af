"""Texts in the reader's language: gettext for words, the catalogue's own decimal mark for numbers."""

from __future__ import annotations

import gettext
import math
import os
from functools import cache
from pathlib import Path

LOCALE_FOLDER = Path(__file__).parent / "locale"
MINUS = "\N{MINUS SIGN}"


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    return gettext.translation("lungwort", LOCALE_FOLDER, [language], fallback=True)


def language() -> str:
    """Return the language asked for by LUNGWORT_LANGUAGE, or else English."""
    return os.environ.get("LUNGWORT_LANGUAGE", "en")


def _(text: str) -> str:
    """Return `text` in the language asked for; English where no translation exists."""
    return _catalogue(language()).gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """Return `one` or `many` as `count` and the language ask."""
    return _catalogue(language()).ngettext(one, many, count)


def number(value: float | None, decimals: int = 1) -> str:
    """Write a number with the language's decimal mark and a true minus; a missing one as an en dash.

    What rounds to nothing has no sign.

    >>> number(134.25, 1), number(-2.5), number(-0.01), number(None)
    ('134.2', '−2.5', '0.0', '–')
    """
    if value is None or not math.isfinite(value):
        return "–"
    return f"{value:z.{decimals}f}".replace("-", MINUS).replace(".", _("decimal mark: .")[-1])
