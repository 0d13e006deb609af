"""`lungwort criteria`: the criteria that ship with Lungwort, readable, with source and basis."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Annotated

import typer

from lungwort.cli.layout import heading, indented, say
from lungwort.language import _, number
from lungwort.library.catalogue import all_criteria, find_criterion
from lungwort.library.criteria import Criterion, Limit


def criteria(
    name: Annotated[
        list[str] | None, typer.Argument(help=_("Only these criteria; all where none is named."))
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help=_("Print as JSON."))] = False,
) -> None:
    """List the criteria with their limits, sources and basis.

    A limit whose basis is common practice or memory opens no gate until the hospital has adopted it.
    """
    chosen = [find_criterion(n) for n in name] if name else list(all_criteria())
    if as_json:
        say(json.dumps([asdict(c) for c in chosen], ensure_ascii=False, indent=2))
        return
    for process in dict.fromkeys(c.process for c in chosen):
        say(heading(process.capitalize()))
        for criterion in (c for c in chosen if c.process == process):
            _show(criterion)
    say(
        indented(
            _("A limit from memory or common practice opens no gate until the hospital has adopted it."), ""
        )
    )


def _show(criterion: Criterion) -> None:
    say(f"{criterion.name}")
    say(indented(f"{criterion.title} · {criterion.tradition}. {_('For')}: {criterion.scope}.", "  "))
    for limit in criterion.limits:
        say(indented(f"{limit.rule}: {limit_words(limit)}", "  - ", "    "))
        say(indented(f"{limit.source} [{limit.basis}]", "    "))
    say("")


def limit_words(limit: Limit) -> str:
    """Say a limit's numbers in words.

    >>> limit_words(find_criterion("steam-134C-3min").limit("hold"))
    'at least 134 °C, at most 137 °C, for 3 min'
    """
    unit = "K" if limit.rule == "air" else limit.unit
    parts = []
    if limit.at_least is not None:
        parts.append(_("at least {value} {unit}").format(value=_plain(limit.at_least), unit=unit))
    if limit.at_most is not None:
        parts.append(_("at most {value} {unit}").format(value=_plain(limit.at_most), unit=unit))
    if limit.for_s is not None:
        parts.append(_("for {minutes} min").format(minutes=_plain(limit.for_s / 60)))
    if limit.reference_c is not None:
        parts.append(_("counted at {reference} °C").format(reference=_plain(limit.reference_c)))
    if limit.floor_c is not None:
        parts.append(_("from {floor} °C up").format(floor=_plain(limit.floor_c)))
    if limit.required == "if measured":
        parts.append(_("only where measured"))
    return ", ".join(parts)


def _plain(value: float) -> str:
    return number(value, 0 if value == int(value) else 1)
