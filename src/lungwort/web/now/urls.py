"""Address of Now."""

from django.urls import path

from lungwort.web.now.views import now

urlpatterns = [path("", now, name="now")]
