"""The room's name for Django."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """Records, as Django knows them."""

    name = "lungwort.records"
    label = "records"
