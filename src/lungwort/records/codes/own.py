"""Codes of our own: a letter for the kind, six characters drawn by chance, a check character, as in `P-8MD8AT-M`.

The check is MOD 37,36 of ISO/IEC 7064 (basis: from memory, as computed by the package `stdnum`), taken over
the letter and the six. It finds every single wrong character. Of two neighbours swapped it misses one pair
in 650; `mint` leaves out the codes in which such a pair stands side by side, so that in a minted code it
finds every such swap too. Of other errors it misses about one in 36.

The alphabet has neither 0 nor O, neither 1 nor I nor L, no U beside V. Of 8 and B, 6 and G, 5 and S, 2 and Z
only the digit is printed after the first letter, and only the letter as the first: what is typed for it has
one meaning, and is read so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from reprlib import repr as shown
from types import MappingProxyType

from stdnum.iso7064 import mod_37_36

from lungwort.errors import LungwortError, UnknownName, UnreadableCode
from lungwort.language import _
from lungwort.records.chain.identity import RANDOM_BYTES, RandomBytes

LETTERS: Mapping[str, str] = MappingProxyType(
    {"part": "P", "machine": "M", "set_up": "S", "cycle": "C", "equipment": "E", "batch": "B", "person": "W"}
)
"""The first letter of a code, by the kind of thing; equipment is an autoclave, a bath or a thermometer."""

ALPHABET = "23456789ACDEFHJKMNPQRTVWXY"
_FIRST_LOOK_ALIKES = str.maketrans({"8": "B", "5": "S"})
_LOOK_ALIKES = str.maketrans({"B": "8", "G": "6", "S": "5", "Z": "2"})
BODY, LENGTH = 6, 8
_KINDS = {letter: kind for kind, letter in LETTERS.items()}
_MOST_DRAWS = 100
_PARTING = re.compile("[ \t\r\n\u00a0\u2010-\u2015\u2212-]+")


def mint(kind: str, rng: RandomBytes) -> str:
    """Return a new code for a thing, asking nobody which codes exist.

    A kind has at least 195 million codes, all equally likely. The chance that among n of them two are alike is at
    most n(n-1)/2 over that: 0.3 % for 1,000 things, 26 % for 10,000 (basis: computed, the birthday bound).
    Enrolment refuses a code already in use; mint again, and nothing is lost. Places that put their records
    together tell things apart by place and code.

    Args:
        kind: one of `LETTERS`.
        rng: random bytes, 8 for a draw; about one draw in three is thrown away.

    Raises:
        UnknownName: no such kind.
        LungwortError: the source of random bytes always returns the same.

    >>> from random import Random
    >>> mint("part", Random(8).randbytes)
    'P-8MD8AT-M'
    """
    if kind not in LETTERS:
        says = _("there is no code for the kind {kind}; choose one of {kinds}")
        raise UnknownName(says.format(kind=shown(kind), kinds=", ".join(LETTERS)))
    for _draw in range(_MOST_DRAWS):
        letters = _drawn(LETTERS[kind], rng(RANDOM_BYTES))
        if letters[-1] in ALPHABET and not any(map(is_own, _swapped(letters))):
            return _printed(letters)
    raise LungwortError(_("this machine's random numbers repeat themselves; restart it, then try again"))


def read_code(text: str) -> str:
    """Return the printed form of a code that somebody typed or scanned; capitals, spaces and hyphens are free.

    Raises:
        UnreadableCode: it is none; nothing is put right by guessing.

    >>> read_code(" p8m d8a tm"), read_code("P-BMDBAT-M")
    ('P-8MD8AT-M', 'P-8MD8AT-M')
    """
    letters = _folded(text)
    if letters[:1] not in _KINDS:
        says = _(
            "{text} begins with no letter of ours; a code begins with one of {letters}: read the label again"
        )
        raise UnreadableCode(says.format(text=shown(text), letters=", ".join(_KINDS)))
    if why := _why_unreadable(letters):
        says = _("{text} (kind: {kind}) {why}; read the label again")
        raise UnreadableCode(says.format(text=shown(text), kind=_kind_in_words(letters[0]), why=why))
    return _printed(letters)


def is_own(text: str) -> bool:
    """Tell whether a text reads as a code of ours, check character and all.

    >>> is_own("P-8MD8AT-M"), is_own("P-8MD8AT-N")
    (True, False)
    """
    letters = _folded(text)
    return letters[:1] in _KINDS and not _why_unreadable(letters)


def looks_own(text: str) -> bool:
    """Tell whether a text is meant as a code of ours, right or wrong, and not as a hospital's tag.

    It is where it is parted as we print it; or begins with one of our letters, has our length and alphabet, and
    is parted nowhere, or after the first or before the last character. Parted elsewhere it is a tag.

    >>> looks_own("P-8MD8AT-0"), looks_own("P8MD8ATN"), looks_own("MASK-2345"), looks_own("PUMP0012")
    (True, True, False, False)
    """
    groups, letters = [group for group in _PARTING.split(text) if group], _folded(text)
    if letters[:1] not in _KINDS:
        return False
    sizes = [len(group) for group in groups]
    if sizes == [1, BODY, 1]:
        return True
    parted_as_ours = len(sizes) == 1 or 1 in (sizes[0], sizes[-1])
    ours = len(letters) == LENGTH and groups[0][0].isalpha() and not _strangers(letters)
    return ours and parted_as_ours


def kind_of(code: str) -> str:
    """Return the kind of thing that a code of ours names.

    Raises:
        UnreadableCode: it is no code of ours.

    >>> kind_of("P-8MD8AT-M")
    'part'
    """
    return _KINDS[read_code(code)[0]]


def _drawn(letter: str, random_bytes: bytes) -> str:
    """Return a letter, six characters of the alphabet (even to 1 in 10¹⁰) and their check character."""
    number, letters = int.from_bytes(random_bytes, "big"), letter
    for _place in range(BODY):
        number, rest = divmod(number, len(ALPHABET))
        letters += ALPHABET[rest]
    return letters + mod_37_36.calc_check_digit(letters)


def _swapped(letters: str) -> Iterator[str]:
    """Yield the code with each pair of unlike neighbours swapped."""
    for i, (one, other) in enumerate(pairwise(letters)):
        if one != other:
            yield letters[:i] + other + one + letters[i + 2 :]


def _folded(text: str) -> str:
    """Return what was typed in capitals, without spaces and hyphens, look-alikes mapped back."""
    letters = "".join(c.upper() if c.isascii() else c for c in _PARTING.sub("", text))
    return letters[:1].translate(_FIRST_LOOK_ALIKES) + letters[1:].translate(_LOOK_ALIKES)


def _strangers(letters: str) -> list[str]:
    return [c for c in letters[1:] if c not in ALPHABET]


def _why_unreadable(letters: str) -> str:
    """Return what is wrong with a folded code after its first letter; nothing where it is whole."""
    if len(letters) != LENGTH:
        return _("has {count} characters where a code has {length}").format(count=len(letters), length=LENGTH)
    if strangers := _strangers(letters):
        says = _("has {strangers}, which no code has: 0, O, 1, I, L and U are never printed")
        return says.format(strangers=", ".join(map(shown, strangers)))
    if mod_37_36.checksum(letters) != 1:
        return _("does not fit its check character: one is wrong, or two are swapped")
    return ""


def _printed(letters: str) -> str:
    return f"{letters[0]}-{letters[1:-1]}-{letters[-1]}"


def _kind_in_words(letter: str) -> str:
    words = {
        "part": _("part"),
        "machine": _("machine"),
        "set_up": _("set-up"),
        "cycle": _("cycle"),
        "equipment": _("equipment"),
        "batch": _("batch"),
        "person": _("person"),
    }
    return words[_KINDS[letter]]
