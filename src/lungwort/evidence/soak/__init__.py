"""Soaks: parts immersed in a chemical, as written down by hand, and judged to a verdict."""

from lungwort.evidence.soak.judge import SoakVerdict, judge_soak, judge_soak_lines
from lungwort.evidence.soak.reading import read_soak
from lungwort.evidence.soak.record import Soak, StrengthReading

__all__ = ["Soak", "SoakVerdict", "StrengthReading", "judge_soak", "judge_soak_lines", "read_soak"]
