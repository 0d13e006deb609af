"""A kind's card for the terminal and as Markdown."""

from __future__ import annotations

from collections.abc import Iterable

from lungwort.cli.layout import bold, heading, indented, say
from lungwort.language import _
from lungwort.protocol.card import Card, CardStep
from lungwort.wording import duration, figure


def groups(card: Card) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what stands under the steps, each group with its heading; empty ones left out."""
    named = (
        (_("Before use"), card.before_use),
        (_("In use"), card.in_use),
        (_("After use"), card.after_use),
        (_("If anything fails"), (card.on_failure,) if card.on_failure else ()),
        (_("The maker's limits"), card.maker),
    )
    return tuple((head, sentences) for head, sentences in named if sentences)


def show_card(card: Card) -> None:
    """Print a card."""
    say(heading(card.kind))
    say(indented(card.about, "") + "\n")
    _show_group(_("First: the dangers"), card.hazards, "! ")
    for step in card.steps:
        _show_step(step)
    if card.steps:
        say(_total(card) + "\n")
    for head, sentences in groups(card):
        _show_group(head, sentences, "☐ " if head in (_("Before use"), _("After use")) else "- ")


def _total(card: Card) -> str:
    return _("In all {total}, if nothing waits.").format(total=duration(card.minutes * 60))


def _show_group(head: str, sentences: Iterable[str], mark: str) -> None:
    lines = [indented(sentence, f"  {mark}", "    ") for sentence in sentences]
    if lines:
        say(bold(head))
        say("\n".join(lines) + "\n")


def _show_step(step: CardStep) -> None:
    say(f"{step.number:>2}. {bold(step.what)}   {_who(step)}")
    for sentence in step.how:
        say(indented(sentence, "    "))
    for sentence in step.proof:
        say(indented(sentence, f"    {_('Proof')}: ", "      "))
    say()


def _who(step: CardStep) -> str:
    return _("{who}, {n} min").format(who=step.by, n=figure(step.minutes))


def markdown(card: Card) -> str:
    """Return a card as Markdown."""
    lines = [f"## {_plain(card.kind)}", "", _plain(card.about), ""]
    if card.hazards:
        lines += [f"**{_('First: the dangers')}**", "", *(f"- {_plain(s)}" for s in card.hazards), ""]
    for step in card.steps:
        lines.append(f"{step.number}. **{step.what}** ({_plain(_who(step))})")
        lines += [f"   - {_plain(sentence)}" for sentence in step.how]
        lines += [f"   - {_('Proof')}: {_plain(sentence)}" for sentence in step.proof]
    if card.steps:
        lines += ["", _total(card), ""]
    for head, sentences in groups(card):
        lines += [f"**{head}**", "", *(f"- {_plain(s)}" for s in sentences), ""]
    return "\n".join(lines)


def _plain(text: str) -> str:
    """Return a text in which nothing that a person wrote is taken for Markdown."""
    for mark in "\\`*_[]<>#|":
        text = text.replace(mark, f"\\{mark}")
    return text


def markdown_head(text: str) -> str:
    """Return the line above the cards as Markdown."""
    return f"{_plain(text)}\n"
