"""Addresses of people."""

from django.urls import path

from lungwort.web.people.person import person
from lungwort.web.people.views import people

urlpatterns = [
    path("people", people, name="people"),
    path("people/<path:code>", person, name="person"),
]
