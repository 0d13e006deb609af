"""Every rule on documents whose names fit together and whose numbers are anything."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st
from protocol_making import (
    autoclave,
    bath,
    dry,
    hot_water,
    kind,
    maker,
    place,
    protocol,
    rinse,
    setting,
    soak,
    steam,
    step,
    stock,
    thermometer,
    wash,
)

from lungwort.library.agents import all_agents
from lungwort.library.catalogue import all_criteria
from lungwort.library.materials import all_materials
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.vet import vet

ANY = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-300, 500)
ABOVE = st.floats(1e-300, 1e300) | st.floats(0.01, 2000)
CRITERIA = st.lists(st.sampled_from([c.name for c in all_criteria()]), max_size=3)
STRENGTHS = st.sampled_from(
    ["0.1 %", "1000 mg/L", "70 % v/v", "1e3", "0.0000001 ppm", "2 %", "100 %", "12 °Chl"]
)
DAYS = st.dates(date(1, 1, 1), date(9999, 12, 31))


@st.composite
def documents(draw) -> str:
    """Return a document with one kind that goes through every process, with any numbers."""
    agent = draw(st.sampled_from([a.name for a in all_agents()]))
    by = {"stock": "S", "strength": draw(STRENGTHS), "contact_min": draw(ABOVE)}
    steps = [
        wash(),
        steam(proved_by=draw(CRITERIA)),
        hot_water(temperature_c=draw(ANY), hold_min=draw(ABOVE), proved_by=draw(CRITERIA)),
        soak(**by, temperature_c=draw(ANY), solution_days=draw(ABOVE), proved_by=draw(CRITERIA)),
        step("treat", process="wipe", **by),
        rinse(),
        dry(proved_by=draw(CRITERIA)),
    ]
    limit = maker(
        highest_steam_c=draw(ANY), highest_water_c=draw(ANY), cycles_at_most=draw(st.integers(1, 10**9))
    )
    part = kind(
        materials=draw(st.lists(st.sampled_from([m.name for m in all_materials()]), max_size=2)),
        contact=draw(st.sampled_from(["non-critical", "semi-critical", "critical"])),
        used_per_day=draw(ABOVE),
        makers=[limit],
        steps=steps,
    )
    programme = setting(temperature_c=draw(ANY), pressure=draw(ANY), hold_min=draw(ABOVE))
    gauge = draw(st.sampled_from(["kPa", "bar", "mbar", "psi", "MPa"]))
    sensor = draw(st.sampled_from(["Pt100 AA", "type T class 1", "±0.5 K", "±40 K", "calibrated -9 ±0.2"]))
    return protocol(
        place=place(
            altitude_m=draw(st.floats(-400, 6000)), barometer_kpa=draw(st.none() | st.floats(45, 110))
        ),
        autoclaves=[autoclave(gauge_unit=gauge, setting=[programme])],
        baths=[bath(highest_c=draw(ANY))],
        thermometers=[
            thermometer(sensor=sensor, interval_s=draw(ABOVE), calibration_due=draw(st.none() | DAYS))
        ],
        stocks=[stock(name="S", agent=agent, strength=draw(STRENGTHS), made_on=draw(st.none() | DAYS))],
        kinds=[part],
    )


@given(documents(), DAYS)
@settings(max_examples=60)
def test_no_rule_raises_whatever_the_numbers(text, today):
    """Vetting answers, and every finding is a whole sentence with a remedy at a place that is there."""
    document = parse_protocol(text)
    for found in vet(document, today).findings:
        assert found.line == document.line(*found.path)
        assert found.says
        assert found.remedy
        assert found.source
