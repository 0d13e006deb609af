"""Values in the wrong unit by their magnitude; other rules stay silent about a value that this one doubts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.lines import Path
from lungwort.protocol.magnitudes import (
    Doubt,
    air_in_doubt,
    altitude_doubt,
    bath_doubt,
    maker_doubts,
    room_doubts,
    setting_doubts,
    step_doubts,
    strength_doubt,
)
from lungwort.protocol.rule import rule, steps_of

SOURCE = "Lungwort: the magnitudes that such values have"
GAUGE = "Lungwort: the magnitudes that such values have; IAPWS-IF97 region 4; ISO 2533"


@rule(
    "units",
    "No value is in another unit than its key names: °F or K for °C, seconds for minutes, feet for metres.",
)
def units(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield a finding for each value whose magnitude belongs to another unit."""
    for path, doubt in _doubts(protocol):
        severity = Severity.ERROR if doubt.sure else Severity.WARNING
        source = GAUGE if doubt.key == "pressure" else SOURCE
        where = (*path, doubt.key)
        yield Finding(
            "units", severity, where, doubt.says, doubt.remedy, source, Basis.COMPUTED, doubt.computed
        )


def _doubts(protocol: Protocol) -> Iterator[tuple[Path, Doubt]]:
    altitude = altitude_doubt(protocol)
    if altitude:
        yield ("place",), altitude
    yield from ((("place", name), doubt) for name, doubt in room_doubts(protocol))
    yield from _of_equipment(protocol)
    for k, kind in enumerate(protocol.kinds):
        for m, limit in enumerate(kind.makers):
            yield from ((("kind", k, "maker", m), doubt) for doubt in maker_doubts(limit))
    for k, _kind, s, step in steps_of(protocol):
        yield from ((("kind", k, "step", s), doubt) for doubt in step_doubts(protocol, step))


def _of_equipment(protocol: Protocol) -> Iterator[tuple[Path, Doubt]]:
    yield from _of_autoclaves(protocol)
    for b, bath in enumerate(protocol.baths):
        found = bath_doubt(bath.highest_c)
        if found:
            yield ("bath", b), found
    for i, stock in enumerate(protocol.stocks):
        found = strength_doubt(stock.strength, stock.agent, "stock")
        if found:
            yield ("stock", i), found


def _of_autoclaves(protocol: Protocol) -> Iterator[tuple[Path, Doubt]]:
    """Doubts about programmes; none about pressure where the altitude itself is in doubt."""
    sure_of_air = not air_in_doubt(protocol)
    for a, autoclave in enumerate(protocol.autoclaves):
        for s, setting in enumerate(autoclave.settings):
            for doubt in setting_doubts(autoclave, setting, protocol.place.air_pressure_kpa):
                if sure_of_air or doubt.key != "pressure":
                    yield ("autoclave", a, "setting", s), doubt
