"""`lungwort serve`: the ward's pages, for a browser on this machine or in this house."""

from __future__ import annotations

from typing import Annotated

import typer

from lungwort.language import _


def serve(
    database: Annotated[
        str,
        typer.Argument(
            help=_("The records: a file, made where there is none, or postgres://user@host/name.")
        ),
    ] = "lungwort.db",
    address: Annotated[
        str, typer.Option("--address", help=_("Where to listen; 0.0.0.0 for the whole house."))
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help=_("The port."))] = 8123,
    zone: Annotated[
        str, typer.Option("--zone", help=_("The hospital's time zone, such as Africa/Nairobi."))
    ] = "UTC",
    hosts: Annotated[
        str,
        typer.Option("--hosts", help=_("Further names of this machine in the house, with commas between.")),
    ] = "",
    workers: Annotated[
        int, typer.Option("--workers", min=1, max=32, help=_("How many processes answer side by side."))
    ] = 2,
    give_pin: Annotated[
        str | None,
        typer.Option("--give-pin", metavar="CODE", help=_("Ask for a PIN, give it to this person, and end.")),
    ] = None,
    place: Annotated[str, typer.Option("--place", help=_("The place, where there are several."))] = "",
) -> None:
    """Serve the ward's pages; where nothing is recorded yet, they ask for the place and its first person.

    The first screens are there; more will come. They speak http; where others than this machine
    use them, put them behind https.

    lungwort serve hospital.db --zone Africa/Nairobi

    lungwort serve hospital.db --give-pin N-04
    """
    from lungwort.cli.layout import indented, say
    from lungwort.web.serving import give_pin_here, prepare, run

    prepare(database, zone, hosts)
    if give_pin is not None:
        give_pin_here(database, give_pin, typer.prompt(_("PIN"), hide_input=True), place)
        say(_("{code} has a new PIN.").format(code=give_pin))
        return
    shown = "localhost" if address in ("127.0.0.1", "0.0.0.0") else address
    text = _("Open http://{address}:{port}/ in a browser. Ctrl+C ends it.")
    say(indented(text.format(address=shown, port=port), ""))
    run(address, port, workers)
