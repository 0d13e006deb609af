"""Proving a demo cycle from its written log, as a hospital would."""

from __future__ import annotations

from lungwort.demo.cycles import DemoCycle
from lungwort.evidence.circumstances import circumstances_at
from lungwort.evidence.instrument import parse_sensor
from lungwort.evidence.judge import judge
from lungwort.evidence.reading import Declared, read_log
from lungwort.evidence.verdict import HeatVerdict
from lungwort.library.catalogue import find_criterion


def prove_demo_cycle(cycle: DemoCycle) -> HeatVerdict:
    """Read the cycle's file and judge it by its criteria, place and instruments.

    `cycle.path` must be set, as `write_demo_logs` does.
    """
    if cycle.path is None:
        raise ValueError(f"the log of {cycle.name} is not written yet; call write_demo_logs first")
    circumstances = circumstances_at(
        altitude_m=cycle.altitude_m,
        sensor=parse_sensor(cycle.sensor),
        pressure_error_kpa=cycle.pressure_error_kpa,
    )
    criteria = [find_criterion(name) for name in cycle.criteria]
    return judge(read_log(cycle.path, Declared(**cycle.declared)), criteria, circumstances)
