"""Every screen's addresses, found by themselves: a folder with `urls.py` is a screen."""

from importlib import import_module

from django.conf import settings
from django.urls import include, path

urlpatterns = [path("", include(import_module(f"lungwort.web.{screen}.urls"))) for screen in settings.SCREENS]

handler404 = "lungwort.web.frame.views.not_found"
handler500 = "lungwort.web.frame.views.broken"
