"""What a look-back asks: where to begin, and a period where one belongs to it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, time
from typing import Any

from django import forms
from django.utils import timezone

from lungwort.language import _
from lungwort.records.chain.identity import moment_text
from lungwort.records.look_back.question import THING, Question

WITH_PERIOD = ("faulty equipment", "defective part", "infected patient")


class Asking(forms.Form):
    """A beginning, its code, and what narrows or widens it."""

    kind = forms.ChoiceField()
    code = forms.CharField(max_length=80, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    since = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))
    until = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))
    same_ward = forms.BooleanField(required=False)

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **{"label_suffix": "", **named})
        field: Any = self.fields
        field["kind"].choices = list(beginnings().items())
        labels = {
            "kind": _("Where to begin"),
            "code": _("Its code, or the patient's reference"),
            "since": _("From this day"),
            "until": _("Up to the end of this day"),
            "same_ward": _("List who was in the ward at the same time, too"),
        }
        for name, label in labels.items():
            field[name].label = label
        field["since"].help_text = _(
            "Only for equipment, a part or a patient; empty: since the last good evidence."
        )
        field["same_ward"].help_text = _("Only for a patient.")

    def clean(self) -> dict[str, Any]:
        """Refuse a period or a ward where it does not belong to the beginning."""
        told: dict[str, Any] = super().clean() or {}
        kind = told.get("kind")
        if (told.get("since") or told.get("until")) and kind not in WITH_PERIOD:
            self.add_error(
                "since", _("A period belongs to equipment, a part or a patient; leave it empty here.")
            )
        if told.get("same_ward") and kind != "infected patient":
            self.add_error("same_ward", _("This belongs to a patient; leave it out here."))
        return told

    def question(self) -> Question:
        """Return what was asked, once it is valid."""
        told = self.cleaned_data
        since, until = told["since"], told["until"]
        return Question(
            told["kind"],
            told["code"].strip(),
            _moment(datetime.combine(since, time.min)) if since else "",
            _moment(datetime.combine(until, time.max)) if until else "",
            told["same_ward"],
        )


def beginnings() -> dict[str, str]:
    """Return the six beginnings, each in words."""
    return {
        "failed cycle": _("A cycle that failed, or whose proof is doubted"),
        "positive indicator": _("A cycle whose biological indicator showed growth"),
        "faulty equipment": _("An autoclave or bath that was faulty"),
        "wrong batch": _("A batch of a chemical that was wrong"),
        "defective part": _("A part that was defective"),
        "infected patient": _("A patient with an infection"),
    }


def named_in(told: Mapping[str, str]) -> dict[str, str]:
    """Return what an address asks for: `kind` and `code`, or a thing such as `cycle` with its code.

    >>> named_in({"batch": "B-1"})
    {'kind': 'wrong batch', 'code': 'B-1'}
    """
    for kind, thing in THING.items():
        if told.get(thing):
            return {"kind": kind, "code": told[thing]}
    return {key: told[key] for key in ("kind", "code") if told.get(key)}


def _moment(local: datetime) -> str:
    return moment_text(timezone.make_aware(local))
