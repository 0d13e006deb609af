"""Which treatment a generic part is first suggested: heat before chemicals, and only what the part bears."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from lungwort.language import _
from lungwort.library.fits import fits
from lungwort.library.materials import Answer
from lungwort.library.parts import Part
from lungwort.science.lethality import lethal_rate

HOTTEST_WATER_C = 85.0
BELOW_K = 2.0  # a bath is asked for less than the hottest it reaches
SPARE = 1.5  # water is held so many times longer than lethality asks: for the thermometer's error and the coldest place


Keys = dict[str, str | float]


@dataclass(frozen=True)
class Programme:
    """A programme of an autoclave: aimed a little above the foot of its band, held a little longer than asked."""

    name: str
    temperature_c: float
    hold_min: float
    criterion: str


@dataclass(frozen=True)
class Water:
    """Hot water for a criterion."""

    temperature_c: float
    hold_min: float
    criterion: str


@dataclass(frozen=True)
class Choice:
    """A treatment suggested for a part: keys of the treat step, its criterion, and what the library says of it."""

    keys: Keys
    criterion: str
    answer: Answer
    sentence: str
    minutes: float


_PROGRAMMES: dict[str, tuple[Programme, ...]] = {
    "pre-vacuum": (
        Programme("134 wrapped", 135.0, 4.0, "steam-134C-3min"),
        Programme("121 wrapped", 122.0, 20.0, "steam-121C-15min"),
    ),
    "gravity": (
        Programme("132 gravity", 133.0, 17.0, "steam-132C-15min-gravity"),
        Programme("121 gravity", 122.0, 35.0, "steam-121C-30min-gravity"),
    ),
}


def programmes(removal: Literal["gravity", "pre-vacuum"]) -> tuple[Programme, ...]:
    """Return the programmes suggested for an autoclave by how it removes air, the hotter first."""
    return _PROGRAMMES[removal]


def water_plan(highest_c: float | None) -> Water | None:
    """Return hot water for the strictest A0 that a bath reaches within two hours; None where it does not.

    >>> water_plan(88.0)
    Water(temperature_c=85.0, hold_min=24.0, criterion='A0-3000')
    >>> water_plan(60.0) is None
    True
    """
    if highest_c is None or highest_c - BELOW_K < 70.0:
        return None
    at_c = math.floor(min(highest_c - BELOW_K, HOTTEST_WATER_C))
    asked_s, criterion = (3000.0, "A0-3000") if at_c >= 80.0 else (600.0, "A0-600")
    hold_min = math.ceil(SPARE * asked_s / float(lethal_rate(at_c, 80.0)) / 60)
    return Water(float(at_c), float(hold_min), criterion)


def choose(part: Part, heat: Sequence[Programme], water: Water | None, bleach: bool) -> Choice | None:
    """Return the treatment to suggest for a part, None where nothing at hand is shown to suit it.

    What it bears comes first, the hottest before all; else what it bears for a limited number of cycles, there hot
    water before steam and chemicals last.
    """
    if part.wipe_only or part.reuse == "single patient":
        return None
    offered = list(_offered(part, heat, water, bleach))
    borne = [choice for choice in offered if choice.answer is Answer.FITS]
    limited = [choice for choice in offered if choice.answer is Answer.LIMITED]
    limited.sort(key=lambda choice: ("hot water", "steam", "soak").index(str(choice.keys["process"])))
    return next(iter([*borne, *limited]), None)


def _offered(part: Part, heat: Sequence[Programme], water: Water | None, bleach: bool) -> Iterator[Choice]:
    for programme in heat:
        keys: Keys = {"process": "steam", "equipment": "Autoclave 1", "setting": programme.name}
        yield _choice(
            part, f"steam {programme.temperature_c:g}", keys, programme.criterion, programme.hold_min + 60
        )
    if water is not None:
        keys = {"process": "hot water", "equipment": "Bath 1", "temperature_c": water.temperature_c}
        keys["hold_min"] = water.hold_min
        name = f"hot water {water.temperature_c:g}"
        yield _choice(part, name, keys, water.criterion, water.hold_min + 20)
    if bleach:
        keys = {"process": "soak", "stock": "Bleach", "strength": "1000 mg/L", "contact_min": 20.0}
        keys["solution_days"] = 1.0
        yield _choice(part, "hypochlorite", keys, "hypochlorite-parts-1000mgL", 25.0)


def _choice(part: Part, process: str, keys: Keys, criterion: str, minutes: float) -> Choice:
    fit = fits(part.name, process)
    worst = fit.reasons[0]
    text = _("{process}: {answer} [{basis}]; {sentence}")
    said = text.format(process=fit.process, answer=fit.answer, basis=fit.basis, sentence=worst.sentence)
    return Choice(keys, criterion, fit.answer, said, minutes)
