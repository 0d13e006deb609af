"""Pages of docs/lookup written from the running code, so that they cannot drift; `--check` fails where they have."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from lungwort.cli.criteria import limit_words
from lungwort.cli.help_pages import is_example, paragraphs
from lungwort.language import _
from lungwort.library.catalogue import all_criteria
from lungwort.library.criteria import Criterion

if TYPE_CHECKING:
    from lungwort.protocol.form import Key

_GENERATED = "<!-- Written by `make lookup` from the code; mend the code, not this page. -->\n\n"


def criteria_page() -> str:
    """Return the page that lists every criterion with its limits, sources and basis."""
    lines = ["# Criteria", "", "Suggestions that ship with Lungwort. None is adopted by anyone.", ""]
    for criterion in all_criteria():
        lines += _criterion_lines(criterion)
    return "\n".join(lines)


def _criterion_lines(criterion: Criterion) -> list[str]:
    lines = [
        f"## {criterion.name}",
        "",
        f"{criterion.title} ({criterion.tradition}). For: {criterion.scope}.",
        "",
    ]
    lines += ["| rule | limit | source | basis |", "|---|---|---|---|"]
    lines += [f"| {x.rule} | {limit_words(x)} | {x.source} | {x.basis} |" for x in criterion.limits]
    return [*lines, ""]


def commands_page() -> str:
    """Return the page with each command's own help."""
    import typer.main

    from lungwort.cli.app import application

    group = typer.main.get_command(application())
    lines = ["# Commands", "", "Exit codes: 0 passed, 1 failed or not shown, 2 the input cannot be used.", ""]
    for name, command in _commands("lungwort", group):
        lines += [f"## {name}", "", *_command_lines(command), ""]
    return "\n".join(lines)


def _commands(name: str, group: object) -> Iterator[tuple[str, object]]:
    """Yield every command with its full name, those of a group in the group's place."""
    for own, command in getattr(group, "commands", {}).items():
        if hasattr(command, "commands"):
            yield from _commands(f"{name} {own}", command)
        else:
            yield f"{name} {own}", command


def rules_page() -> str:
    """Return the page that lists every rule of vetting."""
    from lungwort.protocol.vet import all_rules

    lines = ["# Rules of vetting", ""]
    lines += ["What `lungwort vet` looks for. A file put into `protocol/rules/` is found by itself.", ""]
    lines += ["| rule | what it asks |", "|---|---|"]
    lines += [f"| {rule.name} | {rule.about} |" for rule in all_rules()]
    return "\n".join([*lines, ""])


def form_page() -> str:
    """Return the page with every table and key of the protocol."""
    from lungwort.protocol.form import form

    lines = ["# The form of a protocol", ""]
    lines += ["A text in TOML. A key in bold must be there; a key that is not listed is refused.", ""]
    for table in form():
        lines += [f"## {f'`{table.header}`' if table.header else 'At the top'}", "", table.about, ""]
        lines += ["| key | holds | unit | if left out | meaning |", "|---|---|---|---|---|"]
        lines += [_key_line(key) for key in table.keys] + [""]
    return "\n".join(lines)


def _key_line(key: Key) -> str:
    name = f"**`{key.name}`**" if key.needed else f"`{key.name}`"
    left_out = _("refused") if key.needed else key.default or _("nothing")
    return f"| {name} | {key.holds} | {key.unit} | {left_out} | {key.means} |"


def permissions_page() -> str:
    """Return the page that says which role may record which deed."""
    from lungwort.records.life.permissions import MAY, ROLES, deed_words

    lines = ["# Who may record what", ""]
    lines += [
        "A role is a permission. Which step somebody may *do* is another question: that needs a training.",
        "",
    ]
    lines += [
        "Where no role is marked, whoever recorded an event may correct it, and so may the infection control lead,"
    ]
    lines += ["if they may record that kind of event.", ""]
    lines += ["| deed | in words | " + " | ".join(ROLES) + " |", "|---|---|" + ":-:|" * len(ROLES)]
    for deed, roles in MAY.items():
        marks = " | ".join("yes" if role in roles else "" for role in ROLES)
        lines.append(f"| `{deed}` | {deed_words(deed)} | {marks} |")
    return "\n".join([*lines, ""])


def _command_lines(command: object) -> list[str]:
    lines: list[str] = []
    for paragraph in paragraphs(str(getattr(command, "help", "") or "")):
        if is_example(paragraph) and lines[-2:] == ["```", ""]:
            lines[-2:] = [paragraph, "```", ""]
        else:
            lines += ["```", paragraph, "```", ""] if is_example(paragraph) else [paragraph, ""]
    lines += ["| option | meaning |", "|---|---|"]
    for parameter in getattr(command, "params", []):
        names = ", ".join(f"`{o}`" for o in parameter.opts) if parameter.param_type_name == "option" else None
        lines.append(f"| {names or f'`{parameter.name.upper()}`'} | {getattr(parameter, 'help', '') or ''} |")
    return lines


PAGES: Mapping[str, Callable[[], str]] = {
    "criteria.md": criteria_page,
    "commands.md": commands_page,
    "vetting_rules.md": rules_page,
    "protocol_form.md": form_page,
    "permissions.md": permissions_page,
}


def drifted(folder: Path) -> list[str]:
    """Return the names of the pages in `folder` that differ from what the code says now."""
    texts = {name: _GENERATED + page() + "\n" for name, page in PAGES.items()}
    return [
        n
        for n, text in texts.items()
        if not (folder / n).is_file() or (folder / n).read_text("utf-8") != text
    ]


def write(folder: Path) -> None:
    """Write every page into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, page in PAGES.items():
        (folder / name).write_text(_GENERATED + page() + "\n", "utf-8")


def main(arguments: list[str]) -> int:
    """Write the pages, or with --check say which have drifted."""
    folder = Path(arguments[-1])
    if "--check" not in arguments:
        write(folder)
        return 0
    stale = drifted(folder)
    if stale:
        print(f"{', '.join(stale)} in {folder} no longer say what the code does; run `make lookup`")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
