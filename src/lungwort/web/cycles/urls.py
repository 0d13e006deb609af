"""Addresses of the cycles."""

from django.urls import path

from lungwort.web.cycles import evidence, loading, pictures, readings, views

urlpatterns = [
    path("cycles", views.cycles, name="cycles"),
    path("cycles/load", loading.load, name="load"),
    path("cycle/<str:code>", views.cycle, name="cycle"),
    path("cycle/<str:code>/do/<slug:action>", views.record, name="cycle_do"),
    path("cycle/<str:code>/evidence/<slug:kind>", evidence.attach, name="cycle_evidence"),
    path("cycle/<str:code>/readings", readings.readings, name="cycle_readings"),
    path("cycle/<str:code>/chart/<slug:which>", pictures.chart, name="cycle_chart"),
    path("cycle/<str:code>/certificate/<int:which>", pictures.certificate, name="cycle_certificate"),
]
