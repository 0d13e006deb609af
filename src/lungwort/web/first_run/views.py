"""Asking for the place and its first person, once."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from lungwort.language import _
from lungwort.records.chain.preparing import name as checked_name
from lungwort.records.life.people import open_place
from lungwort.web.access import open_to_anyone
from lungwort.web.accounts.forms import NewPin
from lungwort.web.accounts.models import give_pin
from lungwort.web.frame.books import book_of, store


class Beginning(NewPin):
    """The place and its first person."""

    place = forms.CharField(max_length=80)
    person = forms.CharField(max_length=80)
    field_order = ("place", "person", "pin", "again")

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self.fields["place"].label, self.fields["person"].label = _("Name of the hospital"), _("Your code")
        self.fields["person"].help_text = _("A code such as I-01, never a name.")


@open_to_anyone
@require_http_methods(["GET", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    """Ask for the place and its first person; once a place is open, this is over."""
    if store().places():
        return redirect("sign_in")
    form = Beginning(request.POST or None)
    if request.method == "POST" and form.is_valid():
        told = form.cleaned_data
        place, person = checked_name(told["place"], _("the place")), told["person"].strip()
        open_place(book_of(place).witness(person))
        give_pin(place, person, told["pin"])
        return redirect("sign_in")
    return render(request, "first_run/first_run.html", {"form": form}, status=400 if form.errors else 200)
