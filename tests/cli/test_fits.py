"""`lungwort fits`."""

import json

import pytest
from typer import Typer
from typer.testing import CliRunner

from lungwort.cli.fits import fits
from lungwort.errors import LungwortError
from lungwort.library.materials import all_materials, material_table
from lungwort.library.parts import all_parts

app = Typer()
app.command()(fits)


def run(*arguments):
    """The command by itself, as the whole of a programme."""
    return CliRunner().invoke(app, list(arguments))


@pytest.mark.parametrize(
    ("thing", "process", "code", "answer"),
    [
        ("silicone", "steam-134", 0, "fits"),
        ("polysulfone", "steam-134", 1, "limited"),
        ("silicone", "OPA", 1, "not shown"),
        ("humidifier chamber", "peracetic acid", 1, "does not fit"),
    ],
)
def test_the_answer_and_the_exit_code_agree(thing, process, code, answer):
    """0 fits, 1 otherwise."""
    done = run(thing, process)
    assert (done.exit_code, done.stdout.splitlines()[0].split(": ")[-1]) == (code, answer)
    assert "maker's instructions" in done.stdout


def test_every_reason_is_shown_with_source_and_basis():
    """Material by material, the worst first."""
    text = " ".join(run("humidifier chamber", "peracetic acid").stdout.split())
    assert text.index("aluminium: does not fit. Corrodes.") < text.index("polysulfone: fits.")
    assert "General handbooks of plastics, rubber and metals [from memory]" in text


def test_json_is_whole():
    """Programs get every reason and note, and the weakest basis; the exit code is the same."""
    done = run("humidifier chamber", "peracetic acid", "--json")
    data = json.loads(done.stdout)
    assert done.exit_code == 1
    assert (data["answer"], data["basis"]) == ("does not fit", "from memory")
    assert {"about", "answer", "sentence", "source", "basis"} == set(data["reasons"][0])
    assert len(data["notes"]) == 3


@pytest.mark.parametrize("columns", ["36", "100"])
def test_a_part_alone_is_answered_for_every_process(columns, monkeypatch):
    """One line a process with what is weakest, on any width; lists exit with 0."""
    monkeypatch.setenv("COLUMNS", columns)
    done = run("mask")
    text = " ".join(done.stdout.split())
    assert done.exit_code == 0
    assert "does not fit (polycarbonate)" in text
    assert "not shown" in text
    assert max(map(len, done.stdout.splitlines())) <= int(columns)
    assert len(json.loads(run("mask", "--json").stdout)) == len(material_table().columns)


def test_without_an_argument_everything_is_listed():
    """Parts, materials and processes."""
    done = run()
    names = [*all_parts(), *all_materials(), *material_table().columns]
    assert done.exit_code == 0
    assert all(thing.name in done.stdout for thing in names)
    data = json.loads(run("--json").stdout)
    assert [len(data[key]) for key in ("parts", "materials", "processes")] == [
        len(all_parts()),
        len(all_materials()),
        len(material_table().columns),
    ]


@pytest.mark.parametrize(
    "arguments", [("silicon rubber", "steam-121"), ("mask", "alcool"), ("mask", "steam")]
)
def test_unusable_input_is_a_lungwort_error(arguments):
    """Which `lungwort` tells as a sentence with exit code 2."""
    assert isinstance(run(*arguments).exception, LungwortError)


def test_help_has_worked_examples():
    """Ready to copy."""
    text = " ".join(run("--help").stdout.split())
    assert "lungwort fits silicone steam-134" in text
