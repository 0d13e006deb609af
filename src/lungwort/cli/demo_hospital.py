"""The second half of `lungwort demo`: a hospital's records, how it stands now, and the failure planted in them."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.demo.history.folder import Hospital
    from lungwort.demo.history.planted import Planted
    from lungwort.records.look_back.result import LookBack
    from lungwort.records.states.view import View

REPORT = "look-back.pdf"


def show_hospital(folder: Path, years: float, number: int) -> None:
    """Write the hospital into a folder, show it, look back from its planted failure, and say what to try.

    Raises typer.Exit with 1 where the look-back does not find exactly those who were exposed.
    """
    from lungwort.cli.layout import heading, indented, say
    from lungwort.demo.history.folder import make_hospital
    from lungwort.records.connect import connect, disconnect

    say(heading(_("{n}. A hospital with its history behind it").format(n=number)))
    say(indented(_("Recording it deed by deed, as its people would have; this takes a while."), "  "))
    now = datetime.now(UTC)
    with _progress(_("Recording")) as told:
        made = make_hospital(folder, now, years=years, told=told)
    _say_left_alone(made)
    try:
        view = connect(made.path, read_only=True).view(made.history.place, lambda: now)
        _say_counts(made)
        _say_standing(view)
        exact = made.history.planted is None or _look_back(view, made, made.history.planted, now)
    finally:
        disconnect(made.path, read_only=True)
    _say_what_to_try(made)
    if not exact:
        raise typer.Exit(1)


@contextmanager
def _progress(text: str) -> Iterator[Callable[[float], None] | None]:
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(text, total=1.0)
        yield lambda share: progress.update(task, completed=share)


def _tell(text: str, **words: object) -> None:
    from lungwort.cli.layout import indented, say

    say(indented(text.format(**words), "  "))


# ---- the hospital ----


def _say_left_alone(made: Hospital) -> None:
    if made.instead_of is not None:
        text = _(
            "{old} is left alone, since more was recorded in it than the demonstration did; this one is {new}."
        )
        _tell(text, old=made.instead_of.name, new=made.path.name)


def _say_counts(made: Hospital) -> None:
    from lungwort.wording import day

    counts, history = made.history.counts, made.history
    text = _(
        "{file}: {events} events from {began} to {ended}. {admissions} admissions; {cycles} cycles: {passed} passed, "
        "{failed} failed, {not_shown} not shown; {exceptions} released by exception; {late} entered late after power "
        "cuts; {mended} entries corrected or struck."
    )
    _tell(
        text,
        file=made.path.name,
        events=counts["events"],
        began=day(history.began),
        ended=day(history.ends),
        admissions=counts.get("admissions", 0),
        cycles=counts.get("cycles", 0),
        **_outcomes(counts),
        exceptions=counts.get("exceptions", 0),
        late=counts.get("entered late", 0),
        mended=counts.get("struck", 0) + counts.get("corrected", 0),
    )


def _outcomes(counts: Mapping[str, int]) -> dict[str, int]:
    words = ("passed", "failed", "not shown")
    return {word.replace(" ", "_"): counts.get(f"cycles: {word}", 0) for word in words}


def _say_standing(view: View) -> None:
    from lungwort.cli.layout import say
    from lungwort.demo.history.present import held, standing
    from lungwort.records.life.held import hold_words

    say()
    names = {"machines": _("Machines"), "parts": _("Parts"), "packets": _("Single-patient packets")}
    for which, found in standing(view).items():
        text = _("{what} now: {use} in use, {ready} ready, {way} in turnaround, {held} quarantined.")
        _tell(
            text,
            what=names[which],
            use=found["in use"],
            ready=found["ready"],
            way=found["on the way"],
            held=found["held"],
        )
    for state in held(view):
        why = "; ".join(map(hold_words, state.held))
        _tell(_("Quarantined: {code}, {kind}: {why}"), code=state.code, kind=state.of_kind, why=why)
    say()


# ---- its failure ----


def _look_back(view: View, made: Hospital, planted: Planted, now: datetime) -> bool:
    """Tell the failure, look back from it, print the report; return whether exactly the exposed were found."""
    from lungwort.cli.layout import say
    from lungwort.records.look_back.ask import look_back
    from lungwort.records.look_back.question import failed_cycle

    _say_story(view, planted)
    answer = look_back(view, failed_cycle(planted.cycle))
    _say_answer(answer)
    exact = answer.patients == planted.patients
    _tell(
        _("These are exactly the patients whom the simulation knows to have met that load.")
        if exact
        else _(
            "The simulation knows others to have met that load: {patients}. That is a fault; please tell us."
        ),
        patients=", ".join(planted.patients) or "–",
    )
    _print_report(answer, made, now)
    say()
    return exact


def _say_story(view: View, planted: Planted) -> None:
    from lungwort.records.look_back.words import moment_words
    from lungwort.records.states.kinds import CycleState

    facts = list(view.facts("cycle", planted.cycle))
    read = next(f for f in facts if f.data.get("result") == "positive")
    state = view.state(CycleState, planted.cycle)
    text = _(
        "Then it happened. Cycle {cycle} passed by its log on {ran}; its {n} parts were released and "
        "used. On {read} its biological indicator showed growth, and it was judged again: {outcome}."
    )
    _tell(
        text,
        cycle=planted.cycle,
        ran=moment_words(state.ended_at if state else ""),
        n=len(planted.parts),
        read=moment_words(read.at),
        outcome=state.outcome if state else "",
    )


def _say_answer(answer: LookBack) -> None:
    from lungwort.records.look_back.words import headline, summary

    text = _("Looked back: {summary} {patients}. {headline}.")
    patients = ", ".join(answer.patients) or _("Nobody")
    _tell(text, summary=summary(answer), patients=patients, headline=headline(answer))


def _print_report(answer: LookBack, made: Hospital, now: datetime) -> None:
    from lungwort.paper.look_back import write_look_back
    from lungwort.records.look_back.report import report_data

    path = made.path.with_name(REPORT)
    write_look_back(report_data(answer, made.seal, now, None), path, now)
    _tell(_("Report for the committee: {name}"), name=path.name)


# ---- what to try ----


def _say_what_to_try(made: Hospital) -> None:
    from lungwort.cli.layout import indented, say

    say(indented(_("Try:"), "  "))
    for command in commands(made):
        say(f"    {command}")
    say()


def commands(made: Hospital) -> list[str]:
    """Return commands worth trying on the hospital, as they are typed."""
    path = shlex.quote(str(made.path))
    sealed = shlex.quote(str(made.seal_path))
    found = [f'lungwort records verify {path} --sealed "$(cat {sealed})"']
    if made.history.planted is not None:
        cycle, patients = made.history.planted.cycle, made.history.planted.patients
        found += [f"lungwort look-back {path} --cycle {cycle}"]
        found += [f"lungwort look-back {path} --positive-indicator {cycle}"]
        found += [f"lungwort look-back {path} --patient {patient} --same-ward" for patient in patients[:1]]
    return [*found, f"lungwort records export {path} --form csv --to events.csv"]
