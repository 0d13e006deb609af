"""A verdict on the terminal: the word first, then the curve, then what it rests on."""

from __future__ import annotations

import numpy as np

from lungwort import __version__
from lungwort.cli.curve import curve
from lungwort.cli.layout import bold, indented, say, width
from lungwort.evidence.log import Log
from lungwort.evidence.verdict import ChannelFigures, CriterionVerdict, Finding, HeatVerdict, Outcome, Verdict
from lungwort.evidence.verdict_words import gate_words, outcome_meaning, outcome_word, rule_word, with_reason
from lungwort.evidence.view import View
from lungwort.language import _, number
from lungwort.wording import duration, moment, value_and_limit

SHAPES = {Outcome.PASSED: "■", Outcome.FAILED: "✕", Outcome.NOT_SHOWN: "○"}
RULE_COLUMN = 18
COLUMNS_FROM = 60  # on a narrower terminal findings and names are set under their label, not beside it


def show(verdict: Verdict, *, everything: bool = True) -> None:
    """Print a verdict; without `everything` only the verdict, the curve and the findings."""
    _show_outcome(verdict)
    if isinstance(verdict, HeatVerdict):
        _show_curve(verdict)
    for judged in verdict.criteria:
        _show_criterion(judged)
    if everything:
        if isinstance(verdict, HeatVerdict):
            _show_channels(verdict)
        _show_others(verdict)
        _show_list(_("Assumed"), verdict.assumptions)
        _show_list(_("Cautions"), cautions(verdict))


def cautions(verdict: Verdict) -> tuple[str, ...]:
    """Return the cautions that go with a verdict on the terminal."""
    return (
        _(
            "A proof speaks only of what was measured, where it was measured; not of cleaning, packing or drying."
        ),
        _("The maker's instructions, local codes and licensed practice come first."),
        gate_words(verdict),
    )


def _show_outcome(verdict: Verdict) -> None:
    what = title(verdict.log) if isinstance(verdict, HeatVerdict) else _("a record by hand")
    word = f"{SHAPES[verdict.outcome]} {outcome_word(verdict.outcome).upper()}"
    say(indented(what, f"{word}   ", "  ").replace(word, bold(word), 1))
    say(indented(outcome_meaning(verdict.outcome, verdict.confidence), "  "))
    say("")


def title(log: Log) -> str:
    """Return what was judged: the file or the hand readings, and when they began."""
    name = log.file_name or _("readings by hand")
    return f"{name}, {moment(log.started)}" if log.started else name


def _show_curve(verdict: HeatVerdict) -> None:
    view = View(verdict.log, verdict.circumstances)
    if not verdict.log.temperatures or len(view.elapsed_s) < 2:
        return
    lines = curve(view.elapsed_s, view.coldest_c, _marks(verdict), width() - 12)
    length = duration(float(np.ptp(view.elapsed_s)))
    say("\n".join(lines))
    say(
        indented(
            _("coldest channel in °C, over {length}; dotted: the limits").format(length=length),
            " " * 8,
        )
    )
    say("")


def _marks(verdict: HeatVerdict) -> list[float]:
    marks: set[float] = set()
    for limit in (limit for c in verdict.criteria for limit in c.criterion.limits):
        if limit.rule == "hold":
            marks.update(x for x in (limit.at_least, limit.at_most) if x is not None)
        elif limit.rule == "a0" and limit.floor_c is not None:
            marks.add(limit.floor_c)
    return sorted(marks)


def _show_criterion(judged: CriterionVerdict) -> None:
    head = f"{SHAPES[judged.outcome]} {bold(judged.criterion.name)}: {outcome_word(judged.outcome).lower()}"
    say(head)
    about = f"{judged.criterion.title} · {judged.criterion.tradition} · {_('basis')}: {judged.basis}"
    say(indented(about, "  "))
    if judged.adopted:
        say(indented(judged.adopted, "  "))
    for found in judged.findings:
        _show_finding(found)
    say("")


def _show_finding(found: Finding) -> None:
    shape = SHAPES[found.outcome] if found.required else "·"
    label, rest = _places(f"  {shape} ", rule_word(found.rule))
    says = found.says if found.required else found.says + " " + _("(For information.)")
    say(indented(says, label, rest))
    if found.outcome is not Outcome.PASSED and found.value is not None:
        value, limit = value_and_limit(found.value, found.limit, found.unit)
        words = _("{value} against {limit}; {source} [{basis}]")
        text = words.format(value=value, limit=limit, source=found.source, basis=found.basis)
        say(indented(text, rest))


def _places(shape: str, rule: str) -> tuple[str, str]:
    """Return what stands before a finding's first line and before the others: a column, where there is room."""
    if width() < COLUMNS_FROM:
        return f"{shape}{rule}: ", "    "
    return f"{shape}{rule:<{RULE_COLUMN - 4}} ", " " * (RULE_COLUMN + 1)


def _show_channels(verdict: HeatVerdict) -> None:
    _say_head(_("Channels (best estimate, and what is shown at least)"))
    for figures in verdict.channels:
        say(indented(_figures(verdict, figures), f"  {figures.name}: ", "    "))
    say("")


def _figures(verdict: HeatVerdict, figures: ChannelFigures) -> str:
    processes = {c.criterion.process for c in verdict.criteria}
    parts = [_("highest {top} °C").format(top=number(figures.max_c))]
    if "hot water" in processes:
        text = _("A0 {best} s, at least {low}")
        parts.append(text.format(best=number(figures.a0_s, 0), low=number(figures.a0_low_s, 0)))
    if "steam" in processes:
        text = _("F0 {best} min, at least {low}")
        parts.append(text.format(best=number(figures.f0_min, 1), low=number(figures.f0_low_min, 1)))
    parts.append(_("{count} readings").format(count=figures.readings))
    return "; ".join(parts)


def _show_others(verdict: Verdict) -> None:
    if not verdict.others:
        return
    _say_head(_("What other published rules would say of the same evidence"))
    for outcome in Outcome:
        names = [with_reason(c, c.criterion.name) for c in verdict.others if c.outcome is outcome]
        if names:
            _show_names(f"  {SHAPES[outcome]} {outcome_word(outcome).lower()}: ", ", ".join(names))
    say("")


def _show_names(label: str, names: str) -> None:
    if width() < COLUMNS_FROM:
        say(label.rstrip())
        label = "      "
    say(indented(names, label, "      "))


def _show_list(head: str, sentences: tuple[str, ...]) -> None:
    if not sentences:
        return
    _say_head(head)
    for sentence in sentences:
        say(indented(sentence, "  - ", "    "))
    say("")


def _say_head(text: str) -> None:
    say("\n".join(bold(line) for line in indented(text, "").splitlines()))


def signature(verdict: Verdict) -> str:
    """Return the line that ties the text to its file and its software."""
    sha256 = verdict.log.sha256 if isinstance(verdict, HeatVerdict) else ""
    return indented((f"SHA-256 {sha256[:16]}…, " if sha256 else "") + f"lungwort {__version__}", "")
