"""Addresses of looking back."""

from django.urls import path

from lungwort.web.look_back import views

urlpatterns = [
    path("look-back", views.look_back, name="look_back"),
    path("look-back/report", views.look_back_pdf, name="look_back_pdf"),
]
