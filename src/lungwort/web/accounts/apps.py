"""The screen's name for Django."""

from django.apps import AppConfig


class AccountsConfig(AppConfig):
    """Accounts, as Django knows them."""

    name = "lungwort.web.accounts"
    label = "accounts"
