"""Pages of docs/lookup written from the running code, so that they cannot drift; `--check` fails where they have."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from lungwort.cli.criteria import limit_words
from lungwort.library.catalogue import all_criteria
from lungwort.library.criteria import Criterion

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
    for name, command in getattr(group, "commands", {}).items():
        lines += [f"## lungwort {name}", "", *_command_lines(command), ""]
    return "\n".join(lines)


def _command_lines(command: object) -> list[str]:
    help_text = str(getattr(command, "help", "") or "")
    lines = [help_text.strip(), "", "| option | meaning |", "|---|---|"]
    for parameter in getattr(command, "params", []):
        names = ", ".join(f"`{o}`" for o in parameter.opts) if parameter.param_type_name == "option" else None
        lines.append(
            f"| {names or f'`{parameter.human_readable_name}`'} | {getattr(parameter, 'help', '') or ''} |"
        )
    return lines


PAGES: Mapping[str, Callable[[], str]] = {"criteria.md": criteria_page, "commands.md": commands_page}


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
