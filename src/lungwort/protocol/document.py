"""The protocol as one document."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field, model_validator

from lungwort.language import _
from lungwort.protocol.equipment import Autoclave, Bath, Scale, Stock, Thermometer
from lungwort.protocol.kinds import Kind
from lungwort.protocol.model import Name, Table
from lungwort.protocol.people import Adoption, Role, Training
from lungwort.protocol.place import Place


class Protocol(Table):
    """A hospital's protocol: the place, its equipment, its people, its kinds of part and their turnarounds."""

    format: Literal[1]
    title: Name
    version: Name
    valid_from: date | None = None
    place: Place
    adoptions: tuple[Adoption, ...] = Field(default=(), alias="adoption")
    autoclaves: tuple[Autoclave, ...] = Field(default=(), alias="autoclave")
    baths: tuple[Bath, ...] = Field(default=(), alias="bath")
    thermometers: tuple[Thermometer, ...] = Field(default=(), alias="thermometer")
    scales: tuple[Scale, ...] = Field(default=(), alias="scale")
    stocks: tuple[Stock, ...] = Field(default=(), alias="stock")
    roles: tuple[Role, ...] = Field(default=(), alias="role")
    trainings: tuple[Training, ...] = Field(default=(), alias="training")
    kinds: tuple[Kind, ...] = Field(alias="kind", min_length=1)

    @model_validator(mode="after")
    def _names_once(self) -> Protocol:
        for what in ("autoclaves", "baths", "thermometers", "scales", "stocks", "roles", "kinds"):
            names = [item.name for item in getattr(self, what)]
            twice = sorted({name for name in names if names.count(name) > 1})
            if twice:
                text = _("{what} have names that stand twice: {names}; give each its own")
                raise ValueError(text.format(what=what, names=", ".join(twice)))
        return self

    def autoclave(self, name: str | None) -> Autoclave | None:
        """Return the autoclave called `name`, or None."""
        return next((x for x in self.autoclaves if x.name == name), None)

    def bath(self, name: str | None) -> Bath | None:
        """Return the bath called `name`, or None."""
        return next((x for x in self.baths if x.name == name), None)

    def stock(self, name: str | None) -> Stock | None:
        """Return the stock called `name`, or None."""
        return next((x for x in self.stocks if x.name == name), None)

    def kind(self, name: str) -> Kind | None:
        """Return the kind of part called `name` (any case), or None."""
        return next((x for x in self.kinds if x.name.lower() == name.lower()), None)

    @property
    def adopted(self) -> frozenset[str]:
        """The names of the criteria that the hospital has adopted."""
        return frozenset(adoption.criterion for adoption in self.adoptions)
