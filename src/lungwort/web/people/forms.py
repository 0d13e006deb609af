"""What is asked of whoever enrols, gives roles, or assesses."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from lungwort.language import _
from lungwort.records.life.permissions import ROLES, role_words


class Roles(forms.Form):
    """Roles to tick."""

    roles = forms.MultipleChoiceField(widget=forms.CheckboxSelectMultiple)

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **{"label_suffix": "", **named})
        field: Any = self.fields["roles"]
        field.label, field.choices = _("Roles"), [(role, role_words(role)) for role in ROLES]


class Enrolling(Roles):
    """A code and roles."""

    code = forms.CharField(max_length=80, widget=forms.TextInput(attrs={"autocapitalize": "characters"}))
    field_order = ("code", "roles")

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **{"label_suffix": "", **named})
        self.fields["code"].label = _("Code")
        self.fields["code"].help_text = _("A code such as N-14, never a name.")


class Assessing(forms.Form):
    """A training, how its assessment went, and its last day."""

    role = forms.ChoiceField()
    passed = forms.ChoiceField(widget=forms.RadioSelect)
    expires_on = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, roles: Iterable[str], *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **{"label_suffix": "", **named})
        field: Any = self.fields
        field["role"].choices = [(role, role) for role in roles]
        field["passed"].choices = [("yes", _("passed")), ("no", _("not passed"))]
        field["role"].label, field["passed"].label = _("Trained as"), _("Assessment")
        field["expires_on"].label = _("Last day on which it counts")
        field["passed"].help_text = _("One that was not passed ends the training there was.")
