"""F0 of common combinations and of a made-up cycle (table beside this file)."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from lungwort.science.lethality import f0_min

TABLE = tomllib.loads(Path(__file__).with_name("f0.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("celsius", "minutes", "f0_1211", "f0_121"), TABLE["hold"])
def test_f0_of_a_hold_depends_on_its_reference(celsius, minutes, f0_1211, f0_121, agrees):
    """The same hold gives the table's two figures, one for each reference temperature."""
    elapsed, readings = [0.0, 60.0 * float(minutes)], [float(celsius)] * 2
    agrees(f0_min(elapsed, readings, reference_c=121.1), f0_1211)
    agrees(f0_min(elapsed, readings, reference_c=121.0), f0_121)


@pytest.mark.parametrize(("celsius", "minutes", "f0"), TABLE["textbook"])
def test_f0_of_the_textbook_pieces(celsius, minutes, f0, agrees):
    """A piece at constant temperature gives the textbook's F0 at reference 121 °C."""
    agrees(f0_min([0.0, 60.0 * float(minutes)], [float(celsius)] * 2, reference_c=121.0), f0)


def test_f0_of_a_whole_cycle(agrees):
    """The trapezoid over a cycle read once a minute."""
    celsius = TABLE["cycle"]["celsius"]
    agrees(f0_min(60.0 * np.arange(len(celsius)), celsius), TABLE["cycle"]["f0"])
