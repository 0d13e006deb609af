"""What the pages of things ask: an order's reason, how an entry should read, what is enrolled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from lungwort.language import _
from lungwort.records.states.fact import Fact
from lungwort.web.things.orders import Order

DAY = {"type": "date"}
MOMENT = {"type": "datetime-local"}


class Afterwards(forms.Form):
    """When it happened, where that was not just now, and why it is entered afterwards."""

    def ask_when(self) -> None:
        """Add the two fields at the end."""
        self.fields["when"] = forms.CharField(
            required=False,
            label=_("When it happened, if not just now"),
            widget=forms.TextInput(attrs=MOMENT),
        )
        self.fields["why"] = forms.CharField(
            required=False,
            max_length=200,
            label=_("Why it is entered afterwards"),
            help_text=_("Such as: power cut"),
        )


class OrderForm(Afterwards):
    """What an order asks."""

    def __init__(self, order: Order, duties: Sequence[str], *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        if "duty" in order.asks:
            choices = [(duty, duty) for duty in duties]
            self.fields["duty"] = forms.ChoiceField(choices=choices, label=_("What was done"))
        if "day" in order.asks:
            self.fields["day"] = forms.DateField(
                label=_("Last day on which the calibration counts"), widget=forms.DateInput(attrs=DAY)
            )
        if "reason" in order.asks:
            text = _("Who calibrated it, and the number of the certificate") if "day" in order.asks else ""
            self.fields["reason"] = forms.CharField(
                max_length=300, label=text or _("Why, in a few words"), required="day" not in order.asks
            )
        self.ask_when()


TEXTS = (
    "serial",
    "lot",
    "made_on",
    "expires_on",
    "calibration_due",
    "due",
    "defect",
    "reason",
    "note",
    "setting",
)
"""What a correction on a thing's page can say otherwise; the rest is struck and recorded anew."""


def labels() -> Mapping[str, str]:
    """Return the names of what a correction can say otherwise."""
    return {
        "serial": _("Serial number"),
        "lot": _("Lot"),
        "made_on": _("Made on"),
        "expires_on": _("To be used until"),
        "calibration_due": _("Calibration counts until"),
        "due": _("Calibration counts until"),
        "defect": _("What was found"),
        "reason": _("Reason"),
        "note": _("Note"),
        "setting": _("Programme"),
    }


class AmendForm(forms.Form):
    """Why an entry is wrong; for a correction, how it should read."""

    said = forms.CharField(max_length=300)

    def __init__(self, fact: Fact, struck: bool, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self.fields["said"].label = _("Why it is wrong, in a few words")
        if struck:
            return
        for key in (key for key in TEXTS if isinstance(fact.data.get(key), str)):
            self.fields[key] = forms.CharField(
                required=False, max_length=300, label=labels()[key], initial=fact.data[key]
            )
        self.fields["happened"] = forms.CharField(
            required=False,
            label=_("When it really happened, if that is wrong"),
            widget=forms.TextInput(attrs=MOMENT),
        )

    def written(self, fact: Fact) -> dict[str, Any]:
        """Return what the entry should have said, whole."""
        changed = {key: self.cleaned_data[key].strip() for key in TEXTS if key in self.fields}
        told = {**fact.data, **changed}
        return {key: value for key, value in told.items() if value != "" or key in fact.data}


class EnrolForm(Afterwards):
    """What is enrolled: a part or a machine, equipment, a batch."""

    def __init__(self, what: str, names: Sequence[str], *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        choices = [("", "–"), *((name, name) for name in names)]
        self.fields["name"] = forms.ChoiceField(choices=choices, label=_("What it is, by the protocol"))
        self.fields["code"] = forms.CharField(
            required=False,
            max_length=80,
            label=_("Its code, if it bears one of ours already"),
            help_text=_("Leave it empty and a new one is made to print."),
        )
        add = {"part": self._of_a_part, "equipment": self._of_equipment, "batch": self._of_a_batch}
        add[what]()
        self.ask_when()

    def _text(self, key: str, label: str) -> None:
        self.fields[key] = forms.CharField(required=False, max_length=200, label=label)

    def _day(self, key: str, label: str) -> None:
        self.fields[key] = forms.DateField(
            required=False, label=label, widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d")
        )

    def _of_a_part(self) -> None:
        self._text("tag", _("Another code on it, such as its maker's, as scanned"))
        self._text("serial", _("Serial number"))
        self.fields["cycles"] = forms.IntegerField(
            required=False, min_value=0, max_value=100_000, label=_("Treatments before, if known")
        )
        self._day("expires_on", _("To be used until, as printed on the packet"))

    def _of_equipment(self) -> None:
        self._text("serial", _("Serial number"))
        self._day("calibration_due", _("Last day on which its calibration counts"))

    def _of_a_batch(self) -> None:
        self._text("lot", _("Lot"))
        self._day("made_on", _("Made on"))
        self._day("expires_on", _("To be used until"))
