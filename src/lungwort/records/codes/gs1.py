"""GS1 element strings as scanners give them: which asset or product, its serial, batch and dates.

Rules by the GS1 General Specifications; basis: from memory. Which application identifiers exist, and which of
them end by length, comes from the package `stdnum`, and so does the check digit. The package's own reader is
not used: it cuts a value that is too long and reads on in its rest, drops brackets that belong to a value,
takes any character and parts of dates, and places a year by another rule.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from reprlib import repr as shown

from stdnum import ean, numdb

from lungwort.errors import UnreadableCode
from lungwort.language import _

SEPARATOR = "\x1d"
SYMBOLOGIES = ("]C1", "]d2", "]Q3", "]e0")
"""What a scanner sends first for GS1-128, GS1 DataMatrix, GS1 QR Code and GS1 DataBar."""

GTIN, GRAI, GIAI, BATCH, SERIAL, MADE_ON, EXPIRES_ON = "01", "8003", "8004", "10", "21", "11", "17"
_SET_82 = r"[!-\"%-?A-Z_a-z]"
_FORMS = {
    GTIN: "[0-9]{14}",
    GRAI: f"0[0-9]{{13}}{_SET_82}{{0,16}}",
    GIAI: f"{_SET_82}{{1,30}}",
    BATCH: f"{_SET_82}{{1,20}}",
    SERIAL: f"{_SET_82}{{1,20}}",
    MADE_ON: "[0-9]{6}",
    EXPIRES_ON: "[0-9]{6}",
}
_IN_BRACKETS = re.compile(r"\(([0-9]{2,4})\)")
_RECORDED = re.compile(
    f"(01) ([0-9]{{14}})(?: (10|21) ({_SET_82}+))?|(8003) (0[0-9]{{13}}{_SET_82}*)|(8004) ({_SET_82}+)"
)
_BARE = re.compile(f"01[0-9]{{14}}|80030[0-9]{{13}}|8004[0-9]{{4}}{_SET_82}")


@dataclass(frozen=True)
class ElementString:
    """What a GS1 element string says of a thing; the rest of it is passed over.

    Attributes:
        grai: global returnable asset identifier: 0, 13 digits, then the serial of the one asset, if it has one.
        giai: global individual asset identifier.
        gtin: global trade item number of the product, 14 digits.
        serial: of the one item of that product.
        batch: as the maker writes it.
        made_on: a month without a day counts from its first day, which makes the thing no younger than it is.
        expires_on: last day of use; a month without a day runs to its last day.
    """

    grai: str | None = None
    giai: str | None = None
    gtin: str | None = None
    serial: str | None = None
    batch: str | None = None
    made_on: date | None = None
    expires_on: date | None = None


def element_string(text: str, today: date) -> ElementString:
    """Read a GS1 element string, raw or with its identifiers in brackets, or a code that `record_code` wrote.

    In a raw string a value of open length ends at the separator (FNC1, sent as GS, 0x1D) or at the end: a
    scanner that swallows separators makes two values one, and nothing in the string shows it. Between
    brackets, digits that are an identifier always begin a new value.

    Args:
        text: as scanned or typed, with or without symbology identifier.
        today: places a year of two digits in the century from 49 years ago to 50 years ahead.

    Raises:
        UnreadableCode: an identifier is unknown, a value has not its form, a check digit or date is wrong, two
            values contradict each other, or nothing in it names a thing.

    >>> element_string("]d20106291041500213172611001012A", date(2026, 11, 25)).expires_on
    datetime.date(2026, 11, 30)
    """
    values = _gathered(text, _elements(text))
    _require_check_digit(text, GTIN, values.get(GTIN))
    _require_check_digit(text, GRAI, values.get(GRAI))
    if (GIAI in values) + (GRAI in values) + (GTIN in values) == 0:
        says = _("{text} names no thing; a GS1 string needs (8003), (8004) or (01): scan the other symbol")
        raise UnreadableCode(says.format(text=shown(text)))
    if GIAI in values and GRAI in values:
        says = _("{text} names two assets, (8003) and (8004); type the one that is meant")
        raise UnreadableCode(says.format(text=shown(text)))
    return ElementString(
        grai=values.get(GRAI),
        giai=values.get(GIAI),
        gtin=values.get(GTIN),
        serial=values.get(SERIAL),
        batch=values.get(BATCH),
        made_on=_day(text, MADE_ON, values, today),
        expires_on=_day(text, EXPIRES_ON, values, today),
    )


def record_code(element: ElementString) -> str:
    """Return the code under which records keep a thing: its asset identifier, else product and serial or batch.

    At most 41 characters; `element_string` reads it back.

    >>> record_code(ElementString(giai="6141411234"))
    '8004 6141411234'
    >>> record_code(ElementString(gtin="06291041500213", batch="12A"))
    '01 06291041500213 10 12A'
    """
    if element.giai:
        return f"{GIAI} {element.giai}"
    if element.grai:
        return f"{GRAI} {element.grai}"
    if element.serial:
        return f"{GTIN} {element.gtin} {SERIAL} {element.serial}"
    if element.batch:
        return f"{GTIN} {element.gtin} {BATCH} {element.batch}"
    return f"{GTIN} {element.gtin}"


def names_one_thing(element: ElementString) -> bool:
    """Tell whether a string names one thing, and not a kind or a batch of things that all carry the same.

    >>> names_one_thing(ElementString(gtin="06291041500213", batch="12A"))
    False
    """
    if element.giai:
        return True
    if element.grai:
        return len(element.grai) > 14
    return element.serial is not None


def looks_like_gs1(text: str) -> bool:
    """Tell whether a text is meant as a GS1 element string, right or wrong.

    It is with a symbology identifier, a separator or an identifier in brackets, or as records write it; also a
    bare string that begins with (01), (8003) or (8004) and the digits that must follow each.

    >>> looks_like_gs1("(10)A"), looks_like_gs1("80046141411234"), looks_like_gs1("8004-17")
    (True, True, False)
    """
    if text.startswith(SYMBOLOGIES) or SEPARATOR in text:
        return True
    return bool(_IN_BRACKETS.match(text) or _RECORDED.fullmatch(text) or _BARE.match(text))


def _elements(text: str) -> Iterator[tuple[str, str]]:
    """Yield each identifier with its value."""
    rest = text[3:] if text.startswith(SYMBOLOGIES) else text
    if recorded := _RECORDED.fullmatch(rest):
        found = [group for group in recorded.groups() if group]
        return zip(found[::2], found[1::2], strict=True)
    return _bracketed(text, rest.replace(" ", "")) if rest.startswith("(") else _raw(text, rest)


def _bracketed(text: str, rest: str) -> Iterator[tuple[str, str]]:
    before, *found = _IN_BRACKETS.split(rest)
    for identifier in found[::2]:
        if _known(identifier)[0] != identifier:
            raise _unknown(text, identifier)
    if before:
        raise _unknown(text, before)
    return zip(found[::2], found[1::2], strict=True)


def _raw(text: str, rest: str) -> Iterator[tuple[str, str]]:
    rest = rest.removeprefix(SEPARATOR)
    while rest:
        identifier, length = _known(rest)
        if not identifier:
            raise _unknown(text, rest[:4])
        rest = rest[len(identifier) :]
        if length is None:
            value, _gone, rest = rest.partition(SEPARATOR)
        else:
            value, rest = rest[:length], rest[length:].removeprefix(SEPARATOR)
        yield identifier, value


def _known(rest: str) -> tuple[str, int | None]:
    """Return the identifier with which a text begins, '' if none, and the length at which its value ends, if any."""
    identifier, facts = numdb.get("gs1_ai").info(rest[:4])[0]
    if not facts:
        return "", None
    return identifier, None if "fnc1" in facts else int(facts["format"].removeprefix("N"))


def _gathered(text: str, elements: Iterator[tuple[str, str]]) -> dict[str, str]:
    """Return the values by identifier, each in its form; the same one said twice counts once."""
    values: dict[str, str] = {}
    for identifier, value in elements:
        if not re.fullmatch(_FORMS.get(identifier, f"{_SET_82}+"), value):
            says = _(
                "{text} has {value} after ({identifier}), where GS1 has {form}; scan again, or type it from it"
            )
            form = numdb.get("gs1_ai").info(identifier)[0][1]["format"]
            raise UnreadableCode(
                says.format(text=shown(text), value=shown(value), identifier=identifier, form=form)
            )
        if values.setdefault(identifier, value) != value:
            says = _("{text} says ({identifier}) twice and not the same; type the one that is meant")
            raise UnreadableCode(says.format(text=shown(text), identifier=identifier))
    return values


def _require_check_digit(text: str, identifier: str, value: str | None) -> None:
    """Refuse 14 digits whose last is not the check digit: weights 3 and 1 from the right, to a multiple of 10."""
    if value and not ean.is_valid(value[:14]):
        says = _(
            "{text} has {digits} after ({identifier}), whose last digit does not fit the others; scan again"
        )
        raise UnreadableCode(says.format(text=shown(text), digits=value[:14], identifier=identifier))


def _day(text: str, identifier: str, values: dict[str, str], today: date) -> date | None:
    """Return the date of six digits, year, month and day; day 00 is the first of a made, the last of an expiry."""
    if identifier not in values:
        return None
    short_year, month, day = (int(values[identifier][i : i + 2]) for i in (0, 2, 4))
    year = _year(short_year, today.year)
    try:
        if day == 0:
            day = monthrange(year, month)[1] if identifier == EXPIRES_ON else 1
        return date(year, month, day)
    except ValueError:
        says = _(
            "{text} has {value} after ({identifier}), which is no date of year, month and day; type it by hand"
        )
        raise UnreadableCode(
            says.format(text=shown(text), value=values[identifier], identifier=identifier)
        ) from None


def _year(short_year: int, this_year: int) -> int:
    """Return the year that two digits mean (section 7.12): from 49 years ago to 50 years ahead.

    >>> _year(75, 2026), _year(77, 2026), _year(76, 2026), _year(25, 2075)
    (2075, 1977, 2076, 2125)
    """
    ahead = short_year - this_year % 100
    century = -1 if ahead >= 51 else 1 if ahead <= -50 else 0
    return this_year + ahead + 100 * century


def _unknown(text: str, identifier: str) -> UnreadableCode:
    says = _(
        "{text} has {identifier} where GS1 has an application identifier, such as (8004); scan again, or type it"
    )
    return UnreadableCode(says.format(text=shown(text), identifier=shown(identifier)))
