"""What signing in asks."""

from __future__ import annotations

from typing import Any

from django import forms

from lungwort.language import _

SHORTEST_PIN = 6


class SignIn(forms.Form):
    """Place, code and PIN."""

    place = forms.ChoiceField()
    person = forms.CharField(
        max_length=80,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "username"}),
    )
    pin = forms.CharField(
        max_length=64,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "current-password"}),
    )

    def __init__(self, places: list[str], *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        field: Any = self.fields["place"]
        field.choices = [(place, place) for place in places]
        if len(places) == 1:
            field.widget = forms.HiddenInput()
            field.initial = places[0]
        field.label, self.fields["person"].label, self.fields["pin"].label = (
            _("Place"),
            _("Your code"),
            _("PIN"),
        )


class NewPin(forms.Form):
    """A PIN, twice."""

    pin = forms.CharField(
        min_length=SHORTEST_PIN,
        max_length=64,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(max_length=64, widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}))

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self.fields["pin"].label, self.fields["again"].label = (
            _("PIN, at least six characters"),
            _("The PIN again"),
        )

    def clean(self) -> dict[str, Any]:
        """Refuse two that differ."""
        told: dict[str, Any] = super().clean() or {}
        if told.get("pin") and told.get("again") != told["pin"]:
            self.add_error("again", _("The two differ; type the same PIN twice."))
        return told
