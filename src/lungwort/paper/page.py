"""The words and numbers of the certificate as plain data, in the order in which the page shows them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from lungwort import __version__
from lungwort.evidence.log import Log
from lungwort.evidence.verdict import ChannelFigures, CriterionVerdict, Finding, HeatVerdict, Outcome
from lungwort.evidence.verdict_words import gate_words, outcome_meaning, outcome_word, rule_word, with_reason
from lungwort.language import _, language, number
from lungwort.library.criteria import Process
from lungwort.paper.chart import description
from lungwort.paper.printing import rewritten_names
from lungwort.paper.series import low_bound, process_of, scene
from lungwort.paper.shortening import shortened, shortened_apart
from lungwort.wording import duration, moment, percent, tied, value_and_limit

NAME_LENGTH = 32
FILE_LENGTH = 72
SAYS_LENGTH = 320
SENTENCE_LENGTH = 240
GRAVITY = {Outcome.FAILED: 0, Outcome.NOT_SHOWN: 1, Outcome.PASSED: 2}


def page_data(ready: HeatVerdict, written: HeatVerdict, made_at: datetime) -> dict[str, Any]:
    """Return all that the template prints.

    `ready` is the verdict in printable letters, `written` the same as it came, `made_at` the moment printed.
    """
    return {
        "language": language()[:2],
        "title": _("Proof of a cycle"),
        "software": f"Lungwort {__version__}",
        "made": moment(made_at),
        "date": {"year": made_at.year, "month": made_at.month, "day": made_at.day},
        "outcome": str(ready.outcome),
        "verdict": outcome_word(ready.outcome),
        "meaning": outcome_meaning(ready.outcome, ready.confidence),
        "criteria": [_criterion(c) for c in _gravest_first(ready)],
        "chart_alt": description(ready, scene(ready)),
        "findings": _findings(ready),
        "channel_heads": _channel_heads(ready),
        "channels": _channels(ready),
        "others": _others(ready.others),
        "assumptions": [tied(shortened(a, SENTENCE_LENGTH)) for a in ready.assumptions],
        "evidence": _evidence(ready),
        "sha": ready.log.sha256 or "–",
        "cautions": _cautions(ready),
        "rewritten": _rewritten(written),
        "signature": [_("Name"), _("Role"), _("Date"), _("Signature")],
        "words": _words(),
    }


def _words() -> dict[str, str]:
    return {
        "criterion": _("Criterion"),
        "course": _("Course"),
        "findings": _("Findings"),
        "figures": _("Lethality"),
        "others": _("Other rules"),
        "assumed": _("Assumed"),
        "evidence": _("Evidence"),
        "cautions": _("Cautions"),
        "letters": _("Letters"),
        "signed": _("Signed"),
        "rule": _("rule"),
        "found": _("what was found, by which source"),
        "value": _("found"),
        "limit": _("limit"),
        "sha": _("SHA-256"),
        "more": _("and {count} more, see the JSON"),
        "no_criteria": _("No criterion was asked for."),
        "no_findings": _("There are no findings."),
        "no_channels": _("There is no temperature channel."),
        "no_room": _("The curve found no room on this page; see the chart."),
    }


def _criterion(judged: CriterionVerdict) -> dict[str, str]:
    criterion = judged.criterion
    text = _("Tradition: {tradition}. Basis: {basis}. For: {scope}.")
    says = text.format(tradition=criterion.tradition, basis=_(str(judged.basis)), scope=criterion.scope)
    return {
        "title": shortened(criterion.title, 90),
        "name": shortened(criterion.name, 40),
        "says": shortened(says, SENTENCE_LENGTH),
        "outcome": str(judged.outcome),
        "word": outcome_word(judged.outcome),
    }


def _findings(verdict: HeatVerdict) -> list[dict[str, Any]]:
    """Return the findings by criterion, the gravest first; `rank` says which stay when the page must cut."""
    grouped = [
        (c.criterion.name, f) for c in _gravest_first(verdict) for f in sorted(c.findings, key=_gravity)
    ]
    order = sorted(range(len(grouped)), key=lambda i: _gravity(grouped[i][1]))
    rank = {i: r for r, i in enumerate(order)}
    return [{**_finding(f), "group": name, "rank": rank[i]} for i, (name, f) in enumerate(grouped)]


def _gravest_first(verdict: HeatVerdict) -> list[CriterionVerdict]:
    return sorted(verdict.criteria, key=lambda c: GRAVITY[c.outcome])


def _gravity(finding: Finding) -> tuple[bool, int]:
    return not finding.required, GRAVITY[finding.outcome]


def _finding(finding: Finding) -> dict[str, Any]:
    value, limit = value_and_limit(finding.value, finding.limit, finding.unit)
    word = outcome_word(finding.outcome)
    if not finding.required:
        word = _("For information, {outcome}").format(outcome=word.lower())
    source = _("{source} ({basis})").format(
        source=shortened(finding.source, 160), basis=_(str(finding.basis))
    )
    return {
        "outcome": str(finding.outcome),
        "required": finding.required,
        "rule": shortened(rule_word(finding.rule), 20),
        "word": word,
        "says": tied(shortened(finding.says, SAYS_LENGTH)),
        "source": source,
        "value": value,
        "limit": limit,
    }


def _channel_heads(verdict: HeatVerdict) -> list[str]:
    first = _("channel, coldest first") if len(verdict.channels) > 1 else _("channel")
    if process_of(verdict) == "hot water":
        heads = [_("A0 proved, s"), _("best estimate, s")]
    else:
        reference = verdict.channels[0].f0_reference_c if verdict.channels else 121.1
        proved = _("F0 at {at} °C proved, min").format(at=number(reference, 1))
        heads = [proved, _("best estimate, min")]
    return [first, *heads, _("highest, °C"), _("readings")]


def _channels(verdict: HeatVerdict) -> list[list[str]]:
    process = process_of(verdict)
    ordered = sorted(
        verdict.channels, key=lambda c: (low_bound(c, process), c.max_c if c.max_c is not None else -math.inf)
    )
    names = shortened_apart([c.name for c in ordered], NAME_LENGTH)
    return [[name, *_channel(c, process)] for name, c in zip(names, ordered, strict=True)]


def _channel(figures: ChannelFigures, process: Process) -> list[str]:
    if process == "hot water":
        lethality = [_figure(figures.a0_low_s), _figure(figures.a0_s)]
    else:
        lethality = [_figure(figures.f0_low_min, 1), _figure(figures.f0_min, 1)]
    return [*lethality, number(figures.max_c, 1), str(figures.readings)]


def _figure(value: float, decimals: int = 0) -> str:
    """Write a figure; one above ten million in powers of ten."""
    if not math.isfinite(value):
        return "–"
    if abs(value) >= 1e7:
        power = math.floor(math.log10(value))
        return f"{_figure(value / 10**power, 2)} × 10^{power}"
    return number(value, decimals)


def _others(others: Iterable[CriterionVerdict]) -> list[dict[str, Any]]:
    """Return the other published rules, those that would fail first, each outcome as one run of names."""
    says = {
        Outcome.FAILED: _("Would fail:"),
        Outcome.NOT_SHOWN: _("Would not be shown:"),
        Outcome.PASSED: _("Would pass:"),
    }
    listed = list(others)
    groups = []
    for outcome in sorted(GRAVITY, key=lambda o: GRAVITY[o]):
        of_it = [c for c in listed if c.outcome == outcome]
        if of_it:
            names = [_other(c) for c in of_it]
            groups.append(
                {"outcome": str(outcome), "says": says[outcome], "names": names, "basis": _bases(of_it)}
            )
    return groups


def _bases(judged: Iterable[CriterionVerdict]) -> str:
    bases = dict.fromkeys(_(str(c.basis)) for c in judged)
    return _("Basis: {bases}.").format(bases=_(" or ").join(bases))


def _other(judged: CriterionVerdict) -> str:
    name, tradition = judged.criterion.name, judged.criterion.tradition
    return with_reason(judged, shortened(name if name.startswith(tradition) else f"{name}, {tradition}", 60))


def _evidence(verdict: HeatVerdict) -> list[tuple[str, str]]:
    log = verdict.log
    sensor = shortened(verdict.circumstances.sensor.says, 60)
    air = verdict.circumstances.air_pressure_kpa
    place = _("air pressure of the place {kpa} kPa").format(kpa=number(air, 1))
    unknown = _("air pressure of the place not given")
    confidence = _("{share}, one-sided; thermometer: {sensor}; {place}")
    return [
        (_("log file"), shortened(log.file_name, FILE_LENGTH) or _("none: readings given by hand")),
        (_("period"), _period(log)),
        (
            _("confidence"),
            confidence.format(
                share=percent(verdict.confidence), sensor=sensor, place=unknown if air is None else place
            ),
        ),
    ]


def _period(log: Log) -> str:
    if not len(log.elapsed_s):
        return "–"
    first, last = float(log.elapsed_s[0]), float(log.elapsed_s[-1])
    text = _("{start} to {end}: {time}, up to {count} readings a channel")
    count = max((c.readings for c in log.channels), default=0)
    start, end = _ends(log, first, last)
    return text.format(start=start, end=end, time=duration(last - first), count=count)


def _ends(log: Log, first_s: float, last_s: float) -> tuple[str, str]:
    if log.started is None:
        return duration(first_s), _("{time} after the start (the log has no clock time)").format(
            time=duration(last_s)
        )
    start, end = (log.started + timedelta(seconds=s) for s in (first_s, last_s))
    return moment(start), f"{end:%H:%M}" if start.date() == end.date() else moment(end)


def _cautions(verdict: HeatVerdict) -> str:
    said = _(
        "A proof speaks only of what was measured, where it was measured. It does not show that the load was "
        "cleaned, packed or dried, nor that the sensors lay at its coldest place. The makers’ instructions and "
        "local codes come first."
    )
    if not verdict.not_adopted:
        return f"{said} {gate_words(verdict)}"
    return f"{said} " + _(
        "It opens no gate until a named, authorised person of the hospital has adopted the criterion with the "
        "hospital’s own source."
    )


def _rewritten(written: HeatVerdict) -> str:
    pairs = rewritten_names(written)
    if not pairs:
        return ""
    text = _("{name} stands for {codes}")
    some = "; ".join(
        text.format(name=shortened(n, NAME_LENGTH), codes=shortened(c, 90)) for n, c in pairs[:3]
    )
    more = _("; and {count} more").format(count=len(pairs) - 3) if len(pairs) > 3 else ""
    return _("Not in this page's typeface, so rewritten: {names}{more}.").format(names=some, more=more)
