"""`lungwort protocol`: a protocol explained as cards for the ward, and a first protocol for a place."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_args

import typer

from lungwort.cli.help_pages import Command, Group, paragraphs
from lungwort.cli.options import Altitude, AsJson, Barometer
from lungwort.language import _

if TYPE_CHECKING:
    from datetime import date

    from lungwort.protocol.card import Card
    from lungwort.protocol.document import Protocol
    from lungwort.protocol.newcomer import Answers, Gauge

NONE = "none"
Action = Callable[..., None]

app = typer.Typer(
    cls=Group,
    no_args_is_help=True,
    help=_("Explain a protocol as cards for the ward, or begin one for a place."),
)


def _command(name: str) -> Callable[[Action], Action]:
    """Register a command whose help is its docstring, its paragraphs as they stand."""

    def register(function: Action) -> Action:
        text = "\n\n".join(paragraphs(function.__doc__ or ""))
        return app.command(name, cls=Command, help=text)(function)

    return register


@_command("show")
def show(
    file: Annotated[Path, typer.Argument(help=_("The protocol: a TOML file."))],
    part: Annotated[
        list[str] | None, typer.Option("--part", metavar="KIND", help=_("Only this kind of part; repeat."))
    ] = None,
    today: Annotated[
        str | None,
        typer.Option("--today", metavar="DATE", help=_("Recipes as on this day, such as 2026-11-25.")),
    ] = None,
    markdown: Annotated[bool, typer.Option("--markdown", help=_("Print as Markdown."))] = False,
    as_json: AsJson = False,
) -> None:
    """Print each kind's turnaround as a numbered card: dangers first, then who does what, how, and what proves it.

    lungwort protocol show protocol.toml --part "Silicone circuit, adult"

    lungwort protocol show protocol.toml --markdown
    """
    from lungwort.cli.vet import day_named
    from lungwort.protocol.card import card_of
    from lungwort.protocol.reading import read_protocol

    protocol, day = read_protocol(file).protocol, day_named(today)
    kinds = [kind_named(protocol, name) for name in part] if part else protocol.kinds
    _print_cards(protocol, [card_of(protocol, kind, day) for kind in kinds], day, markdown, as_json)


def kind_named(protocol: Protocol, name: str) -> Any:
    """Return the kind of part called `name` (any case); UnknownName lists those that the protocol has."""
    from lungwort.errors import UnknownName

    kind = protocol.kind(name.strip())
    if kind is None:
        says = _("the protocol has no kind of part called {name!r}; it has: {names}")
        raise UnknownName(says.format(name=name, names="; ".join(k.name for k in protocol.kinds)))
    return kind


def _print_cards(protocol: Protocol, cards: list[Card], day: date, as_markdown: bool, as_json: bool) -> None:
    from lungwort.cli import card_report, layout

    head = _("{title}, version {version}, {place}; recipes as on {day}").format(
        title=protocol.title, version=protocol.version, place=protocol.place.name, day=day.isoformat()
    )
    if as_json:
        from dataclasses import asdict

        layout.say_json({"protocol": head, "cards": [asdict(card) for card in cards]})
    elif as_markdown:
        layout.say("\n".join([card_report.markdown_head(head), *map(card_report.markdown, cards)]))
    else:
        layout.say(layout.indented(head, "") + "\n")
        for card in cards:
            card_report.show_card(card)


# ---- a first protocol ----


@_command("new")
def new(
    file: Annotated[Path, typer.Argument(help=_("Where to write it; no file is overwritten."))],
    place: Annotated[str | None, typer.Option("--place", help=_("The hospital's name."))] = None,
    altitude: Altitude = None,
    barometer: Barometer = None,
    autoclave: Annotated[
        str | None,
        typer.Option(
            "--autoclave",
            help=_("Its gauge: 'bar', 'psi', 'kPa', 'kPa absolute'; or none."),
        ),
    ] = None,
    removal: Annotated[
        str | None, typer.Option("--removal", help=_("How it removes air: gravity or pre-vacuum."))
    ] = None,
    bath: Annotated[
        str | None, typer.Option("--bath", help=_("The hottest its water gets, such as 88C; or none."))
    ] = None,
    bleach: Annotated[
        str | None, typer.Option("--bleach", help=_("As its label says, such as '5 %'; or none."))
    ] = None,
    role: Annotated[
        list[str] | None,
        typer.Option("--role", help=_("Who treats parts, then who checks them before use; repeat.")),
    ] = None,
) -> None:
    """Write a first protocol for a place, commented, to be filled in; what is not said is asked at a terminal.

    Gauge settings are computed for the altitude. No criterion is adopted: a named, authorised person must do that.

    lungwort protocol new protocol.toml

    lungwort protocol new protocol.toml --place "Hill Hospital" --altitude 2300 --autoclave bar --removal gravity
    --bath none --bleach "5 %" --role technician --role nurse
    """
    from datetime import date

    from lungwort.cli.layout import indented, say
    from lungwort.protocol.newcomer import new_protocol

    _refuse_to_overwrite(file)
    answers = _answers(place, altitude, barometer, autoclave, removal, bath, bleach, role)
    _write_new(file, new_protocol(answers, date.today()))
    done = _("{file} is written. Fill in what is commented out, change what is otherwise with you, then run:")
    say(indented(done.format(file=file.name), "") + f"\n\n  lungwort vet {file.name}")


def _refuse_to_overwrite(file: Path) -> None:
    from lungwort.errors import UnknownName

    if file.exists():
        text = _("{file} is there already and is not overwritten; give another name")
        raise UnknownName(text.format(file=file.name))


def _write_new(file: Path, text: str) -> None:
    from lungwort.errors import UnknownName

    try:
        with file.open("x", encoding="utf-8") as opened:
            opened.write(text)
    except OSError as error:
        says = _("{file} cannot be written ({why}); give a folder that is there and may be written to")
        raise UnknownName(says.format(file=file.name, why=error.strerror)) from error


def _answers(
    place: str | None,
    altitude: str | None,
    barometer: str | None,
    autoclave: str | None,
    removal: str | None,
    bath: str | None,
    bleach: str | None,
    roles: Sequence[str] | None,
) -> Answers:
    from lungwort.cli.place import altitude_m, barometer_kpa
    from lungwort.protocol.newcomer import Answers

    name = _asked(place, "--place", _("The hospital's name"), None)
    if altitude is None and barometer is None:
        altitude = _asked(None, "--altitude", _("Its altitude in m, as a map says"), None)
    gauge = _asked(
        autoclave, "--autoclave", _("The autoclave's gauge: bar, psi, kPa, kPa absolute, or none"), NONE
    )
    if gauge != NONE:
        removal = _asked(removal, "--removal", _("It removes air by gravity or pre-vacuum"), "gravity")
    water = _asked(bath, "--bath", _("The hottest the bath's water gets in °C, or none"), NONE)
    label = _asked(bleach, "--bleach", _("The bleach as its label says, such as 5 %, or none"), NONE)
    question = _("Roles, who treats first, then who checks")
    known = roles or _asked(None, "--role", question, "technician, nurse").split(",")
    return Answers(
        place=name,
        altitude_m=altitude_m(altitude),
        barometer_kpa=barometer_kpa(barometer),
        autoclave=None if gauge == NONE else gauge_named(gauge, removal or "gravity"),
        bath_highest_c=None if water == NONE else _celsius(water),
        bleach=None if label == NONE else label,
        roles=tuple(dict.fromkeys(r.strip() for r in known if r.strip())) or ("technician",),
    )


def _asked(value: str | None, option: str, question: str, default: str | None) -> str:
    """Return an option's value; where it is missing, ask at a terminal, elsewhere take the default."""
    from lungwort.errors import UnknownName

    if value is not None and value.strip():
        return value.strip()
    if sys.stdin.isatty():
        return str(typer.prompt(question, default=default, err=True)).strip()
    if default is None:
        text = _("{option} is missing, and there is no terminal to ask at: {question}?")
        raise UnknownName(text.format(option=option, question=question))
    return default


def gauge_named(text: str, removal: str) -> Gauge:
    """Return an autoclave's gauge from its unit, and 'absolute' where it does not stand at 0 in open air.

    >>> gauge_named("kPa absolute", "gravity")
    Gauge(unit='kPa', kind='absolute', removal='gravity')
    """
    from lungwort.errors import UnknownName
    from lungwort.protocol.equipment import PressureUnit
    from lungwort.protocol.newcomer import Gauge

    units = {unit.lower(): unit for unit in get_args(PressureUnit)}
    unit, _space, kind = text.strip().lower().partition(" ")
    kind = kind.strip() or "gauge"
    if unit not in units or kind not in ("gauge", "absolute"):
        says = _(
            "--autoclave {text!r} is no gauge; give one of {units}, with 'absolute' where it is, or none"
        )
        raise UnknownName(says.format(text=text, units=", ".join(units.values())))
    if removal not in ("gravity", "pre-vacuum"):
        says = _("--removal {text!r} is not known; give gravity or pre-vacuum")
        raise UnknownName(says.format(text=removal))
    return Gauge(units[unit], "absolute" if kind == "absolute" else "gauge", removal)  # type: ignore[arg-type]


def _celsius(text: str) -> float:
    from lungwort.cli.quantities import TEMPERATURE_C, quantity
    from lungwort.errors import OutOfRange

    value = quantity(text, TEMPERATURE_C, "--bath", bare=True)
    if not 0 < value <= 100:
        raise OutOfRange(
            _("--bath {text!r} is no temperature of a water bath; 0 to 100 °C").format(text=text)
        )
    return value
