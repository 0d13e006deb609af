"""Rules for soaks: each judges one limit of a soak criterion against the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import ceil

from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.soak.record import Soak
from lungwort.evidence.verdict import Finding
from lungwort.language import _, ngettext, number
from lungwort.library.criteria import Limit
from lungwort.wording import days_words, duration

DAY_S = 86_400.0


def judge_strength(soak: Soak, limit: Limit) -> Finding:
    """Judge the weakest measurement, less the method's error, against the least strength; and against the most."""
    if not soak.strengths or limit.at_least is None:
        text = _("No strength was measured: a label or a recipe is no proof. Dip a strip before each soak.")
        return unmeasured(limit, text, limit.at_least)
    weakest = min(soak.strengths, key=lambda reading: reading.low_mg_per_l)
    strongest = max(soak.strengths, key=lambda reading: reading.high_mg_per_l)
    sure, excluded = weakest.low_mg_per_l >= limit.at_least, weakest.high_mg_per_l < limit.at_least
    text = _("The weakest reading, {written} by {method}, means at least {low} mg/L; {asked} asked.").format(
        written=weakest.written,
        method=_(weakest.method),
        low=number(weakest.low_mg_per_l, 0),
        asked=number(limit.at_least, 0),
    )
    if limit.at_most is not None and strongest.high_mg_per_l > limit.at_most:
        text += " " + _("It may be as strong as {high} mg/L; above {most} the rule does not speak.").format(
            high=number(strongest.high_mg_per_l, 0), most=number(limit.at_most, 0)
        )
        sure = False
    return finding(limit, between(sure, excluded), text, weakest.low_mg_per_l, limit.at_least)


def judge_contact(soak: Soak, limit: Limit) -> Finding:
    """Judge the time under the solution, less what coarse times can hide."""
    if soak.contact_s is None or limit.at_least is None:
        return unmeasured(limit, _("Nobody wrote when the parts went in and came out."), limit.at_least)
    surely_s = max(0.0, soak.contact_s - soak.clock_step_s)
    possibly_s = soak.contact_s + soak.clock_step_s
    text = _("Under the solution for {written} min as written, {surely} min for sure; {asked} asked.").format(
        written=number(soak.contact_s / 60), surely=number(surely_s / 60), asked=number(limit.at_least / 60)
    )
    outcome = between(surely_s >= limit.at_least, possibly_s < limit.at_least)
    return finding(limit, outcome, text, surely_s, limit.at_least)


def judge_temperature(soak: Soak, limit: Limit) -> Finding:
    """Judge the coldest and warmest reading of the solution against the use's range."""
    if not soak.temperatures_c or limit.at_least is None:
        return unmeasured(limit, _("The solution's temperature was not read."), limit.at_least)
    coldest, warmest, error = min(soak.temperatures_c), max(soak.temperatures_c), soak.thermometer_error_k
    high = limit.at_most if limit.at_most is not None else float("inf")
    sure = coldest - error >= limit.at_least and warmest + error <= high
    excluded = coldest + error < limit.at_least or warmest - error > high
    text = _("The solution read {coldest} to {warmest} °C (±{error} K); at least {asked} °C asked.").format(
        coldest=number(coldest), warmest=number(warmest), error=number(error), asked=number(limit.at_least)
    )
    if limit.at_most is not None:
        text += " " + _("{most} °C at most.").format(most=number(limit.at_most))
    return finding(limit, between(sure, excluded), text, coldest, limit.at_least)


def judge_age(soak: Soak, limit: Limit) -> Finding:
    """Judge the age of the solution when the parts came out."""
    if soak.age_s is None or limit.at_most is None:
        return unmeasured(limit, _("Nobody wrote when the solution was made."), limit.at_most)
    age_d = soak.age_s / DAY_S
    text = _("The solution was {age} old; {most} at most.").format(
        age=duration(soak.age_s, ceil), most=days_words(limit.at_most * DAY_S)
    )
    return finding(limit, between(age_d <= limit.at_most, age_d > limit.at_most), text, age_d, limit.at_most)


def judge_loads(soak: Soak, limit: Limit) -> Finding:
    """Judge how many loads the solution has served."""
    if soak.loads is None or limit.at_most is None:
        return unmeasured(limit, _("Nobody wrote how many loads the solution has served."), limit.at_most)
    text = _("This was load {count} of the solution; {most} at most.").format(
        count=soak.loads, most=number(limit.at_most, 0)
    )
    met = soak.loads <= limit.at_most
    return finding(limit, between(met, not met), text, float(soak.loads), limit.at_most)


def judge_rinse(soak: Soak, limit: Limit) -> Finding:
    """Judge the water and the number of rinses; tap water after a soak brings back what the soak killed.

    Water that the agent allows only where something else follows is neither enough nor excluded.
    """
    times = limit.at_least or 0.0
    if times == 0:
        return finding(limit, between(True, False), _("No rinse is asked for."), None, times)
    if soak.rinse_water is None or soak.rinses is None:
        return unmeasured(
            limit, _("No rinse was written down. Asked: {water}.").format(water=limit.note), times
        )
    asked, _semicolon, only_where = limit.note.partition(";")
    fit, depends = soak.rinse_water in asked, soak.rinse_water in only_where
    met, excluded = fit and soak.rinses >= times, soak.rinses < times or not (fit or depends)
    text = _("Rinsed {times} with {water} water; asked: {asked}, {least}.").format(
        times=_times(soak.rinses), water=_(soak.rinse_water), asked=limit.note, least=_times(round(times))
    )
    return finding(limit, between(met, excluded), text, float(soak.rinses), times)


def _times(count: int) -> str:
    return ngettext("{count} time", "{count} times", count).format(count=count)


SOAK_RULES: Mapping[str, Callable[[Soak, Limit], Finding]] = {
    "strength": judge_strength,
    "contact": judge_contact,
    "temperature": judge_temperature,
    "age": judge_age,
    "loads": judge_loads,
    "rinse": judge_rinse,
}
