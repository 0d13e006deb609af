"""Signing in and out."""

from __future__ import annotations

import time
from typing import Any

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from lungwort.language import _
from lungwort.web.access import for_everybody, open_to_anyone
from lungwort.web.accounts.forms import SignIn
from lungwort.web.accounts.models import account_name
from lungwort.web.frame.books import store


@open_to_anyone
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for code and PIN, then go on to where the person wanted to be."""
    places = store().places()
    if not places:
        return redirect("first_run")
    form = SignIn(places, request.POST or None)
    if request.method == "POST" and form.is_valid():
        told = form.cleaned_data
        name = account_name(told["place"], told["person"].strip())
        account = authenticate(request, username=name, password=told["pin"])
        if account is not None:
            login(request, account)
            request.session["seen"] = int(time.time())
            return redirect(_wanted(request))
        form.add_error(None, _("Code and PIN do not belong together. An administrator can give a new PIN."))
    return render(request, "accounts/sign_in.html", {"form": form}, status=400 if form.errors else 200)


def _wanted(request: HttpRequest) -> str:
    asked = request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(asked, {request.get_host()}, request.is_secure())
    return asked if asked and ours else reverse("now")


@for_everybody
@require_POST
def change_person(request: HttpRequest) -> HttpResponse:
    """Sign out, so that the next person can sign in on this device."""
    logout(request)
    return redirect("sign_in")


def locked_out(request: HttpRequest, *_rest: Any, **_named: Any) -> HttpResponse:
    """Answer too many wrong PINs."""
    return render(request, "accounts/locked_out.html", status=429)
