"""Which unit and which kind of pressure each column has, and who says so; contradictions are refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NoReturn

from lungwort.evidence.log import PressureKind
from lungwort.evidence.reading.draft import Draft, ValueColumn, cell_unit, find, known_unit, quantity_of
from lungwort.evidence.reading.headings import UNIT_NAME, Heading
from lungwort.evidence.reading.refusals import quoted, refuse
from lungwort.evidence.reading.units import Unit, unit_of
from lungwort.language import _

KIND_WORDS = {"absolute": "absolute", "gauge": "gauge"}


def declared_units(draft: Draft) -> dict[int, Unit]:
    """Return the units declared for single columns."""
    units: dict[int, Unit] = {}
    for name, text in draft.declared.units.items():
        unit = known_unit(text)
        for index in find(draft.headings, name) if name else ():
            units[index] = unit
    return units


def find_unit_columns(draft: Draft, candidates: Iterable[int]) -> None:
    """Find columns that hold nothing but a unit, and give it to the columns it belongs to.

    The only such column of a quantity stands for all columns of it; of several, each for those since the one before.
    """
    found = {i: unit for i in candidates if (unit := _unit_in(draft, i))}
    for quantity in ("temperature", "pressure"):
        own = [i for i, unit in found.items() if unit.quantity == quantity]
        start = 0
        for index in own:
            span = range(draft.layout.width) if len(own) == 1 else range(start, index)
            suited = [i for i in span if _suits(draft.headings[i], quantity)]
            draft.units |= dict.fromkeys(suited, found[index])
            draft.unit_column |= dict.fromkeys(suited, index)
            draft.constant[index] = next(cell.strip() for cell in draft.cells(index) if cell.strip())
            start = index + 1


def _suits(heading: Heading, quantity: str) -> bool:
    return heading.is_temperature if quantity == "temperature" else heading.is_pressure


def _unit_in(draft: Draft, index: int) -> Unit | None:
    if draft.layout.pattern[index] != "x":
        return None
    cells = {cell.strip() for cell in draft.cells(index)} - {""}
    units = {unit_of(cell) for cell in cells}
    named = bool(UNIT_NAME.match(draft.headings[index].words))
    if None in units or not units or not (named or all(len(cell) > 1 for cell in cells)):
        return None
    if len(cells) > 1:
        refuse(
            _("{column} names more than one unit ({units}); split the file where the unit changes.").format(
                column=draft.label(index), units=", ".join(sorted(cells))
            )
        )
    return units.pop()


def value_column(
    draft: Draft, index: int, declared: dict[int, Unit], stated: dict[str, tuple[Unit, str]]
) -> ValueColumn:
    """Settle the unit and the kind of pressure of one column; all that tell a unit must tell the same."""
    heading, quantity = draft.headings[index], quantity_of(draft, index, declared)
    told = _told(draft, index, quantity, stated)
    said = [*told.values(), *([declared[index]] if index in declared else [])]
    _no_contradiction(draft, index, said)
    general = draft.declared.units.get("")
    if not said and general and known_unit(general).quantity == quantity:
        said = [known_unit(general)]
    if not said:
        _refuse_no_unit(draft, index, quantity)
    source = next(iter(told), _("the declaration"))
    if heading.unit is None:
        draft.told.setdefault(f"{said[0].written}\0{source}", []).append(draft.label(index))
    kind = (next((u.kind for u in said if u.kind), None) or heading.kind) if quantity == "pressure" else None
    only = list(told) == [_("its cells")] and index not in declared
    asked = index in (draft.chosen or ())
    return ValueColumn(index, heading.name or str(index + 1), heading, said[0], kind, only, asked)


def _told(draft: Draft, index: int, quantity: str, stated: dict[str, tuple[Unit, str]]) -> dict[str, Unit]:
    """Return what the file says of a column's unit, by where it says so."""
    told: dict[str, Unit | None] = {_("its heading"): draft.headings[index].unit}
    if index in draft.units:
        told[draft.label(draft.unit_column[index])] = draft.units[index]
    told[_("its cells")] = cell_unit(draft.cells(index))
    if quantity in stated:
        told[_("the line {line}").format(line=quoted(stated[quantity][1]))] = stated[quantity][0]
    return {where: unit for where, unit in told.items() if unit is not None}


def _no_contradiction(draft: Draft, index: int, said: list[Unit]) -> None:
    names = {unit.name for unit in said}
    kinds = {unit.kind for unit in said} | {draft.headings[index].kind if names else None}
    if len(names) > 1 or len(kinds - {None}) > 1:
        refuse(
            _(
                "{column} is said to be in {units}; only one can be right. Mend the file or the declared unit."
            ).format(column=draft.label(index), units=_(" and in ").join(sorted({u.written for u in said})))
        )


def _refuse_no_unit(draft: Draft, index: int, quantity: str) -> NoReturn:
    name = draft.headings[index].name or str(index + 1)
    if quantity == "temperature":
        text = _(
            "no unit is written for the temperatures in {column}; "
            'say --unit C (all of them) or --unit "{name}=C".'
        )
    else:
        text = _(
            "no unit is written for the pressures in {column}; "
            'say --unit "{name}=kPa" or --leave-out "{name}".'
        )
    refuse(text.format(column=draft.label(index), name=name))


def check_general_unit(draft: Draft, values: list[ValueColumn]) -> None:
    """Refuse a unit declared for all columns that every column contradicts."""
    general = draft.declared.units.get("")
    unit = known_unit(general) if general else None
    same = [v.unit for v in values if unit and v.unit.quantity == unit.quantity]
    if unit and same and all(other.name != unit.name for other in same):
        refuse(
            _("the unit {unit} is declared, but the file says {other}; only one can be right.").format(
                unit=unit.written, other=same[0].written
            )
        )


def with_kinds(draft: Draft, values: list[ValueColumn], stated: PressureKind | None) -> list[ValueColumn]:
    """Give pressures without a kind the one stated in the file or declared; refuse one that contradicts."""
    pressures = [v for v in values if v.unit.quantity == "pressure"]
    declared = draft.declared.pressure_kind
    lacking = [v for v in pressures if v.kind is None]
    _no_other_kind(pressures, lacking, declared, stated)
    kind = stated or declared
    if lacking and kind:
        draft.notes.append(
            _("The pressure in {columns} is taken as {kind}, as {source} says.").format(
                columns=", ".join(v.label for v in lacking),
                kind=_(KIND_WORDS[kind]),
                source=_("a line outside the table") if stated else _("the declaration"),
            )
        )
    return [replace(v, kind=kind) if v in lacking else v for v in values]


def _no_other_kind(
    pressures: list[ValueColumn],
    lacking: list[ValueColumn],
    declared: PressureKind | None,
    stated: PressureKind | None,
) -> None:
    against = [
        v
        for v in pressures
        if v.kind and ((declared and not lacking and v.kind != declared) or (stated and v.kind != stated))
    ]
    if against or (lacking and declared and stated and stated != declared):
        refuse(
            _("{column}: the pressure is said to be gauge and absolute; only one can be right.").format(
                column=(against or lacking)[0].label
            )
        )


def unit_notes(draft: Draft) -> list[str]:
    """Return a sentence for every source of units other than the headings."""
    return [
        _("In {unit}, as told by {source}: {columns}.").format(
            unit=key.split("\0")[0], source=key.split("\0")[1], columns=", ".join(columns)
        )
        for key, columns in draft.told.items()
    ]
