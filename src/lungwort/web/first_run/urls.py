"""Address of the first run."""

from django.urls import path

from lungwort.web.first_run import views

urlpatterns = [path("first-run", views.first_run, name="first_run")]
