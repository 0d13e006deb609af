"""Address of the further screens."""

from django.urls import path

from lungwort.web.more.views import more

urlpatterns = [path("more", more, name="more")]
