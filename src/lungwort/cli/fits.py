"""`lungwort fits`: whether a part or a material bears a process, with the reasons."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

import typer

from lungwort.cli.layout import bold, heading, indented, say, say_json, width
from lungwort.cli.options import AsJson
from lungwort.language import _
from lungwort.library.fits import Fit, fits_of
from lungwort.library.fits import fits as find_fit
from lungwort.library.materials import Answer, all_materials, material_table
from lungwort.library.parts import all_parts

NOT_FITTING = 1
ROOM_FOR_ANSWER = 36


def fits(
    part_or_material: Annotated[
        str | None,
        typer.Argument(help=_("A kind of part or a material; all are listed where none is named.")),
    ] = None,
    process: Annotated[
        str | None,
        typer.Argument(help=_("Such as steam-134, hot-water-90, an agent, or oil; all where none is named.")),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say whether a part or a material bears a process: fits, limited, not shown or does not fit.

    The weakest material decides. The answer says what the process does to the part, not whether it is enough for
    the next patient; the maker's instructions for the part in hand override it.

    lungwort fits silicone steam-134

    lungwort fits "humidifier chamber" "peracetic acid" --json

    lungwort fits mask

    Exit code 0: fits, or a list. 1: limited, not shown or does not fit. 2: the input cannot be used.
    """
    if part_or_material is None:
        _list(as_json)
    elif process is None:
        _overview(fits_of(part_or_material), as_json)
    else:
        _answer(find_fit(part_or_material, process), as_json)


def _answer(fit: Fit, as_json: bool) -> None:
    if as_json:
        say_json({**asdict(fit), "basis": fit.basis})
    else:
        _show(fit)
    if fit.answer is not Answer.FITS:
        raise typer.Exit(NOT_FITTING)


def _show(fit: Fit) -> None:
    say(f"{fit.thing} · {fit.process}: {bold(fit.answer)}")
    for reason in fit.reasons:
        say(indented(f"{reason.about}: {reason.answer}. {reason.sentence}", "  - ", "    "))
        say(indented(f"{reason.source} [{reason.basis}]", "    "))
    say("")
    for note in fit.notes:
        say(indented(f"{note.sentence} ({note.source}) [{note.basis}]", "  "))


def _overview(answers: tuple[Fit, ...], as_json: bool) -> None:
    if as_json:
        say_json([{**asdict(fit), "basis": fit.basis} for fit in answers])
        return
    say(heading(answers[0].thing))
    wide = max(len(fit.process) for fit in answers)
    roomy = wide + ROOM_FOR_ANSWER <= width()
    for fit in answers:
        if roomy:
            say(f"  {fit.process:<{wide}}  {_answer_and_cause(fit)}")
        else:
            say(indented(f"{fit.process}: {_answer_and_cause(fit)}", "  ", "    "))
    say("")
    say(indented(_("Reasons: name the process too. The maker's instructions override every answer."), ""))


def _answer_and_cause(fit: Fit) -> str:
    cause = fit.reasons[0].about
    return str(fit.answer) if fit.answer is Answer.FITS or cause == fit.thing else f"{fit.answer}  ({cause})"


def _list(as_json: bool) -> None:
    kinds = {
        _("Parts"): [part.name for part in all_parts()],
        _("Materials"): [material.name for material in all_materials()],
        _("Processes"): [column.name for column in material_table().columns],
    }
    if as_json:
        keys = ("parts", "materials", "processes")
        say_json(dict(zip(keys, kinds.values(), strict=True)))
        return
    for title, names in kinds.items():
        say(heading(title))
        for name in names:
            say(f"  {name}")
        say("")
    say(
        indented(_("All of it from memory, and adopted by nobody: the maker's instructions override it."), "")
    )
