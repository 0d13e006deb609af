"""What a person typed for a proof, turned into criteria, declarations and readings."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from lungwort.errors import LungwortError, UnknownName
from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.evidence.log import Log, PressureKind
    from lungwort.evidence.reading import Declared
    from lungwort.evidence.verdict import Verdict
    from lungwort.library.criteria import Criterion

WRITTEN = ("chemical", "drying")  # processes proved from a record by hand, not from a log


def criteria_named(names: list[str] | None) -> list[Criterion]:
    """Return the criteria by name, each once."""
    from lungwort.library.catalogue import find_criterion

    if not names:
        text = _(
            "no criterion was named; say what must be shown with --criterion, such as A0-600 for hot water or "
            "steam-134C-3min for an autoclave; `lungwort criteria` lists them all"
        )
        raise unusable(text)
    return [find_criterion(name) for name in dict.fromkeys(names)]


def units(texts: list[str] | None) -> dict[str, str]:
    """Turn ["C", "P1=kPa"] into {"": "C", "P1": "kPa"}."""
    pairs = [text.rpartition("=") for text in texts or ()]
    return {name.strip(): unit.strip() for name, _equals, unit in pairs}


def pressure_kind(gauge: bool, absolute: bool) -> PressureKind | None:
    """Return what the two options say of the log's pressure."""
    if gauge and absolute:
        raise unusable(_("--gauge and --absolute exclude each other; give the one that the instrument shows"))
    return "gauge" if gauge else "absolute" if absolute else None


def one_of(option: str, value: str | None, allowed: tuple[str, ...]) -> Any:
    """Return an option's value where it is one of the allowed."""
    if value is not None and value not in allowed:
        text = _("{option} {value!r} is not known; give one of {allowed}")
        raise unusable(text.format(option=option, value=value, allowed=", ".join(allowed)))
    return value


def check_zone(name: str | None) -> None:
    """Refuse a time zone that does not exist, whether or not the evidence has dates that need it."""
    if name is not None:
        from lungwort.evidence.reading.zones import zone_of

        zone_of(name)


def unusable(text: str) -> LungwortError:
    """Return the error for options that cannot be used."""
    return UnknownName(text)


def written_process(criteria: Sequence[Criterion]) -> str | None:
    """Return the process where the criteria are of one that is proved from a record by hand; None for heat.

    Raises UnknownName where the criteria are of different kinds of evidence.
    """
    processes = {c.process for c in criteria}
    written = processes & set(WRITTEN)
    if written and len(processes) > 1:
        text = _("the criteria ask for different evidence ({processes}); prove them one at a time")
        raise unusable(text.format(processes=", ".join(sorted(processes))))
    return written.pop() if written else None


def judged_record(
    path: Path | None, hand: list[str] | None, process: str, criteria: Sequence[Criterion]
) -> Verdict:
    """Return the verdict on a soak or on a part's weights, from lines written by hand."""
    if path is not None or not hand:
        text = _(
            "a {process} criterion is proved from lines written by hand; give them with --hand, and no file"
        )
        raise unusable(text.format(process=process))
    if process == "chemical":
        from lungwort.evidence.soak import judge_soak_lines

        return judge_soak_lines(hand, criteria)
    from lungwort.evidence.dryness import judge_dryness, read_weights

    return judge_dryness(read_weights(hand), criteria)


def readings(path: Path | None, hand: list[str] | None, declared: Declared, criteria: list[Criterion]) -> Log:
    """Return the log to judge, from a file or from readings by hand."""
    from lungwort.cli.progress import progress_bar
    from lungwort.evidence.reading import read_hand, read_log

    if (path is None) == (not hand):
        raise unusable(_("give either a log file or readings with --hand, one of the two"))
    if path is None:
        return read_hand(hand or [], _unit_of_hand(declared))
    with progress_bar(path) as advance:
        log = read_log(path, declared, advance)
    if any(c.process == "steam" for c in criteria):
        return _ask_pressure_kind(log)
    return log


def _unit_of_hand(declared: Declared) -> str:
    if "" in declared.units:
        return declared.units[""]
    raise unusable(_("no unit is given for the readings by hand; say --unit C (or F, K)"))


def _ask_pressure_kind(log: Log) -> Log:
    """Ask a person at a terminal what the file does not say; elsewhere leave it undeclared, so nothing is guessed."""
    from dataclasses import replace

    unknown = [c for c in log.pressures if c.pressure_kind is None]
    if not unknown or not sys.stdin.isatty():
        return log
    kinds: dict[str, PressureKind] = {"g": "gauge", "a": "absolute"}
    question = _("Is the pressure in column {name} gauge (0 in open air) or absolute? [g/a]")
    answer = ""
    while answer[:1].lower() not in kinds:
        answer = str(typer.prompt(question.format(name=unknown[0].name), err=True))
    kind = kinds[answer[0].lower()]
    channels = tuple(replace(c, pressure_kind=kind) if c in unknown else c for c in log.channels)
    said = _("The person at the terminal said that the pressure is {kind}.").format(kind=kind)
    return replace(log, channels=channels, assumptions=(*log.assumptions, said))
