"""Pressure against temperature at this altitude."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from lungwort.language import _, number
from lungwort.library.loading import Basis
from lungwort.protocol.document import Protocol
from lungwort.protocol.equipment import KPA_PER, Autoclave, Setting
from lungwort.protocol.finding import Finding, Severity
from lungwort.protocol.magnitudes import FIT_K, air_in_doubt, setting_doubts, steam_c
from lungwort.protocol.rule import rule
from lungwort.science.steam import saturation_pressure_kpa

SOURCE = "IAPWS-IF97 region 4; ISO 2533"


@rule("pressure", "An autoclave's pressure setting means the temperature it is named for, at this altitude.")
def pressure(protocol: Protocol, today: date) -> Iterator[Finding]:
    """Yield an error for each setting whose pressure means another temperature here."""
    if air_in_doubt(protocol):
        return  # the rule of units speaks of it
    air_kpa = protocol.place.air_pressure_kpa
    for a, autoclave in enumerate(protocol.autoclaves):
        for s, setting in enumerate(autoclave.settings):
            doubted = {doubt.key for doubt in setting_doubts(autoclave, setting, air_kpa)}
            if doubted & {"pressure", "temperature_c"}:
                continue  # the rule of units speaks of it
            means_c = steam_c(autoclave.absolute_kpa(setting, air_kpa))
            if abs(means_c - setting.temperature_c) > FIT_K:
                yield _off(("autoclave", a, "setting", s, "pressure"), autoclave, setting, means_c, air_kpa)


def _off(
    path: tuple[str | int, ...], autoclave: Autoclave, setting: Setting, means_c: float, air_kpa: float
) -> Finding:
    unit = autoclave.gauge_unit
    needed_kpa = float(saturation_pressure_kpa(setting.temperature_c))
    shown = (needed_kpa - (air_kpa if autoclave.gauge_kind == "gauge" else 0.0)) / KPA_PER[unit]
    decimals = 0 if KPA_PER[unit] <= 1 else 1 if unit == "psi" else 2
    says = _("{setting}: {pressure} {unit} ({kind}) is steam of {means} °C here, not of {named} °C.").format(
        setting=setting.name,
        pressure=number(setting.pressure, decimals),
        unit=unit,
        kind=_(autoclave.gauge_kind),
        means=number(means_c),
        named=number(setting.temperature_c),
    )
    remedy = _(
        "For {named} °C the gauge must show {shown} {unit} here; ask the maker or a licensed engineer."
    ).format(named=number(setting.temperature_c), shown=number(shown, decimals), unit=unit)
    computed = _("air {air} kPa; saturation at {named} °C {needed} kPa absolute").format(
        air=number(air_kpa), named=number(setting.temperature_c), needed=number(needed_kpa)
    )
    return Finding("pressure", Severity.ERROR, path, says, remedy, SOURCE, Basis.COMPUTED, computed)
