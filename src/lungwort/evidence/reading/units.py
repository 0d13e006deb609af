"""Units as loggers and people spell them, and their conversion to °C, kPa and seconds."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from lungwort.evidence.log import FloatArray, PressureKind, Quantity


class Unit(NamedTuple):
    """A unit: value in °C or kPa = (written - `zero`) * `factor`; `kind` where the spelling says gauge or absolute."""

    name: str
    quantity: Quantity
    zero: float
    factor: float
    kind: PressureKind | None = None

    @property
    def written(self) -> str:
        """The unit in words, such as 'bar (gauge)'."""
        return f"{self.name} ({self.kind})" if self.kind else self.name


CELSIUS = Unit("°C", "temperature", 0.0, 1.0)
# Published: 0 °C = 273.15 K and t(°F) = 1.8 t(°C) + 32 exactly (BIPM SI Brochure 2019; NIST SP 811, table B.8).
FAHRENHEIT = Unit("°F", "temperature", 32.0, 5.0 / 9.0)
KELVIN = Unit("K", "temperature", 273.15, 1.0)
TEMPERATURES = {"c": CELSIUS, "f": FAHRENHEIT, "k": KELVIN}
# Published: kPa, bar, mbar, hPa, MPa by the SI. Computed: psi from the exact pound, inch and standard gravity,
# kgf/cm² from the standard gravity 9.80665 m/s².
PRESSURES = {
    "kpa": ("kPa", 1.0),
    "bar": ("bar", 100.0),
    "mbar": ("mbar", 0.1),
    "hpa": ("hPa", 0.1),
    "psi": ("psi", 0.45359237 * 9.80665 / 0.0254**2 / 1000.0),
    "mpa": ("MPa", 1000.0),
    "pa": ("Pa", 0.001),
    "kgf/cm2": ("kgf/cm²", 98.0665),
}
TIMES_S = {
    "ms millis millisecond milliseconds": 0.001,
    "s sec secs second seconds sek sekunden seg segundo segundos seconde secondes": 1.0,
    "min mins minute minutes minuten minuto minutos dakika": 60.0,
    "h hr hrs hour hours std stunden heure heures hora horas": 3600.0,
}
_TIME_WORDS = {word: factor for words, factor in TIMES_S.items() for word in words.split()}
_DEGREE = re.compile(
    r"^(?:°|deg(?:ree)?s?\.?|\?|\ufffd)?[\s_]*(?:(?P<c>c|celsius|centigrade)|(?P<f>f|fahrenheit)|(?P<k>k|kelvin))$"
)
_PRESSURE = re.compile(
    r"^(kpa|mbar|bar|hpa|psi|mpa|pa|kgf?/cm[2²])[\s._-]*[(\[]?\s*"
    r"(g|gauge|gage|rel|relative|a|abs|absolute)?\.?\s*[)\]]?$"
)
_DEGREE_SIGNS = str.maketrans({"º": "°", "˚": "°", "∘": "°", "℃": "°C", "℉": "°F"})


def _tidy(token: str) -> str:
    token = token.translate(_DEGREE_SIGNS).replace("Â°", "°")
    token = re.sub(r"^o(?=[CF]$)", "°", token.strip())
    return " ".join(token.split()).lower()


@cache
def unit_of(token: str) -> Unit | None:
    """Return the unit that `token` spells, or None; a bare letter C, F or K counts here, callers decide if it may.

    >>> unit_of("degC").name, unit_of("bar(a)").written, unit_of("psig").written, unit_of("furlong")
    ('°C', 'bar (absolute)', 'psi (gauge)', None)
    """
    tidy = _tidy(token)
    degree = _DEGREE.match(tidy)
    if degree:
        return TEMPERATURES[str(degree.lastgroup)]
    pressure = _PRESSURE.match(tidy)
    return _pressure_unit(pressure[1], pressure[2]) if pressure else None


def _pressure_unit(base: str, kind_word: str | None) -> Unit:
    name, factor = PRESSURES["kgf/cm2" if base.startswith("kg") else base]
    return Unit(name, "pressure", 0.0, factor, kind_of(kind_word))


def kind_of(word: str | None) -> PressureKind | None:
    """Return the pressure kind that a word such as 'abs' or 'g' names, or None."""
    if not word:
        return None
    return "absolute" if word.startswith("a") else "gauge"


def is_bare(token: str) -> bool:
    """Tell whether `token` is one letter only, which may as well be a label.

    >>> is_bare(" C "), is_bare("°C")
    (True, False)
    """
    return len(token.strip()) == 1 and token.strip() not in "℃℉"


def time_unit_s(token: str) -> float | None:
    """Return the seconds in one unit of time as spelled, or None.

    >>> time_unit_s("min"), time_unit_s("Sec."), time_unit_s("°C")
    (60.0, 1.0, None)
    """
    return _TIME_WORDS.get(token.strip().strip(".").lower())


def convert(written: FloatArray, unit: Unit) -> FloatArray:
    """Return values in °C or kPa of the kind written.

    >>> import numpy as np
    >>> convert(np.array([250.0]), FAHRENHEIT).round(3).tolist()
    [121.111]
    """
    if unit.zero == 0.0 and unit.factor == 1.0:
        return written
    return (written - unit.zero) * unit.factor
