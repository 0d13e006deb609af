"""Address of scanning."""

from django.urls import path

from lungwort.web.scan.views import scan

urlpatterns = [path("scan", scan, name="scan")]
