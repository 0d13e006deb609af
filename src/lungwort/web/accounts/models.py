"""What the pages keep beside the records: PINs. Who may do what stands in the records alone."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

APART = "\N{SYMBOL FOR UNIT SEPARATOR}"
"""Between place and person in an account's name; no code holds it."""


class Accounts(BaseUserManager["Account"]):
    """Every account."""

    def of(self, place: str, person: str) -> Account | None:
        """Return a person's account at a place, if there is one."""
        return self.filter(name=account_name(place, person)).first()


class Account(AbstractBaseUser):
    """A person of the records who may sign in; the password is a PIN, kept as a slow hash."""

    name = models.CharField(max_length=170, unique=True)
    place = models.CharField(max_length=80)
    person = models.CharField(max_length=80)
    objects: ClassVar[Accounts] = Accounts()

    USERNAME_FIELD = "name"

    class Meta:
        db_table = "web_account"

    def __str__(self) -> str:
        return self.person


def account_name(place: str, person: str) -> str:
    """Return the name of a person's account at a place."""
    return f"{place}{APART}{person}"


def give_pin(place: str, person: str, pin: str) -> None:
    """Give a person a PIN in place of the one they had."""
    account = Account.objects.of(place, person) or Account(
        name=account_name(place, person), place=place, person=person
    )
    account.set_password(pin)
    account.save()
