"""What the page's typeface can print, and what stands in for what it cannot.

The certificate uses only the typeface that comes with the typesetting library, so that the same proof
gives the same page on every machine. PDF/A forbids a missing glyph; a name in another script must
therefore be rewritten, visibly, never dropped.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

# Code points that Libertinus Serif prints in roman, semibold, bold and italic, first and last of each run; found
# by setting every letter, number, mark and symbol in PDF/A-2b, which refuses a missing glyph. Combining marks and
# right-to-left letters are left out: the typesetting library can break on them.
_RUNS = """
0020-007E 00A0-00AC 00AE-023F 0241-0241 0243-0243 0247-0247 0249-0249 024D-024D 0250-02E4 02EC-02EE
0374-0375 037A-037E 0384-038A 038C-038C 038E-03A1 03A3-03CE 03D0-03E1 03F0-03F6 03FD-045F 0462-0463
0470-0477 0490-04C4 04C7-04CC 04D0-04F9 1E00-1E9B 1E9E-1E9E 1EA0-1EF9 1F00-1F15 1F18-1F1D 1F20-1F45
1F48-1F4D 1F50-1F57 1F59-1F59 1F5B-1F5B 1F5D-1F5D 1F5F-1F7D 1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB
1FDD-1FEF 1FF2-1FF4 1FF6-1FFE 2010-2027 2030-2037 2039-203E 2070-2071 2074-208E 20AB-20AC 2100-2103
2105-2106 2109-2109 2113-2113 2115-2116 2120-2120 2122-2122 2126-2127 212A-212B 212E-212E 2153-2184
2190-219B 2200-220D 220F-221C 221E-221F 2223-222B 2236-2236 223C-223C 2245-2245 2247-2249 2260-2262
2264-2265 226A-226B 22C5-22C5 25A0-25A1 25B2-25B3 25B6-25B7 25BC-25BD 25C6-25C7 25C9-25CC 25CF-25D7
"""
_PRINTABLE = tuple(
    range(int(first, 16), int(last, 16) + 1) for first, last in (run.split("-") for run in _RUNS.split())
)
STAND_IN = "□"
UNDRAWN = ("Cc", "Cf", "Cs", "Cn", "Co")
_SYLLABLE = "ETHIOPIC SYLLABLE "


def can_print(character: str) -> bool:
    """Tell whether the page's typeface has a glyph for one character."""
    return any(ord(character) in run for run in _PRINTABLE)


def printable(text: str) -> str:
    """Rewrite a text so that the page can print it: Ethiopic syllable by syllable, else a box a character.

    Line breaks and tabs become blanks. Use `missing` to say what was rewritten.

    >>> printable("Ablauf ä"), printable("የውሃ 1"), printable("水")
    ('Ablauf ä', 'yawehaa 1', '□')
    """
    return "".join(_rewritten(c) for c in unicodedata.normalize("NFC", text))


def drawable(text: str) -> str:
    """Replace by a box each character that no SVG may hold, and those that turn the writing direction.

    Letters of every script stay: a screen has typefaces for them.

    >>> drawable("የውሃ" + chr(0))
    'የውሃ□'
    """
    return "".join(
        " " if c.isspace() else STAND_IN if unicodedata.category(c) in UNDRAWN else c for c in text
    )


def missing(text: str) -> tuple[str, ...]:
    """Return the code points of `text` that the page cannot print, each once, in order of first use.

    >>> missing("a水b水")
    ('U+6C34',)
    """
    composed = unicodedata.normalize("NFC", text)
    return tuple(dict.fromkeys(f"U+{ord(c):04X}" for c in composed if not c.isspace() and not can_print(c)))


def _rewritten(character: str) -> str:
    if character.isspace():
        return " "
    if can_print(character):
        return character
    name = unicodedata.name(character, "")
    return name.removeprefix(_SYLLABLE).lower() if name.startswith(_SYLLABLE) else STAND_IN


def distinct(names: tuple[str, ...], rewrite: Callable[[str], str] = printable) -> tuple[str, ...]:
    """Return rewritten names that stay different from each other; a repeated one gets its number.

    >>> distinct(("水", "火", "T1"))
    ('□ (1)', '□ (2)', 'T1')
    """
    plain = tuple(rewrite(name) for name in names)
    return tuple(
        f"{name} ({plain[: i + 1].count(name)})" if plain.count(name) > 1 else name
        for i, name in enumerate(plain)
    )
