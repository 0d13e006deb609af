"""Who comes to be ventilated, when, in which way and for how long."""

from __future__ import annotations

from datetime import timedelta
from math import cos, exp, pi

from lungwort.demo.history.agenda import Process
from lungwort.demo.history.bedside import stay
from lungwort.demo.history.unit import BY_MASK, BY_TUBE, Unit

YEAR_DAYS = 365.25
LONGEST_DAYS = 60.0
WARDS = {"tube": "ICU", "mask": "High care"}


def admissions(unit: Unit) -> Process:
    """Let patients come one by one: a Poisson process whose rate goes with the season, thinned from its highest."""
    rates = unit.rates
    mean_days = rates.stay_median_days * exp(rates.stay_spread**2 / 2)
    a_day = unit.size.beds * rates.occupancy / mean_days
    while True:
        yield unit.days(1.0 / (a_day * (1 + rates.season)))
        season = 1 + rates.season * cos(2 * pi * unit.agenda.day / YEAR_DAYS)
        if unit.happens(season / (1 + rates.season)):
            _admit(unit)


def _admit(unit: Unit) -> None:
    if len(unit.in_use) >= unit.size.beds:
        unit.counts["turned away: no bed"] += 1
        return
    by_mask = unit.happens(unit.rates.masked)
    drawn = unit.chance.lognormvariate(0.0, unit.rates.stay_spread) * unit.rates.stay_median_days
    days = min(max(drawn, 0.2), LONGEST_DAYS) * (0.6 if by_mask else 1.0)
    kinds, ward = (BY_MASK, WARDS["mask"]) if by_mask else (BY_TUBE, WARDS["tube"])
    unit.counts["admissions"] += 1
    unit.agenda.begin(stay(unit, _reference(unit), ward, kinds, days), timedelta(minutes=1))


def _reference(unit: Unit) -> str:
    """Return the hospital's reference of a patient: a new one, or that of somebody who comes again."""
    here = {used.patient for used in unit.in_use.values()}
    gone = [reference for reference in unit.patients if reference not in here]
    if gone and unit.happens(unit.rates.comes_again):
        return unit.chance.choice(gone)
    unit.patients.append(f"R-{len(unit.patients) + 101:04}")
    return unit.patients[-1]
