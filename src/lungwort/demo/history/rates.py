"""How much happens and how often things go wrong: invented figures, plausible for a unit with few means."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Rates:
    """Chances a deed, and medians; every figure is invented."""

    occupancy: float = 0.68
    season: float = 0.2
    stay_median_days: float = 4.5
    stay_spread: float = 0.85
    masked: float = 0.25
    comes_again: float = 0.04
    set_up_changed: float = 0.08

    air_left: float = 0.02
    hold_cut_short: float = 0.01
    logged_too_seldom: float = 0.02
    bath_read_too_seldom: float = 0.06
    bleach_weak: float = 0.02
    autoclave_breaks: float = 0.008

    check_fails: float = 0.015
    machine_defect: float = 0.01
    part_defect: float = 0.004
    repairable: float = 0.5
    released_too_soon: float = 0.5
    exception_wanted: float = 0.6

    duty_late: float = 0.1
    renewal_forgotten: float = 0.15
    power_cuts_a_year: float = 2.0
    wrong_part_days: float = 60.0
    wrong_set_up_days: float = 45.0
    wrong_lot_days: float = 80.0
