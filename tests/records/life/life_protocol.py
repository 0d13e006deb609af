"""A small protocol for lives: a machine that is wiped, parts for steam, hot water and soak, a foam, two packets."""

from typing import Any

from protocol_making import (
    adoption,
    assemble,
    bath,
    check,
    dry,
    duty,
    hot_water,
    kind,
    leak_test,
    look,
    maker,
    protocol,
    rinse,
    role,
    soak,
    steam,
    step,
    stock,
    store,
    take_apart,
    thermometer,
    training,
    wash,
)

VENTILATOR, CIRCUIT, MASK, SENSOR, FOAM, FILTER = (
    "Ventilator", "Circuit", "Mask", "Flow sensor", "Foam filter", "Bacterial filter",
)  # fmt: skip
MASK_TREATMENTS, FOAM_WASHES = 4, 3
FILTER_CHECKED_EVERY_DAYS, MACHINE_CHECKED_EVERY_DAYS = 30, 180
HOURLY, MACHINE_DUTY, FOAM_DUTY = "Look at the alarms", "Check calibration", "Change the foam filter"


def ventilator(**changes: Any) -> dict[str, Any]:
    """A machine: wiped with alcohol, put together and tested by the engineer."""
    wipe = {"process": "wipe", "stock": "Alcohol", "strength": "70 %", "contact_min": 5}
    nurse = {"by": "nurse"}
    steps = [take_apart(**nurse), wash(**nurse), step("treat", **wipe, **nurse), dry(**nurse), look(**nurse)]
    usual = {
        "name": VENTILATOR,
        "like": "ventilator with turbine",
        "machine": True,
        "contact": "non-critical",
        "steps": [*steps, assemble(by="engineer"), leak_test(by="engineer"), store(by="engineer")],
        "checks": [
            check(what="Self-test and leak test passed"),
            check(what="Alarms heard"),
            check(what="Battery holds its charge"),
        ],
        "duties": [
            duty(what=HOURLY, every_h=8),
            duty(what=MACHINE_DUTY, every_h=None, every_days=MACHINE_CHECKED_EVERY_DAYS, by="engineer"),
            duty(what="Read the month's cycles", every_h=None, every_days=30, holds=False),
        ],
    }
    return kind(**{**usual, **changes})


def circuit(**changes: Any) -> dict[str, Any]:
    """A circuit: washed, dried, looked at, steamed, dried again, put together, tested."""
    steps = [
        take_apart(), wash(), rinse(water="tap"), dry(), look(), steam(), dry(), assemble(), leak_test(), store()
    ]  # fmt: skip
    return kind(**{"name": CIRCUIT, "steps": steps, **changes})


def mask(**changes: Any) -> dict[str, Any]:
    """A mask: washed, 85 °C in the bath, dried, looked at; four treatments at most."""
    usual = {
        "name": MASK,
        "like": "mask",
        "steps": [take_apart(), wash(), hot_water(), dry(), look(), assemble(), leak_test(), store()],
        "makers": [maker(what="Mask", cycles_at_most=MASK_TREATMENTS)],
        "duties": [],
    }
    return kind(**{**usual, **changes})


def sensor(**changes: Any) -> dict[str, Any]:
    """A flow sensor: washed, soaked in bleach, rinsed, dried."""
    usual = {
        "name": SENSOR,
        "like": "flow sensor",
        "steps": [wash(), soak(), rinse(times=3), dry(), look(), store()],
        "duties": [],
        "on_failure": "Treat it again.",
    }
    return kind(**{**usual, **changes})


def foam(**changes: Any) -> dict[str, Any]:
    """A foam filter: only washed, three times at most, changed every 30 days."""
    usual = {
        "name": FOAM,
        "like": "inlet particle filter",
        "contact": "non-critical",
        "steps": [wash(), dry(), look(), store()],
        "makers": [maker(what="Foam", cycles_at_most=FOAM_WASHES)],
        "duties": [duty(what=FOAM_DUTY, every_h=None, every_days=FILTER_CHECKED_EVERY_DAYS, by="engineer")],
    }
    return kind(**{**usual, **changes})


def filter_(**changes: Any) -> dict[str, Any]:
    """A filter for a single patient, in a packet."""
    usual = {
        "name": FILTER,
        "like": "breathing filter",
        "reuse": "single patient",
        "steps": [],
        "checks": [check(what="Packet closed and in date")],
        "duties": [duty(what="Look for water", every_h=8)],
    }
    return kind(**{**usual, **changes})


def life_protocol(version: str = "1", kinds: list[dict[str, Any]] | None = None, **changes: Any) -> str:
    """Return the protocol; `kinds` in place of all of them."""
    usual: dict[str, Any] = {
        "head": {"version": version},
        "adoptions": [
            adoption("steam-134C-3min"),
            adoption("A0-600"),
            adoption("hypochlorite-parts-1000mgL"),
        ],
        "baths": [bath()],
        "thermometers": [
            thermometer(name="Logger 1", used_on=["Autoclave 1"]),
            thermometer(name="Thermometer 1", used_on=["Bath 1"], interval_s=300, pressure_too=None),
        ],
        "stocks": [stock(), stock(name="Alcohol", agent="ethanol", strength="70 % v/v")],
        "roles": [role("technician"), role("nurse"), role("engineer")],
        "trainings": [
            training(person, owned)
            for owned in ("technician", "nurse", "engineer")
            for person in ("A1", "B2", "C3")
        ],
        "kinds": kinds or [ventilator(), circuit(), mask(), sensor(), foam(), filter_()],
    }
    return protocol(**{**usual, **changes})
