"""Headings: the name of a column, the unit written in it and what kind of column the words tell of."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from lungwort.evidence.log import PressureKind
from lungwort.evidence.reading.units import Unit, is_bare, kind_of, time_unit_s, unit_of

TEMPERATURE_NAME = re.compile(
    r"^t[\s_.#-]*\d|^t$|temp|probe|sensor|sonde|^ch(?:annel|an)?[\s_.#-]*\d|channel|kanal|^tc\b|^tc[\s_.#-]*\d|thermo|drain"
    r"|chamber|load|bath|water|jacket|^pt[\s_-]*\d|^rtd|joto|^eau\b|agua|água"
)
PRESSURE_NAME = re.compile(r"press|druck|presi[oó]n|pression|^p[\s_.#-]*\d*$|vacuum|shinikizo")
# Columns that no reading of temperature or pressure is taken from, even with such a unit.
CALCULATED = re.compile(
    r"set[\s_-]*p(?:oin)?t|set[\s_-]?temp|\bset\b|\bsoll|target|consigne"
    r"|\blimit|alarm|\bdew|cold[\s_-]?junction"
)
LETHALITY = re.compile(r"\bf[\s_]?0\b|\ba[\s_]?0\b|\bf₀|\ba₀|lethal")
ELSEWHERE = re.compile(
    r"humid|\brh\b|feucht|humedad|umidade|volt|batt|current|\bamp|\bflow|\bstat(?:us|e)\b|phase|stage|event"
    r"|comment|note|remark|message|flag|\bmode\b|\bcycle|program|operator|serial|\bbatch|\bdoor|valve"
)
RUNNING = re.compile(
    r"^(?:no|nr|n[°o.]|num|number|#|record|rec|index|idx|id|sample|scan|line|row|reading|seq|sequence)\.?\s*#?$"
)
TIME_NAME = re.compile(
    r"^(?:date|time|elapsed|duration|clock|timestamp|unix|epoch|zeit|datum|uhrzeit|temps|heure|tiempo|fecha|hora|tempo"
    r"|data|muda|saa|tarehe|t|min|minutes?|s|sec|seconds?|h|hours?|rel)\b|\btime\b|elapsed|epoch"
)
UNIT_NAME = re.compile(
    r"^(?:temp\w*\s+|press\w*\s+)?(?:scale|units?|einheit|unités?|unidade?s?|uom|kipimo)(?:\s+\w{1,4})?$"
)
FOREIGN = frozenset(
    [
        "%rh",
        "rh%",
        "%",
        "r.h.",
        "v",
        "mv",
        "volt",
        "volts",
        "a",
        "ma",
        "l/min",
        "lpm",
        "m3/h",
        "m³/h",
        "ppm",
        "rpm",
        "w",
        "kw",
        "hz",
        "%",
        "kg",
        "g",
        "mm",
        "ph",
        "us/cm",
        "µs/cm",
    ]
)
_OPENERS, _CLOSERS = "([{<", ")]}>"
_SEPARATOR = re.compile(r"[\s_/,;:|-]|(?=[(\[{<°ºº˚℃℉])")
_LABEL_AT_END = re.compile(r"[(\[][^()\[\]]*[)\]]\s*$")
_KIND_WORD = re.compile(r"\b(?:abs|absolute|gauge|gage|rel|relative)\b")
_TWO_LETTERS = re.compile(r"\b[cfk]\b\s*(?:/|or|,|\|)\s*°?[cfk]\b", re.IGNORECASE)


class Heading(NamedTuple):
    """A heading taken apart. `bare` marks a one-letter unit; `two_units` one that names two units of one quantity."""

    whole: str
    name: str
    unit: Unit | None = None
    bare: bool = False
    spaced: bool = False
    time_s: float | None = None
    foreign: bool = False
    two_units: bool = False

    @property
    def words(self) -> str:
        """The name in lower case, underscores as spaces."""
        return self.name.replace("_", " ").casefold().strip()

    @property
    def kind(self) -> PressureKind | None:
        """Gauge or absolute, as the unit or else the name says."""
        if self.unit is not None and self.unit.kind:
            return self.unit.kind
        kinds = {kind_of(word) for word in _KIND_WORD.findall(self.words)}
        return kinds.pop() if len(kinds) == 1 else None

    @property
    def is_temperature(self) -> bool:
        """Whether unit or name tell of a temperature."""
        if self.unit is not None and not self.bare:
            return self.unit.quantity == "temperature"
        return not self.is_pressure and bool(TEMPERATURE_NAME.search(self.words))

    @property
    def is_pressure(self) -> bool:
        """Whether unit or name tell of a pressure."""
        if self.unit is not None and not self.bare:
            return self.unit.quantity == "pressure"
        return bool(PRESSURE_NAME.search(self.words))


def _bare_content(text: str) -> str:
    text = text.strip(" _/,;:|-.")
    while len(text) > 1 and text[0] in _OPENERS and text[-1] == _CLOSERS[_OPENERS.index(text[0])]:
        text = text[1:-1].strip()
    return text


def _balanced(text: str) -> bool:
    return all(text.count(o) == text.count(c) for o, c in zip(_OPENERS, _CLOSERS, strict=True))


def _suffix(whole: str) -> tuple[str, str] | None:
    """Return name and unit text where the longest possible end of the heading is a unit of any kind."""
    for start in [0, *(m.end() for m in _SEPARATOR.finditer(whole))]:
        name, rest = whole[:start].strip(" _/,;:|-"), _bare_content(whole[start:])
        if rest and _balanced(name) and (unit_of(rest) or time_unit_s(rest) or rest.lower() in FOREIGN):
            return name, rest
    return None


def _bracketed(whole: str) -> tuple[str, str] | None:
    for group in re.finditer(r"[(\[]([^()\[\]]+)[)\]]", whole):
        if unit_of(group[1].strip()) and not is_bare(group[1]):
            return " ".join((whole[: group.start()] + whole[group.end() :]).split()), group[1].strip()
    return None


def _strong_units(whole: str) -> set[str]:
    tokens = (_bare_content(token) for token in re.split(r"[\s()\[\]{}/,;:|_-]+|(?=°)", whole))
    units = (unit_of(token) for token in tokens if token and not is_bare(token))
    return {unit.name for unit in units if unit}


@lru_cache(maxsize=4096)
def parse_heading(text: str) -> Heading:
    """Take a heading apart into name and unit.

    >>> h = parse_heading("Chamber pressure [bar(a)]"); h.name, h.unit.name, h.kind
    ('Chamber pressure', 'bar', 'absolute')
    >>> h = parse_heading("Probe C"); h.name, h.bare
    ('Probe', True)
    """
    whole = " ".join(text.replace("\ufeff", "").split())
    found = _suffix(whole) or _bracketed(whole) or _suffix(_LABEL_AT_END.sub("", whole).strip())
    if found is not None and not found[0] and found[1].casefold() == "pa":
        found = None  # a pressure called PA, hardly one in pascal
    if _TWO_LETTERS.search(whole):
        return Heading(whole, whole, two_units=True)
    if found is None:
        return Heading(whole, whole, two_units=len(_strong_units(whole)) > 0)
    return _heading(whole, *found)


def begins_times(text: str) -> bool:
    """Tell whether a text names a column of times or of running numbers, with which a table begins.

    >>> begins_times("Date"), begins_times("No."), begins_times("Nurse")
    (True, True, False)
    """
    words = parse_heading(text).words
    return bool(TIME_NAME.search(words) or RUNNING.match(words))


def names_reading(text: str) -> bool:
    """Tell whether a text has a unit or a word that tells of temperature or pressure.

    >>> names_reading("Chamber"), names_reading("in °C"), names_reading("W. T.")
    (True, True, False)
    """
    found = parse_heading(text)
    told = found.two_units or found.foreign or (found.unit is not None and not found.bare)
    return told or any(bool(name.search(found.words)) for name in (TEMPERATURE_NAME, PRESSURE_NAME))


def _heading(whole: str, name: str, unit_text: str) -> Heading:
    unit = unit_of(unit_text)
    bare = unit is not None and is_bare(unit_text)
    name = re.sub(r"\s+(?:in|en|em)$", "", name) or whole
    strong = _strong_units(whole) | ({unit.name} if unit and not bare else set())
    kinds = {kind_of(w) for w in _KIND_WORD.findall(whole.casefold())} | (
        {unit.kind} if unit and unit.kind else set()
    )
    if len(strong) > (1 if unit and not bare else 0) or len(kinds) > 1 or _parted_prefix(name, unit):
        return Heading(whole, whole, two_units=True)
    if unit is None and _is_label(whole, name, unit_text):
        return Heading(whole, whole)
    spaced, foreign = bare and whole.endswith(" " + unit_text), unit is None and unit_text.lower() in FOREIGN
    return Heading(whole, name, unit, bare, spaced, None if unit else time_unit_s(unit_text), foreign)


def _parted_prefix(name: str, unit: Unit | None) -> bool:
    """Tell whether a letter before the unit may be its prefix: 'P k-Pa' is a thousand times 'P Pa'."""
    return unit is not None and unit.name in ("Pa", "bar") and bool(re.search(r"(?:^|[\W_])[kKmMhH]$", name))


def _is_label(whole: str, name: str, unit_text: str) -> bool:
    """Tell whether the end of a heading is a label: 'Probe A' is no current, 'Temp min' no time.

    One letter is another quantity's unit only in brackets, or behind a word for time.
    """
    words = name.replace("_", " ").casefold()
    if TIME_NAME.search(words) and time_unit_s(unit_text) is not None:
        return False
    told = bool(TEMPERATURE_NAME.search(words) or PRESSURE_NAME.search(words))
    if told and (len(unit_text) == 1 or time_unit_s(unit_text) is not None):
        return True
    return len(unit_text) == 1 and whole[-1] not in _CLOSERS


def settle_bare(headings: Iterable[Heading]) -> list[Heading]:
    """Return headings in which a one-letter unit is kept only where it cannot be a label.

    It counts when the name tells of a temperature and all one-letter ends among such headings are the same letter;
    after a space it counts only behind Temp… or T and a number. Otherwise the whole heading is the name.

    >>> [h.unit for h in settle_bare([parse_heading("Probe (C)"), parse_heading("Probe (F)")])]
    [None, None]
    """
    found = list(headings)
    ends = {_end_letter(h) for h in found if TEMPERATURE_NAME.search(h.words) or h.bare} - {""}
    return [
        h if not h.bare or _counts(h, ends) else h._replace(name=h.whole, unit=None, bare=False)
        for h in found
    ]


def _end_letter(heading: Heading) -> str:
    end = re.search(r"(?:[\s_/(\[])([A-Za-z])[)\]]?$", heading.whole)
    return end[1].upper() if end else ""


def _counts(heading: Heading, ends: set[str]) -> bool:
    telling = TEMPERATURE_NAME.search(heading.words)
    begins = re.match(r"temp|t[\s_.#-]*\d|t$", heading.words)
    return len(ends) <= 1 and bool(telling) and (not heading.spaced or bool(begins))
