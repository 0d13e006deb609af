"""What is known of a thermometer: its class or its calibration certificate, as a bias at a temperature."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from lungwort.errors import OutOfRange, UnknownName
from lungwort.language import _, number
from lungwort.science.uncertainty import Bias, pt100_tolerance_k, thermocouple_tolerance_k
from lungwort.typed import typed_number

UNSTATED_K = (
    2.5  # the tolerance of type K class 2, the coarsest of the tables kept here (IEC 60584-1, from memory)
)

LARGEST_OFFSET_K = 10.0  # a thermometer further out than this is broken, or the number is not an offset
LARGEST_ERROR_K = 50.0

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_PT100 = re.compile(r"pt\s*-?\s*100\s*(?:class)?\s*(AA|A|B|C)", re.IGNORECASE)
_COUPLE = re.compile(r"(?:type\s*)?([TKJNE])\s*(?:class)?\s*([12])", re.IGNORECASE)
_PLAIN = re.compile(rf"(?:±|\+/-|\+-)\s*{_NUMBER}\s*(?:°?\s*[CK])?", re.IGNORECASE)
_CALIBRATED = re.compile(
    rf"calibrated\s*([+-]?)\s*{_NUMBER}\s*(?:°?\s*[CK])?\s*(?:±|\+/-|\+-)\s*{_NUMBER}\s*(?:°?\s*[CK])?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Sensor:
    """A thermometer as stated: `says` for people, `bias_at` the error of its indication at a temperature in °C."""

    says: str
    bias_at: Callable[[float], Bias]
    stated: bool = True


def unstated_sensor() -> Sensor:
    """Return the cautious stand-in for a sensor nobody has described: ±2.5 K.

    >>> unstated_sensor().bias_at(121.0).half_width_k
    2.5
    """
    says = _("not stated; ±{k} K taken").format(k=UNSTATED_K)
    return Sensor(says, lambda temperature_c: Bias(half_width_k=UNSTATED_K), stated=False)


def coarser(sensor: Sensor, step_k: float) -> Sensor:
    """Return a sensor whose readings were written in steps of `step_k`: half a step may be added to its error.

    >>> coarser(parse_sensor("±0.5 K"), 1.0).bias_at(80.0).half_width_k
    1.0
    """

    def bias_at(temperature_c: float) -> Bias:
        bias = sensor.bias_at(temperature_c)
        return replace(bias, half_width_k=bias.half_width_k + step_k / 2)

    return replace(sensor, bias_at=bias_at)


def parse_sensor(text: str) -> Sensor:
    """Read a description of a thermometer: its class, its tolerance, or its calibration certificate.

    `text`: "Pt100 A" (AA, A, B, C after IEC 60751), "type K class 1" (T, K, J, N, E; IEC 60584-1),
    "±0.5 K", or "calibrated +0.12 ±0.20" (indicated minus true in K, and the expanded uncertainty, k = 2).
    Raises UnknownName for anything else, OutOfRange for an error that no thermometer in use has.

    >>> round(parse_sensor("Pt100 A").bias_at(121.0).half_width_k, 3)
    0.392
    >>> parse_sensor("calibrated -0,1 ±0,2").bias_at(80.0)
    Bias(half_width_k=0.0, u_k=0.1, offset_k=-0.1)
    """
    for pattern, build in _KINDS:
        match = pattern.fullmatch(text.strip())
        if match:
            return build(text.strip(), match)
    message = _(
        "the sensor {text!r} is not known; say 'Pt100 A' (AA, A, B, C), 'type K class 1' (T, K, J, N, E; 1 or 2), "
        "'±0.5 K', or from its certificate 'calibrated +0.12 ±0.20'"
    )
    raise UnknownName(message.format(text=text))


def _pt100(text: str, match: re.Match[str]) -> Sensor:
    letter = match[1].upper()
    return Sensor(f"Pt100 {letter}", lambda t: Bias(half_width_k=float(pt100_tolerance_k(t, letter))))


def _couple(text: str, match: re.Match[str]) -> Sensor:
    kind, grade = match[1].upper(), int(match[2])
    return Sensor(
        f"type {kind} class {grade}",
        lambda t: Bias(half_width_k=float(thermocouple_tolerance_k(t, kind, grade))),
    )


def _plain(text: str, match: re.Match[str]) -> Sensor:
    half_width_k = _at_most(text, typed_number(match[1]), LARGEST_ERROR_K)
    return Sensor(text, lambda t: Bias(half_width_k=half_width_k))


def _calibrated(text: str, match: re.Match[str]) -> Sensor:
    offset_k = _at_most(text, typed_number(match[2]), LARGEST_OFFSET_K) * (-1 if match[1] == "-" else 1)
    bias = Bias(u_k=_at_most(text, typed_number(match[3]), LARGEST_ERROR_K) / 2, offset_k=offset_k)
    return Sensor(text, lambda t: bias)


def _at_most(text: str, value_k: float, most_k: float) -> float:
    if value_k > most_k:
        says = _("the sensor {text!r} would be {value} K off; at most {most} K can be: write its error in K")
        raise OutOfRange(says.format(text=text, value=f"{value_k:g}", most=number(most_k, 0)))
    return value_k


_KINDS: tuple[tuple[re.Pattern[str], Callable[[str, re.Match[str]], Sensor]], ...] = (
    (_PT100, _pt100),
    (_COUPLE, _couple),
    (_PLAIN, _plain),
    (_CALIBRATED, _calibrated),
)
