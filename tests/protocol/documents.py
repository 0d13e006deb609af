"""Protocols made for tests: strategies for every valid document, and one short document in words."""

import copy
from datetime import date

from hypothesis import strategies as st

from lungwort.library.agents import all_agents
from lungwort.library.catalogue import all_criteria
from lungwort.library.duties import all_duties
from lungwort.library.materials import all_materials
from lungwort.library.parts import all_parts
from lungwort.protocol.document import Protocol

SHORT = """format = 1
title = "Short"
version = "1"

[place]
name = "Ward"
altitude_m = 0
room = { lowest_c = 15, highest_c = 25 }
store = { lowest_c = 15, highest_c = 25 }
waters = ["tap", "sterile"]

[[role]]
name = "technician"

[[kind]]
name = "Hose"
contact = "semi-critical"
step = [
  { do = "wash", by = "technician", minutes = 10 },
  { do = "rinse", by = "technician", minutes = 5, water = "tap" },
]
"""

_WORDS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12)
names = _WORDS.map(str.strip).filter(bool) | st.sampled_from(
    ["Autoclave 1", "Bath 1", "Bleach", "technician", "134"]
)
numbers = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-50, 200)
above_zero = st.floats(min_value=0, exclude_min=True, allow_infinity=False) | st.integers(1, 500)
from_zero = st.floats(min_value=0, allow_infinity=False) | st.integers(0, 500)
days = st.dates(date(2000, 1, 1), date(2100, 1, 1))
waters = st.sampled_from(["sterile", "filtered", "boiled", "tap"])
criteria = st.sampled_from([c.name for c in all_criteria()])
agents = st.sampled_from([a.name for a in all_agents()])
strengths = names | st.sampled_from(["1000 mg/L", "0.5 %", "5 % available chlorine w/v", "70 % v/v"])
sensors = st.sampled_from(["Pt100 A", "type K class 2", "±0.5 K", "calibrated -0.1 ±0.2"])
severities = st.sampled_from(["non-critical", "semi-critical", "critical"])


def tables(needed, optional=None):
    """Return a strategy for a table with its needed keys and any of the optional."""
    return st.fixed_dictionaries(needed, optional=optional or {})


def some(strategy, least=0, most=3):
    """Return a strategy for short lists."""
    return st.lists(strategy, min_size=least, max_size=most)


def once(strategy, least=0, most=3):
    """Return a strategy for short lists of tables whose names stand once."""
    return st.lists(strategy, min_size=least, max_size=most, unique_by=lambda table: table["name"])


ranges = st.tuples(st.floats(-30, 60), st.floats(-30, 60)).map(
    lambda pair: {"lowest_c": min(pair), "highest_c": max(pair)}
)
places = st.one_of(
    *(
        tables(
            {"name": names, "room": ranges, "store": ranges, "waters": some(waters, 1), **air},
            {"room_m3": st.floats(0.1, 10_000), "air_changes_per_h": st.floats(0, 100)},
        )
        for air in (
            {"altitude_m": st.floats(-400, 6000)},
            {"barometer_kpa": st.floats(45, 110)},
            {"altitude_m": st.floats(-400, 6000), "barometer_kpa": st.floats(45, 110)},
        )
    )
)
settings_ = tables({"name": names, "temperature_c": numbers, "pressure": numbers, "hold_min": above_zero})
autoclaves = tables(
    {
        "name": names,
        "removal": st.sampled_from(["gravity", "pre-vacuum"]),
        "gauge_unit": st.sampled_from(["kPa", "bar", "mbar", "psi", "MPa"]),
        "gauge_kind": st.sampled_from(["gauge", "absolute"]),
        "setting": some(settings_, 1),
    }
)
baths = tables({"name": names, "highest_c": numbers}, {"volume_l": above_zero})
thermometers = tables(
    {"name": names, "sensor": sensors, "used_on": some(names, 1), "interval_s": above_zero},
    {"pressure_too": st.booleans(), "calibration_due": days},
)
scales = tables({"name": names, "error_g": above_zero})
stocks = tables({"name": names, "agent": agents, "strength": strengths}, {"made_on": days, "opened_on": days})
roles = tables({"name": names}, {"note": names})
trainings = tables({"person": names, "role": names, "passed_on": days, "expires_on": days})
adoptions = tables(
    {"criterion": criteria, "by": names, "on": days, "source": names.map(lambda t: t + " code")}
)

_STEP = {"by": names, "minutes": st.floats(0.1, 10_080) | st.integers(1, 300)}
_AROUND = {"times": st.integers(1, 20), "proved_by": some(criteria), "note": names, "water": waters}
_SOAK = {"stock": names, "strength": strengths, "contact_min": above_zero}
steps = st.one_of(
    tables(
        {"do": st.sampled_from(["take apart", "wash", "dry", "look", "assemble", "test", "store"]), **_STEP},
        _AROUND,
    ),
    tables({"do": st.just("rinse"), **_STEP, "water": waters}, {"times": st.integers(1, 20), "note": names}),
    tables(
        {"do": st.just("treat"), **_STEP, "process": st.just("steam"), "equipment": names, "setting": names},
        _AROUND,
    ),
    tables(
        {
            "do": st.just("treat"),
            **_STEP,
            "process": st.just("hot water"),
            "equipment": names,
            "temperature_c": numbers,
            "hold_min": above_zero,
        },
        _AROUND,
    ),
    tables(
        {"do": st.just("treat"), **_STEP, "process": st.sampled_from(["soak", "wipe"]), **_SOAK},
        {
            **_AROUND,
            "solution_days": from_zero,
            "temperature_c": numbers,
            "evaporation_mg_per_h": st.floats(0, 1e9),
            "extracted": st.booleans(),
        },
    ),
)
usual = {"like": st.sampled_from([u.name for u in all_duties().usual])}
whats = names | st.sampled_from(["Leak test", "Look for water", "Change the circuit", "Packet closed"])
checks = tables({"when": st.sampled_from(["before use", "after use"]), "what": whats, "by": names}, usual)
duties = st.one_of(
    tables({"what": whats, "by": names, "every_h": above_zero}, usual),
    tables({"what": whats, "by": names, "every_days": above_zero}, {**usual, "holds": st.booleans()}),
)
makers = tables(
    {"what": names, "clause": names},
    {
        "highest_steam_c": numbers,
        "highest_water_c": numbers,
        "cycles_at_most": st.integers(1, 10_000),
        "not_with": some(names | agents),
    },
)
kinds = tables(
    {"name": names, "contact": severities},
    {
        "like": st.sampled_from([p.name for p in all_parts()]),
        "materials": some(st.sampled_from([m.name for m in all_materials()])),
        "reuse": st.sampled_from(["reusable", "single patient"]),
        "machine": st.booleans(),
        "maker": some(makers, most=2),
        "sets_owned": st.integers(0, 1000),
        "used_per_day": from_zero,
        "step": some(steps, most=6),
        "check": some(checks, most=2),
        "duty": some(duties, most=2),
        "on_failure": names,
    },
)
protocols = tables(
    {"format": st.just(1), "title": names, "version": names, "place": places, "kind": once(kinds, 1, 3)},
    {
        "valid_from": days,
        "adoption": some(adoptions),
        "autoclave": once(autoclaves, most=2),
        "bath": once(baths, most=2),
        "thermometer": once(thermometers, most=2),
        "scale": once(scales, most=1),
        "stock": once(stocks, most=2),
        "role": once(roles, most=3),
        "training": some(trainings),
    },
).map(lambda raw: Protocol.model_validate(copy.deepcopy(raw)))
