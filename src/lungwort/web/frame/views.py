"""Answers that belong to no screen."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that there is no such page, and where to go."""
    return render(request, "frame/not_found.html", status=404)


def broken(request: HttpRequest) -> HttpResponse:
    """Say that something broke which is not the person's fault, without a word of its inside."""
    return render(request, "frame/broken.html", status=500)
