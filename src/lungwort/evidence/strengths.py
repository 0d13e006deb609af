"""Strengths as people write them, read into numbers of one meaning; what had to be assumed is said, bases never mix."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from lungwort.errors import LungwortError, OutOfRange, UnknownName
from lungwort.evidence.strength_words import (
    AVAILABLE,
    Words,
    float_of,
    require_possible,
    take_apart,
    tidy,
    unreadable,
)
from lungwort.language import _, number
from lungwort.library.agents import Agent
from lungwort.science import chlorine
from lungwort.science.dilution import from_percent_w_v_mg_per_l, from_percent_w_w_mg_per_l

Kind = Literal["stock", "target"]

_WATER_KG_PER_L = 0.998
_DENSEST_KG_PER_L = 1.5
_STRONGEST_BLEACH_PERCENT = 20.0
_TABLET_AT = re.compile(
    r"(\d+(?:[.,]\d+)?)\s?(g|mg)\s?(?:/|per)?\s?tab(?:let)?s?[ ,]+(?:at |of |with )?(\d+(?:[.,]\d+)?)\s?%(.*)"
)


@dataclass(frozen=True)
class Substance:
    """What a strength counts: `name`; `formula` where a pure chlorine compound bounds it; `solid` where sold dry.

    `pure_kg_per_l` is the density of the pure liquid, which per cent by volume needs; `also` are other names for it.
    """

    name: str
    formula: str = ""
    solid: bool = False
    pure_kg_per_l: float | None = None
    also: tuple[str, ...] = ()

    @property
    def is_chlorine(self) -> bool:
        """Whether strengths count available chlorine."""
        return self.name == AVAILABLE


@dataclass(frozen=True)
class Liquid:
    """A liquid's strength in mg/L: best estimate, the cautious end of what was written, and what was assumed."""

    written: str
    strength_mg_per_l: float
    low_mg_per_l: float
    says: tuple[str, ...] = ()


@dataclass(frozen=True)
class Powder:
    """A powder's strength: grams of active substance (available chlorine) in a gram."""

    written: str
    share: float
    says: tuple[str, ...] = ()


@dataclass(frozen=True)
class Tablet:
    """A tablet's strength: grams of active substance (available chlorine) in one tablet."""

    written: str
    active_g: float
    says: tuple[str, ...] = ()


Strength = Liquid | Powder | Tablet

_SUBSTANCES = {
    "hypochlorite": Substance(AVAILABLE, "NaOCl"),
    "NaDCC": Substance(AVAILABLE, "NaDCC", solid=True),
    "calcium hypochlorite": Substance(AVAILABLE, "Ca(OCl)2", solid=True),
    # Densities at 20 °C: CoolProp gives 0.789 for ethanol; isopropanol from memory.
    "ethanol": Substance("ethanol", pure_kg_per_l=0.789, also=("ethyl alcohol", "alcohol")),
    "isopropanol": Substance("isopropanol", pure_kg_per_l=0.785, also=("isopropyl alcohol", "propan-2-ol")),
}


def substance_of(agent: Agent) -> Substance:
    """Return what strengths of an agent count; an agent not sold dry and not of chlorine is a plain liquid.

    >>> from lungwort.library.agents import find_agent
    >>> substance_of(find_agent("NaDCC")).name, substance_of(find_agent("OPA")).name
    ('available chlorine', 'ortho-phthalaldehyde')
    """
    plain_liquid = Substance(agent.active_substance, also=(agent.name, *agent.aliases))
    return _SUBSTANCES.get(agent.name, plain_liquid)


def parse_strength(
    text: str, substance: Substance, *, kind: Kind = "stock", density_kg_per_l: float | None = None
) -> Strength:
    """Read a strength as a person writes it.

    Args:
        text: a number, its unit, and where it matters what is counted and on which basis: "5.25 % NaOCl w/w",
            "5 % w/v", "5 % available chlorine", "12 °Chl", "12.5 % trade", "1000 ppm", "38 g/L", "70 % powder",
            "2.5 g/tablet", "5 g tablet at 50 %"; decimal point or comma.
        substance: what the agent's strengths count.
        kind: a "target" is always a liquid; a "stock" of a dry agent in bare per cent is a powder.
        density_kg_per_l: density of a liquid given in per cent by weight, where known.

    Returns:
        A Liquid, Powder or Tablet. A bare per cent of a chlorine agent is taken as available chlorine, weight in
        volume; every such assumption is a sentence in `says`.

    Raises:
        UnknownName: the text cannot be read without guessing.
        OutOfRange: nothing, above 100 %, or stronger than the substance can be.

    Source: definitions; chlorometric degree and density as in `lungwort.science.chlorine`.

    >>> from lungwort.library.agents import find_agent
    >>> parse_strength("12 °Chl", substance_of(find_agent("bleach"))).strength_mg_per_l
    38040.0
    >>> parse_strength("70 %", substance_of(find_agent("calcium hypochlorite"))).share
    0.7
    """
    if density_kg_per_l is not None and not 0.7 <= density_kg_per_l <= _DENSEST_KG_PER_L:
        says = _("a density of {value} kg/L is not that of such a liquid; 0.7 to 1.5, such as 1.08")
        raise OutOfRange(says.format(value=number(density_kg_per_l, 2)))
    tablet = _TABLET_AT.fullmatch(tidy(text))
    if tablet:
        return _tablet_at(text, tablet, substance)
    words = take_apart(text, (substance.name, *substance.also))
    require_possible(words)
    if words.of("form") == "tablet" or words.of("unit") in ("g", "mg"):
        return _tablet(words, kind)
    if words.of("form") == "powder" or (substance.solid and kind == "stock" and words.of("unit") == "%"):
        return _powder(words, substance, kind)
    return _liquid(words, substance, density_kg_per_l)


def _tablet(words: Words, kind: Kind) -> Tablet:
    if kind == "target" or words.of("form") != "tablet" or words.of("unit") not in ("g", "mg"):
        says = _(
            "{text!r} cannot be used as a {kind}; write a target as mg/L or %, tablets as '2.5 g/tablet'"
        )
        raise UnknownName(says.format(text=words.text, kind=kind))
    grams = words.value / (1000.0 if words.of("unit") == "mg" else 1.0)
    if words.of("counts") in ("", AVAILABLE):
        assumed = _(
            "{text} is taken as active substance in each tablet, not as the tablet's own weight; "
            "for that write '5 g tablet at 50 %'."
        )
        return Tablet(words.text, grams, () if words.of("counts") else (assumed.format(text=words.text),))
    share, said = _pure_share(words.of("counts"))
    return Tablet(words.text, grams * share, said)


def _tablet_at(text: str, match: re.Match[str], substance: Substance) -> Tablet:
    grams = float_of(match[1]) / (1000.0 if match[2] == "mg" else 1.0)
    powder = parse_strength(f"{match[3]} % powder {match[4]}".strip(), substance)
    if not isinstance(powder, Powder) or grams <= 0.0:
        raise unreadable(text, "", 0)
    return Tablet(text, grams * powder.share, powder.says)


def _powder(words: Words, substance: Substance, kind: Kind) -> Powder:
    if kind == "target" or words.of("unit") != "%" or words.of("basis") not in ("", "w/w"):
        says = _(
            "{text!r} cannot be used as a {kind}; write a powder as '70 % powder', a target as mg/L or %"
        )
        raise UnknownName(says.format(text=words.text, kind=kind))
    share, said = _pure_share(words.of("counts"))
    purest = chlorine.available_share(substance.formula if substance.solid else "Ca(OCl)2")
    if substance.is_chlorine and words.value / 100.0 * share > purest:
        text = _(
            "{text!r} is more available chlorine than the pure substance has ({purest} %); check the label"
        )
        raise OutOfRange(text.format(text=words.text, purest=number(100.0 * purest)))
    if not words.of("counts") and substance.is_chlorine:
        said = (_("{text} is taken as available chlorine by weight of the powder.").format(text=words.text),)
    return Powder(words.text, words.value / 100.0 * share, said)


def _pure_share(counts: str) -> tuple[float, tuple[str, ...]]:
    """Return the available chlorine in a gram of what a label counts, and what was assumed."""
    if counts in ("", AVAILABLE):
        return 1.0, ()
    formula = "NaDCC dihydrate" if counts == "NaDCC" else counts
    share = chlorine.available_share(formula)
    text = _("{formula} taken as pure holds {percent} % available chlorine (computed).")
    return share, (text.format(formula=formula, percent=number(100.0 * share)),)


def _liquid(words: Words, substance: Substance, density_kg_per_l: float | None) -> Liquid:
    if not substance.is_chlorine:
        liquid = _plain(words, substance, density_kg_per_l)
    elif words.of("unit") == "%" and words.of("basis") != "trade":
        liquid = _chlorine_percent(words, density_kg_per_l)
    else:
        liquid = _chlorine_direct(words)
    densest = (substance.pure_kg_per_l or _DENSEST_KG_PER_L) * 1e6
    strongest = chlorine.STRENGTH_RANGE_MG_PER_L[1] if substance.is_chlorine else densest
    if liquid.strength_mg_per_l > strongest * (1.0 + 1e-9):
        raise _too_strong(words.text)
    return liquid


def _too_strong(text: str) -> LungwortError:
    says = _(
        "{text!r} is stronger than any such liquid; check the label, and for a powder write '70 % powder'"
    )
    return OutOfRange(says.format(text=text))


def _as_milligrams(words: Words) -> tuple[float, tuple[str, ...]]:
    """Return mg/L from mg/L, g/L or ppm, and what was assumed."""
    if words.of("unit") == "ppm":
        text = _("{text}: ppm is taken as mg/L, which is true of thin solutions only.")
        return words.value, (text.format(text=words.text),)
    return words.value * (1000.0 if words.of("unit") == "g/L" else 1.0), ()


def _chlorine_direct(words: Words) -> Liquid:
    """Degrees, trade per cent, mg/L, g/L and ppm: all count chlorine in a volume; only the last three may say NaOCl."""
    if words.of("unit") in ("°Chl", "%"):
        degrees = words.of("unit") == "°Chl"
        value = words.value
        strength = chlorine.from_degrees_mg_per_l(value) if degrees else from_percent_w_v_mg_per_l(value)
        text = _("{text}: degrees and trade per cent count available chlorine by definition.")
        odd = words.of("counts") not in ("", AVAILABLE)
        return Liquid(words.text, strength, strength, (text.format(text=words.text),) if odd else ())
    strength, said = _as_milligrams(words)
    if words.of("counts") not in ("", AVAILABLE):
        share, more = _pure_share(words.of("counts"))
        return Liquid(words.text, strength * share, strength * share, said + more)
    return Liquid(words.text, strength, strength, said)


def _chlorine_percent(words: Words, density_kg_per_l: float | None) -> Liquid:
    counts, basis = words.of("counts"), words.of("basis")
    if basis == "v/v" or counts not in ("", AVAILABLE, "NaOCl"):
        says = _(
            "{text!r} is no way to give the strength of liquid bleach; use w/v or w/w of NaOCl or available chlorine"
        )
        raise UnknownName(says.format(text=words.text))
    available = chlorine.available_from_naocl(words.value) if counts == "NaOCl" else words.value
    if chlorine.naocl_from_available(available) > _STRONGEST_BLEACH_PERCENT * 1.06:
        raise _too_strong(words.text)
    said = _bare_says(words)
    if basis != "w/w":
        strength = from_percent_w_v_mg_per_l(available)
        return Liquid(words.text, strength, strength, said)
    return _by_weight(words, available, density_kg_per_l, said)


def _bare_says(words: Words) -> tuple[str, ...]:
    counts, basis = words.of("counts"), words.of("basis")
    if not counts and not basis:
        text = _(
            "{text}: a bare per cent is taken as available chlorine, weight in volume (1 % = 10 g/L), "
            "as tables of WHO and CDC do."
        )
    elif not counts:
        text = _("{text}: taken as available chlorine, since it does not say sodium hypochlorite.")
    elif not basis:
        text = _("{text}: taken as weight in volume, since it does not say w/w.")
    else:
        return ()
    return (text.format(text=words.text),)


def _by_weight(
    words: Words, available: float, density_kg_per_l: float | None, said: tuple[str, ...]
) -> Liquid:
    naocl = min(chlorine.naocl_from_available(available), _STRONGEST_BLEACH_PERCENT)
    density = density_kg_per_l or chlorine.bleach_density_kg_per_l(naocl)
    low = density_kg_per_l or chlorine.bleach_density_kg_per_l(naocl, low_salt=True)
    if density_kg_per_l is None:
        text = _(
            "{text}: no density given, {usual} kg/L taken, typical (from memory); {low} kg/L for the cautious end."
        )
        shown = {"usual": number(density, 3), "low": number(low, 3)}
        said = (*said, text.format(text=words.text, **shown))
    best_mg, low_mg = from_percent_w_w_mg_per_l(available, density), from_percent_w_w_mg_per_l(available, low)
    return Liquid(words.text, best_mg, low_mg, said)


def _plain(words: Words, substance: Substance, density_kg_per_l: float | None) -> Liquid:
    """Strengths of agents other than chlorine."""
    if words.of("counts") or words.of("unit") == "°Chl" or words.of("basis") == "trade":
        says = _(
            "{text!r} is a strength of chlorine, but the agent is {agent}; check which of the two is meant"
        )
        raise UnknownName(says.format(text=words.text, agent=substance.name))
    if words.of("unit") != "%":
        strength, said = _as_milligrams(words)
        return Liquid(words.text, strength, strength, said)
    basis = words.of("basis") or ("v/v" if substance.pure_kg_per_l else "w/v")
    factor, said = _plain_factor(words, substance, basis, density_kg_per_l)
    if not words.of("basis"):
        said = (
            _("{text}: a bare per cent of {agent} is taken as {basis}.").format(
                text=words.text, agent=substance.name, basis=basis
            ),
            *said,
        )
    strength = from_percent_w_w_mg_per_l(words.value, factor)
    return Liquid(words.text, strength, strength, said)


def _plain_factor(
    words: Words, substance: Substance, basis: str, density_kg_per_l: float | None
) -> tuple[float, tuple[str, ...]]:
    """Return kg/L that one part of the substance stands for, and what was assumed."""
    if basis == "w/v":
        return 1.0, ()
    if basis == "v/v" and substance.pure_kg_per_l:
        text = _(
            "Alcohol and water shrink when mixed: made up to a volume is right, added is a little strong."
        )
        return substance.pure_kg_per_l, (text,)
    if basis == "w/w" and density_kg_per_l:
        return density_kg_per_l, ()
    if basis == "w/w" and not substance.pure_kg_per_l:
        text = _("{text}: no density given, that of water taken, which is the cautious end.")
        return _WATER_KG_PER_L, (text.format(text=words.text),)
    says = _("{text!r} cannot be turned into a volume of {agent} without its density; give {better}")
    better = "% v/v" if substance.pure_kg_per_l else "% w/v"
    raise UnknownName(says.format(text=words.text, agent=substance.name, better=better))
