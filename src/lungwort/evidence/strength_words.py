"""The words of a written strength: a number, its unit, what is counted, on which basis; anything else is refused."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

from lungwort.errors import OutOfRange, UnknownName
from lungwort.language import _
from lungwort.typed import typed_number

AVAILABLE = "available chlorine"
_ALLOWED = (
    "'5.25 % NaOCl w/w', '5 % w/v', '12 °Chl', '12.5 % trade', '1000 mg/L', '70 % powder', '2.5 g/tablet'"
)


@dataclass
class Words:
    """A text taken apart: the number, and one name at most of each kind of word."""

    text: str
    value: float = 0.0
    names: dict[str, str] = field(default_factory=dict)

    def of(self, kind: str) -> str:
        """Return the name of a kind of word, or an empty text."""
        return self.names.get(kind, "")


# kind of word, its name here, and its spellings; earlier rows are looked for first.
_VOCABULARY: tuple[tuple[str, str, str], ...] = (
    ("basis", "w/w", r"\b(?:w|m|wt)\s?/\s?(?:w|m|wt)\b|\bby (?:weight|mass)\b"),
    ("basis", "w/v", r"\b(?:w|m|p|wt)\s?/\s?(?:v|vol)\b"),
    ("basis", "v/v", r"\b(?:v|vol)\s?/\s?(?:v|vol)\b|\bby volume\b"),
    ("basis", "trade", r"\btrade\b"),
    ("counts", "Ca(OCl)2", r"\bca\s?\((?:ocl|clo)\)2|\b(?:calcium hypochlorite|hypochlorite de calcium)\b"),
    ("counts", "NaDCC", r"\bnadcc(?: dihydrate)?\b|\bsodium dichloroisocyanurate\b"),
    ("counts", "NaOCl", r"\b(?:naocl|naclo|sodium hypochlorite|hypochlorite(?: de sodium)?)\b"),
    (
        "counts",
        AVAILABLE,
        r"\b(?:av(?:ail)?\.?|available|active|free)\s?(?:chlorine|cl2?)\b|\bchlorine\b"
        r"|\bchlore actif\b|\bcloro (?:activo|ativo)\b",
    ),
    ("unit", "°Chl", r"(?:°|\bdeg(?:rees?)?\.?|\bdegr[ée]s?)\s?chl(?:orom[eé]tri(?:c|ques?))?\b"),
    ("unit", "mg/L", r"\bmg\s?(?:/|per)\s?l(?:it(?:re|er)s?)?\b"),
    ("unit", "g/L", r"\bg\s?(?:/|per)\s?l(?:it(?:re|er)s?)?\b|\bmg\s?/\s?ml\b"),
    ("unit", "ppm", r"\bppm\b"),
    ("unit", "%", r"%|\bper ?cent\b|\bpct\b"),
    ("unit", "mg", r"\bmg\b"),
    ("unit", "g", r"\bg\b"),
    ("basis", "w/w", r"\bwt\b"),
    ("form", "tablet", r"(?:/|\bper\b)?\s?\btab(?:let)?s?\b"),
    ("form", "powder", r"\b(?:powder|granules?|poudre|polvo)\b"),
)
_IDLE = re.compile(
    r"\b(?:bleach|solution|liquid|stock|javel|eau|of|at|as|with|in|de|d'|each|min|minimum)\b|[.,;()≥>]"
)
_SIGNS = str.maketrans("º˚−", "°°-")
_NUMBER = re.compile(r"-?\d{1,3}(?:[ \u202f]\d{3})+(?![\d.,])|-?\d+(?:[.,]\d+)?")
_THOUSANDS = re.compile(r"-?[1-9]\d{0,2}[.,]\d{3}")


def tidy(text: str) -> str:
    """Return a written strength in small letters, single spaces and one spelling of its signs.

    >>> tidy("12°Chl")
    '12 °chl'
    """
    text = unicodedata.normalize("NFKC", text).lower().translate(_SIGNS)
    text = re.sub(r"(?<=\d)(?=[a-z%°])", " ", text)
    return re.sub(r"(?<=cl) 2|(?<=\)) 2", "2", " ".join(text.split()))


def take_apart(text: str, counted: Sequence[str]) -> Words:
    """Return the words of a written strength; UnknownName where any of it is not understood.

    `counted` are the names of what is counted, which the text may repeat.

    >>> take_apart("5,25 % NaOCl w/w", [AVAILABLE]).names
    {'basis': 'w/w', 'counts': 'NaOCl', 'unit': '%'}
    """
    words, rest = Words(text), tidy(text)
    for name in sorted(counted, key=len, reverse=True):
        rest = rest if name == AVAILABLE else rest.replace(name.lower(), " ")
    for kind, name, spelling in _VOCABULARY:
        rest, found = re.subn(spelling, " ", rest)
        if found and words.names.setdefault(kind, name) != name:
            says = _("the strength {text!r} says both {one} and {other}; give one of them")
            raise UnknownName(says.format(text=text, one=words.of(kind), other=name))
    numbers = _NUMBER.findall(rest)
    left = " ".join(_IDLE.sub(" ", _NUMBER.sub(" ", rest)).split())
    if len(numbers) != 1 or left or not words.of("unit"):
        raise unreadable(text, left, len(numbers))
    words.value = _value(numbers[0], words)
    return words


def unreadable(text: str, left: str, numbers: int) -> UnknownName:
    """Return the refusal of a text: how many numbers it has, what is left of it, or that the unit is missing."""
    if numbers != 1:
        says = _(
            "the strength {text!r} has {count} numbers; give one, for a stock the lowest that the label says"
        )
        return UnknownName(says.format(text=text, count=numbers))
    if left:
        says = _("{left!r} in the strength {text!r} is not understood; write for instance {allowed}")
        return UnknownName(says.format(text=text, left=left, allowed=_ALLOWED))
    says = _("the strength {text!r} has no unit; write for instance {allowed}")
    return UnknownName(says.format(text=text, allowed=_ALLOWED))


def _value(digits: str, words: Words) -> float:
    if _THOUSANDS.fullmatch(digits) and words.of("unit") in ("mg/L", "ppm", "mg"):
        says = _("{digits} in {text!r} may mean thousands or a decimal; write {whole} or {small}")
        whole, small = re.sub(r"[.,]", "", digits), digits.replace(",", ".").rstrip("0").rstrip(".")
        raise UnknownName(says.format(digits=digits, text=words.text, whole=whole, small=small))
    return float_of(digits)


def float_of(digits: str) -> float:
    """Return the number that digits with a decimal point or comma spell; spaces part thousands.

    >>> float_of("10 000"), float_of("5,25")
    (10000.0, 5.25)
    """
    return typed_number(re.sub(r"[ \u202f]", "", digits))


def require_possible(words: Words) -> None:
    """Raise where a strength is nothing, more than everything, or gives a basis that its unit has already."""
    if words.value <= 0.0:
        says = _("the strength {text!r} is nothing; give one above 0")
        raise OutOfRange(says.format(text=words.text))
    if words.of("unit") == "%" and words.value > 100.0:
        says = _("the strength {text!r} is more than 100 %, which nothing has; check the label")
        raise OutOfRange(says.format(text=words.text))
    if words.of("basis") and words.of("unit") != "%":
        says = _("the strength {text!r} gives {unit} and {basis}; {basis} belongs to per cent, leave one out")
        raise UnknownName(says.format(text=words.text, unit=words.of("unit"), basis=words.of("basis")))
