"""Addresses of signing in."""

from django.urls import path

from lungwort.web.accounts import views

urlpatterns = [
    path("sign-in", views.sign_in, name="sign_in"),
    path("change-person", views.change_person, name="change_person"),
]
