"""Options that several commands share, so that they are spelt and explained alike."""

from __future__ import annotations

from typing import Annotated

import typer

from lungwort.language import _

PLACE = _("Place and instruments")

Altitude = Annotated[
    str | None,
    typer.Option("--altitude", metavar="M", help=_("Altitude of the place in m."), rich_help_panel=PLACE),
]
Barometer = Annotated[
    str | None,
    typer.Option(
        "--barometer", metavar="KPA", help=_("Air pressure read here, in kPa."), rich_help_panel=PLACE
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help=_("Print as JSON."))]
