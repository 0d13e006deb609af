"""`lungwort look-back`: who was exposed, through which parts, what is still out, and what is not shown."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.cli.options import AsJson
from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.records.look_back.question import Question
    from lungwort.records.look_back.result import LookBack

_FROM = _("Where to begin: one of these")
_LEAST = timedelta.resolution


def _begin(name: str, metavar: str, about: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(name, metavar=metavar, help=about, rich_help_panel=_FROM)
    return option


Database = Annotated[str, typer.Argument(help=_("The records: a file, or postgres://user@host/name."))]
Cycle = Annotated[str | None, _begin("--cycle", "CODE", _("A cycle that failed, or whose proof is doubted."))]
Indicator = Annotated[
    str | None,
    _begin("--positive-indicator", "CYCLE", _("The cycle whose biological indicator showed growth.")),
]
Equipment = Annotated[str | None, _begin("--equipment", "CODE", _("An autoclave or bath that was faulty."))]
Batch = Annotated[str | None, _begin("--batch", "CODE", _("A batch of a chemical that was wrong."))]
Part = Annotated[str | None, _begin("--part", "CODE", _("A part that was defective."))]
Patient = Annotated[str | None, _begin("--patient", "REF", _("A patient with an infection, by reference."))]
Since = Annotated[
    str | None,
    typer.Option("--since", metavar="TIME", help=_("From this moment: 2026-11-25 or '2026-11-25 14:00'.")),
]
Until = Annotated[
    str | None, typer.Option("--until", metavar="TIME", help=_("Up to this moment, or the end of this day."))
]
SameWard = Annotated[
    bool,
    typer.Option("--same-ward", help=_("With --patient: list who was in the ward at the same time, too.")),
]
PlaceName = Annotated[
    str | None, typer.Option("--place", metavar="NAME", help=_("The place, where there are several."))
]
Pdf = Annotated[
    Path | None, typer.Option("--pdf", metavar="FILE", help=_("Write the report for the committee."))
]


def look_back(
    database: Database,
    cycle: Cycle = None,
    positive_indicator: Indicator = None,
    equipment: Equipment = None,
    batch: Batch = None,
    part: Part = None,
    patient: Patient = None,
    since: Since = None,
    until: Until = None,
    same_ward: SameWard = False,
    place: PlaceName = None,
    as_json: AsJson = False,
    pdf: Pdf = None,
) -> None:
    """Find what is still out, and who was exposed, after a failed cycle, a wrong batch, a defect or an infection.

    Exit code 0: no exposure is recorded, and nothing as still out. 1: there is. 2: it cannot be asked.

    lungwort look-back hospital.db --cycle C-NDJP42-Y

    lungwort look-back hospital.db --patient R-0301 --since 2026-11-01 --same-ward --pdf report.pdf
    """
    from lungwort.records.chain.seal import seal, seal_line
    from lungwort.records.connect import connect
    from lungwort.records.look_back.ask import look_back as ask

    begins = {
        "failed cycle": cycle,
        "positive indicator": positive_indicator,
        "faulty equipment": equipment,
        "wrong batch": batch,
        "defective part": part,
        "infected patient": patient,
    }
    question = question_typed(begins, since, until, same_ward)
    store = connect(database, read_only=True)
    with store.snapshot():
        answer = ask(store.view(place_named(store.places(), place), _now), question)
        sealed = seal_line(seal(store, answer.place))
    if pdf is not None:
        _print_report(answer, sealed, pdf)
    _say_json(answer, sealed) if as_json else _show(answer)
    raise typer.Exit(1 if answer.exposures or answer.still_out else 0)


def _now() -> datetime:
    return datetime.now().astimezone()


# ---- what was asked ----


def question_typed(
    begins: Mapping[str, str | None], since: str | None, until: str | None, same_ward: bool
) -> Question:
    """Return the question that was typed; LungwortError where it has no beginning, several, or a needless option."""
    from lungwort.records.look_back.question import Question

    given = [(kind, code) for kind, code in begins.items() if code is not None]
    if len(given) != 1:
        names = "--cycle, --positive-indicator, --equipment, --batch, --part, --patient"
        raise _refused(
            _("name one beginning, not {count}: one of {names}").format(count=len(given), names=names)
        )
    kind, code = given[0]
    if not code.strip():
        raise _refused(_("no code is given; give the one on the label, or the patient's reference"))
    if (since or until) and kind not in ("faulty equipment", "defective part", "infected patient"):
        raise _refused(_("--since and --until belong to --equipment, --part or --patient; leave them out"))
    if same_ward and kind != "infected patient":
        raise _refused(_("--same-ward belongs to --patient; leave it out"))
    begin, end = moment_typed(since, "--since"), moment_typed(until, "--until", to_its_end=True)
    if begin and end and begin > end:
        text = _("--since {since} is later than --until {until}; nothing lies between them, exchange the two")
        raise _refused(text.format(since=since, until=until))
    question: Question = Question(kind, _written(kind, code.strip()), begin, end, same_ward)  # type: ignore[arg-type]
    return question


def _written(kind: str, code: str) -> str:
    """Return a code of ours as it is printed, however it was typed; a patient's reference and a tag as they are."""
    from lungwort.records.codes.own import is_own, read_code

    return read_code(code) if kind != "infected patient" and is_own(code) else code


def moment_typed(text: str | None, option: str, to_its_end: bool = False) -> str:
    """Return a moment typed in the machine's zone as events write it, "" where none was.

    Pages tell moments to the minute: with `to_its_end` a minute counts to its end, and a day.
    """
    from lungwort.errors import OutOfRange
    from lungwort.records.chain.identity import moment_text

    if text is None:
        return ""
    try:
        moment, whole = _moment_and_span(text.strip())
        return moment_text((moment + (whole if to_its_end else timedelta())).astimezone())
    except (ValueError, OverflowError) as error:
        says = _("{option} {text!r} is no moment; write 2026-11-25 or '2026-11-25 14:00'")
        raise OutOfRange(says.format(option=option, text=text)) from error


def _moment_and_span(text: str) -> tuple[datetime, timedelta]:
    """Return the moment at which what was typed begins, and how long it lasts: a day, a minute or a second."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        moment = datetime.fromisoformat(text)
        return moment, timedelta(seconds=1 if moment.second else 60) - _LEAST
    return datetime(day.year, day.month, day.day), timedelta(days=1) - _LEAST


def place_named(places: list[str], asked: str | None) -> str:
    """Return the place asked for, or the only one; LungwortError where that is not clear."""
    if asked is None and len(places) == 1:
        return places[0]
    if asked in places:
        return str(asked)
    if not places:
        raise _refused(_("nothing is recorded in these records yet, so nobody can look back in them"))
    raise _refused(_("name the place by --place: {places}").format(places=", ".join(places)))


def _refused(text: str) -> Exception:
    from lungwort.errors import UnknownName

    return UnknownName(text)


# ---- what is told ----


def _say_json(answer: LookBack, sealed: str) -> None:
    from lungwort.cli.layout import say_json
    from lungwort.records.look_back.plain_data import look_back_data

    say_json({**look_back_data(answer), "seal": sealed})


def _show(answer: LookBack) -> None:
    from lungwort.cli.layout import bold, heading, indented, say
    from lungwort.records.look_back.sections import sections
    from lungwort.records.look_back.words import headline, moment_words, question_words, summary

    mark = "✕" if answer.still_out else "·"
    say("\n".join(map(bold, indented(headline(answer).upper(), f"{mark} ", "  ").splitlines())))
    place = _("{place}, as recorded up to {moment}").format(
        place=answer.place, moment=moment_words(answer.at, None)
    )
    for text in (question_words(answer.question, None), place, summary(answer)):
        say(indented(text, "  "))
    say(indented(_("Confidential: this names patients by reference."), "  ") + "\n")
    for section in sections(answer, None):
        say(heading(section.heading))
        for entry in section.entries:
            say(indented(entry.says, "  - ", "    "))
            for detail in entry.details:
                say(indented(detail, "    "))
        say()


def _print_report(answer: LookBack, sealed: str, path: Path) -> None:
    from lungwort.paper.look_back import write_look_back
    from lungwort.records.look_back.report import report_data

    made_at = _now()
    write_look_back(report_data(answer, sealed, made_at, None), path, made_at)
