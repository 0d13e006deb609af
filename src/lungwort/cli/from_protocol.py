"""Proving after a protocol: which step the options name, and by which option to say what the protocol leaves open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from lungwort.cli.inputs import criteria_named, unusable
from lungwort.evidence.circumstances import Circumstances
from lungwort.evidence.verdict import HeatVerdict
from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.given import Given, Judged, LeftOpenError, circumstances_given, signed
from lungwort.protocol.kinds import Kind
from lungwort.protocol.proving import criteria_of, in_words, kind_named, treat_steps
from lungwort.protocol.reading import read_protocol


def task_of(
    path: Path,
    part: str | None,
    step: int | None,
    named: Sequence[str] | None,
    today: date,
    air: bool,
    thermometer: bool,
) -> Given:
    """Return what a protocol gives to the proof of a treat step, by the criteria named or else its own.

    `air` and `thermometer` say whether those of the protocol are to be taken.
    """
    protocol = read_protocol(path).protocol
    kind = _kind(protocol, part)
    place = _place(kind, step)
    with _options_said():
        criteria = tuple(criteria_named(list(named or criteria_of(kind, place))))
    whose = _("{kind}, step {n}").format(kind=kind.name, n=place)
    return Given(protocol, criteria, kind.steps[place - 1].equipment, today, whose, air, thermometer)


def _kind(protocol: Protocol, part: str | None) -> Kind:
    if part is None:
        text = _("say of which kind of part with --part; the protocol has: {names}")
        raise unusable(text.format(names="; ".join(kind.name for kind in protocol.kinds)))
    return kind_named(protocol, part)


def _place(kind: Kind, asked: int | None) -> int:
    """Return the place of the step to be proved, counted from 1."""
    treats = {n: step for n, step in treat_steps(kind).items() if step.process != "wipe"}
    if not treats:
        text = _("no step treats {kind} with steam, hot water or a soak, so there is nothing to prove")
        raise unusable(text.format(kind=kind.name))
    if asked is None and len(treats) > 1:
        text = _("several steps treat {kind}; say which with --step: {steps}")
        raise unusable(text.format(kind=kind.name, steps=in_words(treats)))
    if asked is not None and asked not in treats:
        text = _("step {n} of {kind} treats nothing; give one of these with --step: {steps}")
        raise unusable(text.format(n=asked, kind=kind.name, steps=in_words(treats)))
    return asked or next(iter(treats))


def known_here(given: Given, typed: Circumstances) -> Circumstances:
    """Return the circumstances with what the protocol knows, where nothing was typed."""
    with _options_said():
        return circumstances_given(given, typed)


def signed_here(given: Given, verdict: Judged) -> Judged:
    """Return a verdict that says what is adopted and what was taken, the calibration judged on the log's own day."""
    started = verdict.log.started if isinstance(verdict, HeatVerdict) else None
    return signed(given, verdict, given.on if started is None else started.date())


@contextmanager
def _options_said() -> Iterator[None]:
    """Say by which option a person can settle what the protocol leaves open."""
    try:
        yield
    except LeftOpenError as error:
        says = {"criterion": _("{says}, or give --criterion"), "thermometer": _("{says}, with --sensor")}
        raise unusable(says[error.what].format(says=error)) from error
