"""Addresses of the protocol."""

from django.urls import path

from lungwort.web.protocol.editing import protocol_edit
from lungwort.web.protocol.views import protocol, protocol_card

urlpatterns = [
    path("protocol", protocol, name="protocol"),
    path("protocol/edit", protocol_edit, name="protocol_edit"),
    path("protocol/card/<path:kind>", protocol_card, name="protocol_card"),
]
