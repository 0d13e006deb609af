"""`lungwort criteria`: the criteria that ship with Lungwort, readable, with source and basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Annotated

import typer

from lungwort.cli.layout import bold, heading, indented, say, say_json
from lungwort.cli.options import AsJson
from lungwort.language import _
from lungwort.library.catalogue import all_criteria, find_criterion
from lungwort.library.criteria import Criterion, Limit
from lungwort.wording import figure


def criteria(
    name: Annotated[
        list[str] | None,
        typer.Argument(help=_("These criteria, with every limit; a list of all where none is named.")),
    ] = None,
    full: Annotated[bool, typer.Option("--full", help=_("All criteria, with every limit."))] = False,
    as_json: AsJson = False,
) -> None:
    """List the criteria with source and basis; name one to see all its limits.

    A limit whose basis is common practice or memory opens no gate until the hospital has adopted it.

    lungwort criteria

    lungwort criteria steam-134C-3min A0-600
    """
    chosen = [find_criterion(n) for n in name] if name else list(all_criteria())
    if as_json:
        say_json([asdict(c) for c in chosen])
        return
    _list(chosen, in_full=full or bool(name))
    if not (full or name):
        say(
            indented(
                _("All limits of one, and what it is for: `lungwort criteria NAME`; of all: --full."), ""
            )
        )
    gate = _("A limit from memory or common practice opens no gate until the hospital has adopted it.")
    say(indented(gate, ""))


def _list(chosen: Sequence[Criterion], in_full: bool) -> None:
    for process in dict.fromkeys(c.process for c in chosen):
        say(heading(process.capitalize()))
        for criterion in (c for c in chosen if c.process == process):
            if in_full:
                _show(criterion)
            else:
                _show_in_short(criterion)
        if not in_full:
            say()


def _show_in_short(criterion: Criterion) -> None:
    """Print name, title, and the source of the limit that makes the criterion what it is."""
    say(bold(criterion.name))
    say(indented(f"{criterion.title} · {criterion.tradition}.", "  "))
    leading = next((x for x in criterion.limits if x.rule != "sampling"), criterion.limits[0])
    say(indented(f"{leading.source} [{leading.basis}]", "  "))


def _show(criterion: Criterion) -> None:
    say(bold(criterion.name))
    say(indented(f"{criterion.title} · {criterion.tradition}. {_('For')}: {criterion.scope}.", "  "))
    for limit in criterion.limits:
        say(indented(f"{limit.rule}: {limit_words(limit)}", "  - ", "    "))
        say(indented(f"{limit.source} [{limit.basis}]", "    "))
    say()


def limit_words(limit: Limit) -> str:
    """Say a limit's numbers in words.

    >>> limit_words(find_criterion("steam-134C-3min").limit("hold"))
    'at least 134 °C, at most 137 °C, for 3 min'
    """
    if limit.rule == "contact" and limit.at_least is not None:  # a soak is timed by the clock on the wall
        return _("at least {value} min").format(value=figure(limit.at_least / 60))
    unit = "K" if limit.rule == "air" else limit.unit
    parts = []
    if limit.at_least is not None:
        parts.append(_("at least {value} {unit}").format(value=figure(limit.at_least), unit=unit).strip())
    if limit.at_most is not None:
        parts.append(_("at most {value} {unit}").format(value=figure(limit.at_most), unit=unit))
    if limit.for_s is not None:
        parts.append(_("for {minutes} min").format(minutes=figure(limit.for_s / 60)))
    if limit.reference_c is not None:
        parts.append(_("counted at {reference} °C").format(reference=figure(limit.reference_c)))
    if limit.floor_c is not None:
        parts.append(_("from {floor} °C up").format(floor=figure(limit.floor_c)))
    if limit.required == "if measured":
        parts.append(_("only where measured"))
    return ", ".join(parts)
