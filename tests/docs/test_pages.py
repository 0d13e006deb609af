"""What the pages for readers show is so: their Python runs, their commands exist, their links lead somewhere."""

import contextlib
import io
import re
import shlex
from pathlib import Path

import pytest
from typer.main import get_command

from lungwort.cli.app import application
from lungwort.records.connect import disconnect

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
COMMANDS = [page for page in PAGES if "decisions" not in page.parts and page.parent.name != "lookup"]
_FENCED = re.compile(r"^( *)```(\w*)\n(.*?)^\1```$", re.MULTILINE | re.DOTALL)
_LINK = re.compile(r"\]\(([^)#\s]+)[^)]*\)")


def name_of(page):
    """Return a page's name in the repository."""
    return str(page.relative_to(ROOT))


def blocks(page):
    """Return the fenced blocks of a page: language and text."""
    return [(language, text) for _indent, language, text in _FENCED.findall(page.read_text("utf-8"))]


def test_recording_in_python_runs_and_prints_what_the_page_says(tmp_path, monkeypatch):
    """Piece after piece, as a reader would; what stands below a piece is what it prints."""
    monkeypatch.chdir(tmp_path)
    known, printed = {}, io.StringIO()
    found = blocks(ROOT / "docs" / "how_to" / "record_in_python.md")
    assert sum(language == "python" for language, _text in found) > 10
    for language, text in found:
        if language == "python":
            assert printed.getvalue() == "", "the page does not say what the piece before prints"
            with contextlib.redirect_stdout(printed):
                exec(compile(text, "record_in_python.md", "exec"), known)
        else:
            assert printed.getvalue() == text
            printed = io.StringIO()
    assert printed.getvalue() == ""
    disconnect("hill.db")


def commands_of(page):
    """Return the commands that a page shows, without comments and what stands behind a pipe or a redirection."""
    lines = [line for _language, text in blocks(page) for line in text.replace("\\\n", " ").splitlines()]
    typed = [shlex.split(line, comments=True) for line in lines if line.strip().startswith("lungwort ")]
    ends = {"|", ">", ">>", "&&"}
    return [words[: min((words.index(end) for end in ends & set(words)), default=None)] for words in typed]


def unknown_in(words):
    """Return what a command's words name that the command line does not know."""
    command = get_command(application())
    rest = words[1:]
    while hasattr(command, "commands") and rest and not rest[0].startswith("-"):
        if rest[0] not in command.commands:
            return rest[:1]
        command, rest = command.commands[rest[0]], rest[1:]
    known = {option for parameter in command.params for option in parameter.opts} | {"--help", "--version"}
    return [word for word in rest if word.startswith("--") and word.split("=")[0] not in known]


@pytest.mark.parametrize("page", COMMANDS, ids=name_of)
def test_the_commands_on_a_page_exist_with_their_options(page):
    """A renamed option is found here before a reader finds it."""
    assert {" ".join(words): wrong for words in commands_of(page) if (wrong := unknown_in(words))} == {}


def test_a_command_that_does_not_exist_is_noticed():
    """Otherwise the test above could not fail."""
    assert unknown_in(shlex.split("lungwort records mend hospital.db")) == ["mend"]
    assert unknown_in(shlex.split("lungwort look-back hospital.db --cicle C-1")) == ["--cicle"]
    assert len(commands_of(ROOT / "README.md")) > 10


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_the_links_of_a_page_lead_somewhere(page):
    """Within the repository; addresses elsewhere are not asked."""
    links = [link for link in _LINK.findall(page.read_text("utf-8")) if "://" not in link]
    assert [link for link in links if not (page.parent / link).exists()] == []
