"""Dilution: how much of a stock, a powder or a tablet makes a wanted strength; the two recipes for a liquid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from lungwort.errors import OutOfRange
from lungwort.language import _, number
from lungwort.science.arrays import Number, floats, same_kind

MG_PER_L_PER_PERCENT_W_V = 10_000.0
"""1 % w/v is 1 g in 100 mL. Definition."""
_ROUNDING = 1e-9
"""A target this little above the stock is the stock's own strength: the rest is floating-point dust."""


class Way(StrEnum):
    """The two recipes that are so often taken for one another."""

    MADE_UP_TO = "made up to"
    ADDED_TO = "added to"


@dataclass(frozen=True)
class LiquidRecipe:
    """A stock and the water it is mixed with: volumes in L, the strength they make in mg/L."""

    way: Way
    stock_l: float
    water_l: float
    strength_mg_per_l: float

    @property
    def volume_l(self) -> float:
        """The volume of the mixture [L]; liquids are taken to add up."""
        return self.stock_l + self.water_l


@dataclass(frozen=True)
class TabletRecipe:
    """Whole tablets in a volume [L], the strength they make, and by what share it is off the target."""

    tablets: int
    volume_l: float
    strength_mg_per_l: float
    error: float


def from_percent_w_v_mg_per_l(percent: Number) -> Number:
    """Return mg/L from per cent weight in volume.

    >>> from_percent_w_v_mg_per_l(0.5)
    5000.0
    """
    return same_kind(floats(percent) * MG_PER_L_PER_PERCENT_W_V, percent)


def percent_w_v(strength_mg_per_l: Number) -> Number:
    """Return per cent weight in volume from mg/L.

    >>> percent_w_v(38_040.0)
    3.804
    """
    return same_kind(floats(strength_mg_per_l) / MG_PER_L_PER_PERCENT_W_V, strength_mg_per_l)


def from_percent_w_w_mg_per_l(percent: Number, density_kg_per_l: float) -> Number:
    """Return mg/L from per cent by weight and the density [kg/L] of the liquid.

    >>> round(from_percent_w_w_mg_per_l(5.0, 1.08))
    54000
    """
    return same_kind(floats(percent) * (MG_PER_L_PER_PERCENT_W_V * density_kg_per_l), percent)


def mixed_mg_per_l(stock_mg_per_l: float, stock_l: float, water_l: float) -> float:
    """Return the strength of a stock mixed with water; volumes [L] are taken to add up.

    >>> mixed_mg_per_l(50_000.0, 1.0, 9.0)
    5000.0
    """
    return stock_mg_per_l * stock_l / (stock_l + water_l)


def parts_of_water(stock_mg_per_l: float, target_mg_per_l: float) -> float:
    """Return the parts of water that go to one part of stock.

    Args:
        stock_mg_per_l: strength of the stock [mg/L].
        target_mg_per_l: strength wanted [mg/L], above 0 and not above the stock's.

    Returns:
        Parts of water: stock / target - 1. Strengths in any one unit give the same.

    Raises:
        OutOfRange: the target is above the stock, or nothing.

    Source: CDC, chlorine disinfectant solution preparation (appendix E), published (excerpt).

    >>> parts_of_water(50_000.0, 5000.0)
    9.0
    """
    require_target(target_mg_per_l, stock_mg_per_l)
    return max(0.0, stock_mg_per_l / target_mg_per_l - 1.0)


def make_up_to(stock_mg_per_l: float, target_mg_per_l: float, volume_l: float) -> LiquidRecipe:
    """Return the recipe that puts stock into a vessel and fills it up with water to a volume.

    Args:
        stock_mg_per_l: strength of the stock [mg/L].
        target_mg_per_l: strength wanted [mg/L], above 0 and not above the stock's.
        volume_l: volume of the mixture [L], above 0.

    Returns:
        The recipe "made up to": volume · target / stock of stock, the rest water.

    Raises:
        OutOfRange: the target is above the stock, or nothing; no volume.

    Source: computed, conservation of substance.

    >>> make_up_to(50_000.0, 10_000.0, 1.0).stock_l
    0.2
    """
    require_target(target_mg_per_l, stock_mg_per_l)
    stock_l = require_volume(volume_l) * target_mg_per_l / stock_mg_per_l
    return LiquidRecipe(Way.MADE_UP_TO, stock_l, volume_l - stock_l, target_mg_per_l)


def add_to(stock_mg_per_l: float, target_mg_per_l: float, water_l: float) -> LiquidRecipe:
    """Return the recipe that adds stock to a measured volume of water.

    Args:
        stock_mg_per_l: strength of the stock [mg/L].
        target_mg_per_l: strength wanted [mg/L], above 0 and below the stock's.
        water_l: volume of the water [L], above 0; the mixture is larger by the stock.

    Returns:
        The recipe "added to": water · target / (stock - target) of stock.

    Raises:
        OutOfRange: the target is not below the stock, or nothing; no water.

    Source: computed, conservation of substance; CDC appendix E turned round.

    >>> add_to(50_000.0, 10_000.0, 1.0).stock_l
    0.25
    """
    parts = parts_of_water(stock_mg_per_l, target_mg_per_l)
    if parts == 0.0:
        text = _("{target} mg/L is the strength of the stock itself; use the stock as it is, without water")
        raise OutOfRange(text.format(target=number(target_mg_per_l, 0)))
    return LiquidRecipe(Way.ADDED_TO, require_volume(water_l) / parts, water_l, target_mg_per_l)


def powder_g_per_l(share: float, target_mg_per_l: float) -> float:
    """Return the grams of powder in a litre that make a strength.

    Args:
        share: grams of active substance (available chlorine) in a gram of powder, above 0 up to 1.
        target_mg_per_l: strength wanted [mg/L], above 0 and below the powder's own.

    Returns:
        Grams a litre: target / share. Exact where the mixture is made up to the litre; in a litre of water the
        room the powder takes makes it slightly weaker: see `powder_in_water_mg_per_l`.

    Raises:
        OutOfRange: the share is not above 0 up to 1, or the target is nothing or above the powder.

    Source: CDC, chlorine disinfectant solution preparation (appendix E), published (excerpt).

    >>> round(powder_g_per_l(0.70, 5000.0), 2)
    7.14
    """
    if not 0.0 < share <= 1.0:
        text = _("A powder of {value} % is not possible; above 0 up to 100 %. Check the label.")
        raise OutOfRange(text.format(value=number(100.0 * share, 2)))
    require_target(target_mg_per_l, share * 1e6)
    return target_mg_per_l / 1000.0 / share


def powder_in_water_mg_per_l(share: float, grams: float, water_l: float) -> tuple[float, float]:
    """Return the weakest and the strongest that a powder can make when it is added to water.

    Args:
        share: grams of active substance in a gram of powder, 0 to 1.
        grams: powder [g].
        water_l: water [L], above 0.

    Returns:
        Weakest and strongest [mg/L]: each gram taking up 1 mL of room, or none.

    Raises:
        OutOfRange: no water.

    Source: computed; dissolved salts take up less than 1 mL a gram.

    >>> [round(x) for x in powder_in_water_mg_per_l(0.70, 7.142857, 1.0)]
    [4965, 5000]
    """
    active_mg = 1000.0 * share * grams
    return active_mg / (require_volume(water_l) + grams / 1000.0), active_mg / water_l


def tablets_in(
    active_g: float, target_mg_per_l: float, volume_l: float, allow_below: bool = False
) -> TabletRecipe:
    """Return the whole tablets that make a strength in a volume.

    Args:
        active_g: active substance (available chlorine) in one tablet [g], above 0.
        target_mg_per_l: strength wanted [mg/L], above 0.
        volume_l: volume of the mixture [L], above 0.
        allow_below: take the nearest whole number, which may be too weak; else never fewer than needed.

    Returns:
        Tablets (at least one), the strength they make, and the error of rounding as a share of the target.

    Raises:
        OutOfRange: an amount is not above 0.

    Source: computed.

    >>> tablets_in(2.5, 1000.0, 10.0)
    TabletRecipe(tablets=4, volume_l=10.0, strength_mg_per_l=1000.0, error=0.0)
    """
    exact = require_volume(volume_l) / tablet_volume_l(active_g, target_mg_per_l)
    count = whole_count(exact, allow_below)
    strength = 1000.0 * active_g * count / volume_l
    return TabletRecipe(count, volume_l, strength, strength / target_mg_per_l - 1.0)


def tablet_volume_l(active_g: float, target_mg_per_l: float, tablets: int = 1) -> float:
    """Return the volume in which a number of whole tablets makes exactly the target.

    Args:
        active_g: active substance (available chlorine) in one tablet [g], above 0.
        target_mg_per_l: strength wanted [mg/L], above 0.
        tablets: how many.

    Returns:
        Volume of the mixture [L].

    Raises:
        OutOfRange: the tablet holds nothing, or the target is nothing.

    Source: computed, conservation of substance.

    >>> tablet_volume_l(1.0, 10_000.0, tablets=10)
    1.0
    """
    if active_g <= 0.0:
        text = _("A tablet with {value} g of active substance makes nothing; give the grams on the label.")
        raise OutOfRange(text.format(value=number(active_g, 2)))
    require_target(target_mg_per_l, math.inf)
    return 1000.0 * active_g * tablets / target_mg_per_l


def whole_up(exact: float) -> int:
    """Return the whole number at or above `exact`, forgiving floating-point dust.

    >>> whole_up(6.2), whole_up(6.0000000000001)
    (7, 6)
    """
    return math.ceil(exact * (1.0 - _ROUNDING))


def whole_count(exact: float, allow_below: bool = False) -> int:
    """Return how many whole measures to take for an exact number of them: at least one, and never too few unless asked.

    >>> whole_count(6.2), whole_count(6.2, allow_below=True), whole_count(0.2, allow_below=True)
    (7, 6, 1)
    """
    return max(1, round(exact) if allow_below else whole_up(exact))


def require_target(target_mg_per_l: float, stock_mg_per_l: float) -> None:
    """Raise OutOfRange where a target is nothing, or stronger than the stock."""
    if not target_mg_per_l > 0.0:
        text = _("A target of {value} mg/L is nothing to mix; give a strength above 0.")
        raise OutOfRange(text.format(value=number(target_mg_per_l, 1)))
    if target_mg_per_l > stock_mg_per_l * (1.0 + _ROUNDING):
        text = _(
            "The stock has {stock} mg/L, which is weaker than the {target} mg/L wanted: no dilution makes it "
            "stronger. Take a stronger stock or a weaker target."
        )
        stock, target = number(stock_mg_per_l, 0), number(target_mg_per_l, 0)
        raise OutOfRange(text.format(stock=stock, target=target))


def require_volume(volume_l: float) -> float:
    """Return a volume; OutOfRange where it is nothing or endless."""
    if not 0.0 < volume_l < math.inf:
        text = _("A volume of {value} L cannot be mixed or measured; give one above 0.")
        raise OutOfRange(text.format(value=number(volume_l, 3)))
    return volume_l
