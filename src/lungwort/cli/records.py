"""`lungwort records`: make, verify, seal, back up, restore, write out and rebuild what is recorded."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.cli.help_pages import Command, Group, paragraphs
from lungwort.cli.options import AsJson
from lungwort.language import _, ngettext

if TYPE_CHECKING:
    from lungwort.records.chain.seal import Seal
    from lungwort.records.verify import Fault, Report

Action = Callable[..., None]

app = typer.Typer(
    cls=Group,
    no_args_is_help=True,
    help=_("Make, verify, seal, back up, restore, write out and rebuild what is recorded."),
)

Database = Annotated[
    str,
    typer.Argument(
        help=_("The records: a file, or postgres://user@host/name (password: PGPASSWORD or .pgpass).")
    ),
]
Sealed = Annotated[
    list[str] | None,
    typer.Option("--sealed", metavar="LINE", help=_("A line that `seal` printed, kept outside; repeat.")),
]


def _command(name: str) -> Callable[[Action], Action]:
    """Register a command whose help is its docstring, its paragraphs as they stand."""

    def register(function: Action) -> Action:
        text = "\n\n".join(paragraphs(function.__doc__ or ""))
        return app.command(name, cls=Command, help=text)(function)

    return register


@_command("create")
def create(database: Database) -> None:
    """Make a new database of records, or bring one that an earlier Lungwort wrote up to date.

    What is recorded stays as it is. Back up before you bring records up to date.

    lungwort records create hospital.db
    """
    from lungwort.records.connect import configured, shown
    from lungwort.records.connect import create as make

    says = {
        "made": _("{name} is made; nothing is recorded in it yet."),
        "brought up to date": _("{name} was written by an earlier Lungwort and is up to date now."),
        "up to date": _("{name} is up to date already; nothing was changed."),
    }[make(database)]
    _say(says.format(name=shown(configured(database))))


@_command("verify")
def verify(database: Database, sealed: Sealed = None, as_json: AsJson = False) -> None:
    """Walk every event of every place, and name the first bad one of each; compare the states with the events.

    Without a sealed line kept outside, nobody can tell events that are missing at the end, or a chain that was
    rewritten as a whole.

    Exit code 0: whole. 1: not whole. 2: the records cannot be used.

    lungwort records verify hospital.db

    lungwort records verify hospital.db --sealed "lungwort-seal-1 2026-11-25T11:00:00.000000Z 7 3f... Hill"
    """
    from lungwort.records.connect import connect
    from lungwort.records.verify import verify as report_on

    store = connect(database, read_only=True)
    seals = _seals(sealed)
    report = report_on(store, seals)
    missing = _missing_guards(store.alias)
    if as_json:
        _say_json(report, missing)
    else:
        _show(report, missing)
        _say_what_seals_show(report, seals)
        _say_what_no_seal_shows(report, seals)
    raise typer.Exit(0 if report.whole and not missing else 1)


@_command("seal")
def seal(
    database: Database,
    place: Annotated[
        list[str] | None, typer.Option("--place", help=_("Only this place; repeat. All where none is named."))
    ] = None,
) -> None:
    """Print a line with each place's last sequence and hash, to be kept outside: on paper, or with somebody else.

    Whoever later changes what is recorded up to here cannot make `verify --sealed` agree.

    lungwort records seal hospital.db
    """
    from lungwort.cli.layout import say
    from lungwort.errors import UnusableRecords
    from lungwort.records.chain.seal import seal as sealed_head
    from lungwort.records.chain.seal import seal_line
    from lungwort.records.connect import connect

    store = connect(database, read_only=True)
    places = place or store.places()
    if not places:
        raise UnusableRecords(
            _("nothing is recorded in {where} yet, so there is nothing to seal").format(where=store.where)
        )
    for name in places:
        say(seal_line(sealed_head(store, name)))


@_command("backup")
def backup(
    database: Database, target: Annotated[Path, typer.Argument(help=_("A new file for the backup."))]
) -> None:
    """Back up records while others go on writing; verify the backup by restoring it into a temporary place.

    Records in PostgreSQL are backed up with its own pg_dump; where that is not installed the backup is refused.

    lungwort records backup hospital.db backup-2026-11-25.db
    """
    from lungwort.records.copies.backup import backup as copy

    report = copy(database, target)
    _show(report, [])
    _say_done(report, _("{name} is written, restored into a temporary place and verified."), target.name)
    if not report.whole:
        _say(_("The copy is kept as {name}.not-whole; find out what happened.").format(name=target.name))
    raise typer.Exit(0 if report.whole else 1)


@_command("restore")
def restore(
    source: Annotated[Path, typer.Argument(metavar="BACKUP", help=_("The file that `backup` wrote."))],
    database: Database,
    sealed: Sealed = None,
) -> None:
    """Restore a backup into a new database and verify it; nothing that is there is overwritten.

    lungwort records restore backup-2026-11-25.db hospital.db
    """
    from lungwort.records.connect import connect
    from lungwort.records.copies.backup import restore as put_back

    seals = _seals(sealed)
    report = put_back(source, database, seals)
    missing = _missing_guards(connect(database, read_only=True).alias)
    _show(report, missing)
    _say_what_seals_show(report, seals)
    _say_done(report, _("{name} is restored and verified."), source.name)
    raise typer.Exit(0 if report.whole and not missing else 1)


@_command("export")
def export(
    database: Database,
    form: Annotated[str, typer.Option("--form", metavar="FORM", help=_("csv or json-lines."))] = "json-lines",
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FILE", help=_("A new file; the terminal where none is named.")),
    ] = None,
    evidence: Annotated[
        Path | None,
        typer.Option("--evidence", metavar="FOLDER", help=_("Write the evidence too, into this new folder.")),
    ] = None,
) -> None:
    """Write out every event, as lines of JSON or as CSV.

    lungwort records export hospital.db --form csv --to events.csv --evidence evidence
    """
    from lungwort.errors import UnknownName
    from lungwort.records.connect import connect
    from lungwort.records.copies.export import FORMS, write_evidence, write_file

    if form not in FORMS:
        text = _("--form {form!r} is not known; give {forms}")
        raise UnknownName(text.format(form=form, forms=_(" or ").join(FORMS)))
    store = connect(database, read_only=True)
    if to is None:
        FORMS[form](store, sys.stdout)
    else:
        count = write_file(store, form, to)
        text = ngettext("{count} event is written to {name}.", "{count} events are written to {name}.", count)
        _say(text.format(count=count, name=to.name))
    if evidence is not None:
        count = write_evidence(store, evidence)
        text = ngettext(
            "{count} file of evidence is written.", "{count} files of evidence are written.", count
        )
        print(text.format(count=count), file=sys.stderr)


@_command("rebuild")
def rebuild(database: Database) -> None:
    """Make the states of all things anew from the events, while nobody records; they come to the same bytes.

    Needed only where `verify` says so. What is recorded is not touched.

    lungwort records rebuild hospital.db
    """
    from lungwort.records.connect import connect
    from lungwort.records.projections.rebuild import rebuild as fold_anew

    store = connect(database)
    count = fold_anew(store)
    text = ngettext(
        "The states in {name} are made anew from {count} event.",
        "The states in {name} are made anew from {count} events.",
        count,
    )
    _say(text.format(name=store.where, count=count))


# ---- what is said ----


def _say(text: str) -> None:
    from lungwort.cli.layout import indented, say

    say(indented(text, ""))


def _seals(lines: list[str] | None) -> list[Seal]:
    from lungwort.records.chain.seal import seal_read

    return [seal_read(line) for line in lines or ()]


def _missing_guards(alias: str) -> list[str]:
    from django.db import connections

    from lungwort.records.guards import missing_guards

    return missing_guards(connections[alias])


def _show(report: Report, missing: list[str]) -> None:
    from lungwort.cli.layout import indented, say

    for place in report.heads:
        says, whole = _place_words(report, place)
        say(indented(says, "✓ " if whole else "✕ ", "  "))
    for fault in report.faults:
        say(indented(_fault_words(fault), "✕ ", "  "))
    if missing:
        text = _(
            "the database no longer refuses changes itself; these triggers are missing or switched off: {names}"
        )
        say(indented(text.format(names=", ".join(missing)), "✕ ", "  "))
    if not report.heads:
        say(indented(_("nothing is recorded yet"), "· "))


def _place_words(report: Report, place: str) -> tuple[str, bool]:
    """Return what to say of a place, and whether it is whole."""
    count = report.heads[place].sequence
    found = [fault for fault in report.faults if fault.place == place]
    if not found:
        text = ngettext("{place}: {count} event, whole", "{place}: {count} events, whole", count)
    elif any(fault.sequence is not None for fault in found):
        text = _("{place}: whole only up to event {count}")
    else:
        text = ngettext(
            "{place}: {count} event, whole, but its states are not what it says",
            "{place}: {count} events, whole, but the states are not what they say",
            count,
        )
    return text.format(place=place, count=count), not found


def _fault_words(fault: Fault) -> str:
    if fault.sequence is None:
        return fault.says
    text = _("{place}, event {sequence}, id {id}: {says}")
    return text.format(place=fault.place, sequence=fault.sequence, id=fault.id or "–", says=fault.says)


def _say_what_seals_show(report: Report, seals: list[Seal]) -> None:
    """Say of each place that is whole how far it is what was sealed."""
    latest = {seal.place: seal for seal in sorted(seals, key=lambda s: s.sequence)}
    for place, seal in latest.items() if report.whole else ():
        later = report.heads[place].sequence - seal.sequence
        text = _("{place} is what was sealed, up to event {sequence} of {day}.")
        if later:
            text = ngettext(
                "{place} is what was sealed, up to event {sequence} of {day}; {later} later event is not sealed yet.",
                "{place} is what was sealed, up to event {sequence} of {day}; {later} later events are not sealed yet.",
                later,
            )
        day = seal.recorded_at[:10]
        _say(text.format(place=place, sequence=seal.sequence, day=day, later=later))


def _say_what_no_seal_shows(report: Report, seals: list[Seal]) -> None:
    """Say what was not shown where a place was verified against no seal."""
    without = [place for place in report.heads if place not in {s.place for s in seals}]
    if report.whole and without:
        text = _(
            "Not shown, since no sealed line was given for {places}: that nothing is missing at the end."
        )
        _say(text.format(places=", ".join(without)))


def _say_done(report: Report, text: str, name: str) -> None:
    if report.whole:
        _say(text.format(name=name))


def _say_json(report: Report, missing: list[str]) -> None:
    from dataclasses import asdict

    from lungwort.cli.layout import say_json

    heads = {place: asdict(head) for place, head in report.heads.items()}
    faults = [asdict(fault) for fault in report.faults]
    whole = report.whole and not missing
    say_json({"whole": whole, "heads": heads, "faults": faults, "missing_guards": missing})
