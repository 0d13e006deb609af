"""Small valid protocols as TOML text: each builder has usual values, and keywords replace them (None leaves one out).

`protocol()` alone is a whole document that no rule has an error for on TODAY. A test replaces what it is about:

    text = protocol(kinds=[kind(steps=[wash(), hot_water(temperature_c=70), dry()])])
    findings("heat", text)                  # what one rule finds, with lines
    line(text, "temperature_c = 70")        # where a text stands
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from lungwort.protocol.finding import Finding
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.vet import all_rules

TODAY = date(2026, 11, 25)
GUIDELINE = "National sterilization guideline 2024, chapter 5"

Fields = dict[str, Any]


def findings(rule: str, text: str, today: date = TODAY) -> list[Finding]:
    """Return what one rule finds in a protocol, with lines, in the order of the lines."""
    document = parse_protocol(text)
    find = next(r.find for r in all_rules() if r.name == rule)
    found = (replace(f, line=document.line(*f.path)) for f in find(document.protocol, today))
    return sorted(found, key=lambda f: f.line)


def line(text: str, part: str, which: int = 1) -> int:
    """Return the line, from 1, on which `part` stands for the first (or `which`th) time."""
    lines = [n for n, written in enumerate(text.splitlines(), 1) if part in written]
    return lines[which - 1]


def protocol(**changes: Any) -> str:
    """Return a protocol as TOML text; `kinds=[...]`, `autoclaves=[...]`, `place={...}` and so on replace its parts."""
    parts: Fields = {
        "place": place(),
        "adoptions": [
            adoption("steam-134C-3min"),
            adoption("A0-600"),
            adoption("hypochlorite-parts-1000mgL"),
        ],
        "autoclaves": [autoclave()],
        "baths": [bath()],
        "thermometers": [thermometer()],
        "scales": [scale()],
        "stocks": [stock()],
        "roles": [role("technician"), role("nurse")],
        "trainings": [
            training(person, owned) for owned in ("technician", "nurse") for person in ("A1", "B2", "C3")
        ],
        "kinds": [kind()],
    }
    unknown = set(changes) - {*parts, "head"}
    if unknown:
        raise TypeError(f"protocol() has no part called {', '.join(sorted(unknown))}")
    head = {"format": 1, "title": "Turnaround of ventilator parts", "version": "2026-1"}
    parts.update(changes)
    return "\n".join([*_keys({**head, **parts.pop("head", {})}), *_tables(parts)]) + "\n"


# ---- the parts of a protocol ----


def place(**changes: Any) -> Fields:
    """A hospital at 2,300 m with sterile, boiled and tap water."""
    usual = {
        "name": "Ridgeway Hospital",
        "altitude_m": 2300,
        "room": {"lowest_c": 20, "highest_c": 25},
        "store": {"lowest_c": 12, "highest_c": 22},
        "waters": ["sterile", "boiled", "tap"],
        "room_m3": 60,
        "air_changes_per_h": 12,
    }
    return _with(usual, changes)


def adoption(criterion: str, **changes: Any) -> Fields:
    """A criterion adopted early in the year."""
    usual = {"criterion": criterion, "by": "Infection control lead", "on": date(2026, 1, 15)}
    return _with({**usual, "source": GUIDELINE}, changes)


def autoclave(**changes: Any) -> Fields:
    """A pre-vacuum autoclave with one programme that is right at 2,300 m: 134 °C, 2.28 bar, 4 min."""
    usual = {
        "name": "Autoclave 1",
        "removal": "pre-vacuum",
        "gauge_unit": "bar",
        "gauge_kind": "gauge",
        "setting": [setting()],
    }
    return _with(usual, changes)


def setting(**changes: Any) -> Fields:
    """The programme "134" as it is right at 2,300 m; nested in an autoclave's `setting`."""
    return _with({"name": "134", "temperature_c": 135, "pressure": 2.37, "hold_min": 4}, changes)


def bath(**changes: Any) -> Fields:
    """A hot-water bath that reaches 90 °C."""
    return _with({"name": "Bath 1", "highest_c": 90}, changes)


def thermometer(**changes: Any) -> Fields:
    """A good logger with pressure, on autoclave and bath, calibrated for half a year more."""
    usual = {
        "name": "Logger 1",
        "sensor": "calibrated +0.05 ±0.20",
        "used_on": ["Autoclave 1", "Bath 1"],
        "interval_s": 2,
        "pressure_too": True,
        "calibration_due": date(2027, 6, 1),
    }
    return _with(usual, changes)


def scale(**changes: Any) -> Fields:
    """A kitchen scale."""
    return _with({"name": "Scale 1", "error_g": 0.5}, changes)


def stock(**changes: Any) -> Fields:
    """Bleach of 5 %, 25 days old."""
    usual = {"name": "Bleach", "agent": "hypochlorite", "strength": "5 %", "made_on": date(2026, 11, 1)}
    return _with(usual, changes)


def role(name: str, **changes: Any) -> Fields:
    """A role."""
    return _with({"name": name}, changes)


def training(person: str, role: str, **changes: Any) -> Fields:
    """A training that holds for more than half a year."""
    usual = {"person": person, "role": role, "passed_on": date(2026, 6, 1), "expires_on": date(2027, 6, 1)}
    return _with(usual, changes)


def kind(**changes: Any) -> Fields:
    """A silicone circuit with a whole turnaround by steam; `steps`, `checks`, `duties` and `makers` replace lists."""
    usual = {
        "name": "Circuit, adult",
        "like": "silicone breathing circuit",
        "contact": "semi-critical",
        "sets_owned": 20,
        "used_per_day": 2,
        "on_failure": "Quarantine the load and treat it again.",
        "maker": [],
        "step": [
            take_apart(),
            wash(),
            rinse(water="tap"),
            steam(),
            dry(),
            look(),
            assemble(),
            leak_test(),
            store(),
        ],
        "check": [check(), check(when="after use", what="look for damage")],
        "duty": [duty()],
    }
    plural = {"makers": "maker", "steps": "step", "checks": "check", "duties": "duty"}
    return _with(usual, {plural.get(key, key): value for key, value in changes.items()})


def check(**changes: Any) -> Fields:
    """A check before use."""
    return _with({"when": "before use", "what": "leak test", "by": "nurse"}, changes)


def duty(**changes: Any) -> Fields:
    """A duty every four hours."""
    return _with({"what": "empty the condensate away from the patient", "by": "nurse", "every_h": 4}, changes)


def maker(**changes: Any) -> Fields:
    """A maker's limit; name what it limits."""
    return _with({"what": "instructions for use", "clause": "5.2"}, changes)


# ---- steps ----


def step(do: str, **changes: Any) -> Fields:
    """Any step of ten minutes by the technician."""
    return _with({"do": do, "by": "technician", "minutes": 10}, changes)


def take_apart(**changes: Any) -> Fields:
    """Take the part to pieces."""
    return step("take apart", **changes)


def wash(**changes: Any) -> Fields:
    """Wash it."""
    return step("wash", **changes)


def rinse(**changes: Any) -> Fields:
    """Rinse it with sterile water."""
    return step("rinse", **{"water": "sterile", **changes})


def dry(**changes: Any) -> Fields:
    """Dry it."""
    return step("dry", **changes)


def look(**changes: Any) -> Fields:
    """Look it over."""
    return step("look", **changes)


def assemble(**changes: Any) -> Fields:
    """Put it together."""
    return step("assemble", **changes)


def leak_test(**changes: Any) -> Fields:
    """Test it."""
    return step("test", **changes)


def store(**changes: Any) -> Fields:
    """Store it."""
    return step("store", **changes)


def steam(**changes: Any) -> Fields:
    """Treat it in Autoclave 1 by the programme "134", proved by steam-134C-3min."""
    usual = {"process": "steam", "equipment": "Autoclave 1", "setting": "134", "minutes": 60}
    return step("treat", **{**usual, "proved_by": ["steam-134C-3min"], **changes})


def hot_water(**changes: Any) -> Fields:
    """Treat it in Bath 1 at 85 °C for 15 min, proved by A0-600."""
    usual = {"process": "hot water", "equipment": "Bath 1", "temperature_c": 85, "hold_min": 15}
    return step("treat", **{**usual, "minutes": 40, "proved_by": ["A0-600"], **changes})


def soak(**changes: Any) -> Fields:
    """Treat it in bleach of 0.1 % for 30 min, made today, proved by hypochlorite-parts-1000mgL."""
    usual = {"process": "soak", "stock": "Bleach", "strength": "0.1 %", "contact_min": 30, "solution_days": 0}
    return step("treat", **{**usual, "minutes": 40, "proved_by": ["hypochlorite-parts-1000mgL"], **changes})


# ---- writing ----

_NAMES = {
    "place": "place",
    "adoptions": "adoption",
    "autoclaves": "autoclave",
    "baths": "bath",
    "thermometers": "thermometer",
    "scales": "scale",
    "stocks": "stock",
    "roles": "role",
    "trainings": "training",
    "kinds": "kind",
}


def _with(usual: Mapping[str, Any], changes: Mapping[str, Any]) -> Fields:
    return {key: value for key, value in {**usual, **changes}.items() if value is not None}


def _tables(parts: Mapping[str, Any]) -> Iterator[str]:
    for part, name in _NAMES.items():
        written = parts[part]
        if isinstance(written, Mapping):
            yield from ("", f"[{name}]", *_keys(written))
        else:
            yield from _array(name, written)


def _array(name: str, items: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    for item in items:
        yield from ("", f"[[{name}]]", *_keys(item))
        for key, below in _below(item):
            yield from _array(f"{name}.{key}", below)


def _keys(item: Mapping[str, Any]) -> list[str]:
    below = {key for key, _items in _below(item)}
    return [f"{key} = {_value(value)}" for key, value in item.items() if key not in below]


def _below(item: Mapping[str, Any]) -> Iterable[tuple[str, Sequence[Mapping[str, Any]]]]:
    return [
        (k, item[k]) for k in ("setting", "maker", "step", "check", "duty") if isinstance(item.get(k), list)
    ]


def _value(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)


def treated(*steps, **changes) -> str:
    """Return a protocol whose one kind is washed, treated so, rinsed and dried."""
    return protocol(kinds=[kind(steps=[wash(), *steps, rinse(), dry()])], **changes)
