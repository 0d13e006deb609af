"""Addresses of the turnaround."""

from django.urls import path

from lungwort.web.turnaround.views import record, turnaround, work

urlpatterns = [
    path("turnaround", turnaround, name="turnaround"),
    path("turnaround/parts", work, name="turnaround_work"),
    path("turnaround/do/<slug:action>", record, name="turnaround_do"),
]
