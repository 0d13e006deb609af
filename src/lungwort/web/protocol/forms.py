"""What is asked of a place that begins: enough for a first protocol from the generic library."""

from __future__ import annotations

from typing import Any, get_args

from django import forms

from lungwort.language import _
from lungwort.protocol.equipment import PressureUnit
from lungwort.protocol.newcomer import Answers, Gauge

LOWEST_M, HIGHEST_M = -500, 6000
"""Altitudes at which people live and work; what is typed beyond is a slip."""


class Beginning(forms.Form):
    """Where the place lies, and what it treats with."""

    altitude_m = forms.FloatField(min_value=LOWEST_M, max_value=HIGHEST_M)
    gauge = forms.ChoiceField(required=False)
    removal = forms.ChoiceField(required=False)
    bath_highest_c = forms.FloatField(required=False, min_value=40, max_value=100)
    bleach = forms.CharField(required=False, max_length=80)
    roles = forms.CharField(max_length=200, initial="technician, nurse")

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **{"label_suffix": "", **named})
        field: Any = self.fields
        units = [
            (f"{unit} gauge", _("{unit}, 0 in open air").format(unit=unit)) for unit in get_args(PressureUnit)
        ]
        field["gauge"].choices = [("", _("there is none")), *units, ("kPa absolute", _("kPa, absolute"))]
        field["removal"].choices = [("gravity", _("gravity")), ("pre-vacuum", _("pre-vacuum"))]
        for name, label in _labels().items():
            field[name].label = label
        field["bleach"].help_text = _("As its label says, such as 5 %. Empty: there is none.")
        field["bath_highest_c"].help_text = _("Empty: there is none.")

    def answers(self, place: str) -> Answers:
        """Return what was told of a place, once it is valid."""
        told = self.cleaned_data
        unit, _space, kind = told["gauge"].partition(" ")
        return Answers(
            place=place,
            altitude_m=told["altitude_m"],
            autoclave=Gauge(unit, kind, told["removal"] or "gravity") if unit else None,
            bath_highest_c=told["bath_highest_c"],
            bleach=told["bleach"].strip() or None,
            roles=tuple(dict.fromkeys(role.strip() for role in told["roles"].split(",") if role.strip())),
        )


def _labels() -> dict[str, str]:
    return {
        "altitude_m": _("Altitude of the hospital in m, as a map says"),
        "gauge": _("The autoclave's gauge"),
        "removal": _("The autoclave removes air by"),
        "bath_highest_c": _("The hottest the bath's water gets, in °C"),
        "bleach": _("The bleach"),
        "roles": _("Roles: who treats parts, then who checks them before use"),
    }
