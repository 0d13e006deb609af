"""Writing a history: a unit is opened and simulated week by week, each week kept together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil
from random import Random

import numpy as np

from lungwort.demo.history.admissions import YEAR_DAYS
from lungwort.demo.history.agenda import Agenda
from lungwort.demo.history.opening import open_unit
from lungwort.demo.history.planted import Planted, planted_truth
from lungwort.demo.history.rates import Rates
from lungwort.demo.history.staff import staff_for
from lungwort.demo.history.unit import MACHINE, MASK, TREATED, Size, Unit
from lungwort.records.life.witness import Book
from lungwort.records.stores.store import Store

A_CHUNK = timedelta(days=7)
OPENS_AT_H = 6
QUIET = timedelta(minutes=10)
"""Nothing begins so shortly before the end, so that nothing is recorded after it."""
SETS_BEYOND_BEDS, MACHINES_BEYOND_BEDS = 2, 2


@dataclass(frozen=True)
class History:
    """What was written: where, from when to when, how many of what; and the planted failure, where there was time."""

    place: str
    began: datetime
    ends: datetime
    counts: Mapping[str, int]
    planted: Planted | None


def write_history(
    store: Store,
    place: str,
    *,
    beds: int,
    years: float,
    seed: int,
    ends: datetime,
    duties_per_day: float = 2.0,
    rates: Rates | None = None,
    told: Callable[[float], None] | None = None,
) -> History:
    """Write the history of an invented unit into a store, deed by deed through the same functions as real records.

    The same arguments write the same bytes; another `ends` moves the same story to other days.

    Args:
        store: where the place has no records yet.
        place: its code.
        beds: how many patients can be ventilated at once, 1 or more.
        years: how long, above 0.
        seed: of everything that is drawn.
        ends: the last moment, with its zone; nothing is recorded after it.
        duties_per_day: how many of the round's duties are recorded a day on each patient.
        rates: how often things go wrong.
        told: is told the share done, 0 to 1.

    Returns:
        What was written, and what is true of its planted failure by the simulation's own ledger.
    """
    unit = _unit(store, place, _size(beds, duties_per_day), _began(ends, years), ends, seed, rates or Rates())
    with store.together():
        open_unit(unit)
    while unit.agenda.now < ends - QUIET:
        with store.together():
            unit.agenda.run_until(min(unit.agenda.now + A_CHUNK, ends - QUIET))
        if told is not None:
            told(min(1.0, (unit.agenda.now - unit.agenda.began) / (ends - QUIET - unit.agenda.began)))
    unit.counts["events"] = store.head(place).sequence
    return History(place, unit.agenda.began, ends, dict(sorted(unit.counts.items())), planted_truth(unit))


def _began(ends: datetime, years: float) -> datetime:
    """Return the morning of the first day, so that the hour of the end moves nothing in the story."""
    first = ends.astimezone(UTC) - timedelta(days=round(YEAR_DAYS * years))
    return first.replace(hour=OPENS_AT_H, minute=0, second=0, microsecond=0)


def _size(beds: int, duties_per_day: float) -> Size:
    sets = dict.fromkeys(TREATED, beds + SETS_BEYOND_BEDS)
    sets |= {MASK: ceil(beds / 2) + 1, MACHINE: beds + MACHINES_BEYOND_BEDS}
    return Size(beds, sets, duties_per_day)


def _unit(
    store: Store, place: str, size: Size, began: datetime, ends: datetime, seed: int, rates: Rates
) -> Unit:
    agenda = Agenda(began, began)
    book = Book(store, place, agenda.clock, Random(f"codes {seed}").randbytes)
    return Unit(
        book=book,
        agenda=agenda,
        last_day=ends.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0),
        size=size,
        rates=rates,
        chance=Random(seed),
        noise=np.random.default_rng(seed),
        staff=staff_for(size.beds),
    )
