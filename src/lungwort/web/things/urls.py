"""Addresses of things."""

from django.urls import path

from lungwort.web.things import changes, views

urlpatterns = [
    path("things", views.things, name="things"),
    path("enrol/<slug:what>", changes.enrol, name="enrol"),
    path("thing/<slug:kind>/<path:code>/label", views.label, name="label"),
    path("thing/<slug:kind>/<path:code>/order/<slug:name>", changes.order, name="order"),
    path("thing/<slug:kind>/<path:code>/entry/<slug:event>", changes.amend, name="amend"),
    path("thing/<slug:kind>/<path:code>", views.thing, name="thing"),
]
