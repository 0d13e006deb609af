"""Addresses of the bedside."""

from django.urls import path

from lungwort.web.bedside.set_up import set_up
from lungwort.web.bedside.views import bedside

urlpatterns = [
    path("bedside", bedside, name="bedside"),
    path("set-up/<str:code>", set_up, name="set_up"),
]
