"""The rule of proof: whether what is listed can give the proof that is asked."""

from datetime import date

import pytest
from protocol_making import (
    adoption,
    dry,
    findings,
    hot_water,
    kind,
    line,
    protocol,
    rinse,
    soak,
    steam,
    step,
    thermometer,
    wash,
)


def treated(*steps, **changes) -> str:
    """Return a protocol whose one kind goes through these steps."""
    return protocol(kinds=[kind(steps=[wash(), *steps])], **changes)


@pytest.mark.parametrize("treat", [steam(), hot_water(), soak(), dry(proved_by=["dry-1-percent"])])
def test_a_proof_that_the_equipment_can_give_passes(treat):
    """A calibrated logger with pressure, read every 2 s, shows steam and water; a scale shows dryness."""
    assert findings("proof", treated(treat)) == []


def test_a_treat_step_without_a_criterion_is_an_error():
    """Nothing can prove a step that names no criterion; an empty list is no better."""
    for missing in (None, []):
        text = treated(hot_water(proved_by=missing))
        (found,) = findings("proof", text)
        assert (found.severity, "names no criterion" in found.says) == ("error", True)
        assert found.line == line(
            text, "proved_by" if missing == [] else "[[kind.step]]", 1 if missing == [] else 2
        )


def test_a_wipe_needs_no_criterion():
    """No criterion for wiping exists, so none can be asked."""
    wipe = step("treat", process="wipe", stock="Bleach", strength="0.1 %", contact_min=10)
    assert findings("proof", treated(wipe)) == []


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (
            steam(proved_by=["A0-600"]),
            "A0-600 is a criterion for hot water; it cannot prove this step (steam).",
        ),
        (hot_water(proved_by=["F0-15"]), "F0-15 is a criterion for steam"),
        (soak(proved_by=["dry-1-percent"]), "dry-1-percent is a criterion for drying"),
        (
            soak(proved_by=["OPA-0.55pc-20C"]),
            "OPA-0.55pc-20C is a criterion for another agent than Bleach holds.",
        ),
        (
            rinse(proved_by=["A0-600"]),
            "A0-600 is a criterion for hot water; it cannot prove this step (rinse).",
        ),
    ],
)
def test_a_criterion_of_another_process_or_agent_is_an_error(wrong, says):
    """A criterion speaks of one process, and of one agent."""
    text = treated(wrong)
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, "proved_by"))
    assert found.says.startswith(says)


def test_no_thermometer_on_the_equipment_is_an_error_at_the_step():
    """A logger on the bath shows nothing of the autoclave."""
    text = treated(steam(), thermometers=[thermometer(used_on=["Bath 1"])])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, 'equipment = "Autoclave 1"'))
    assert 'used_on = ["Autoclave 1"]' in found.remedy


def test_a_thermometer_too_coarse_for_the_band_is_an_error_with_the_computation():
    """±1.2 K at 95 % is ±1.08 K (0.9 of a rectangle), which leaves 0.84 K of a band of 3 K; ±1.1 K leaves 1.02 K."""
    text = treated(steam(), thermometers=[thermometer(sensor="±1.2 K")])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, "sensor"))
    assert "leaves 0.84 K" in found.computed
    assert findings("proof", treated(steam(), thermometers=[thermometer(sensor="±1.1 K")])) == []


def test_a_thermometer_that_costs_much_of_the_lethality_is_a_warning():
    """±2 K at 95 % is 1.8 K, and 10^(-0.18) keeps 66 %; ±1.5 K keeps 73 %."""
    long = hot_water(hold_min=60)
    text = treated(long, thermometers=[thermometer(sensor="±2 K")])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("warning", line(text, "sensor"))
    assert "34 % of what A0-600 counts" in found.says
    assert "= 66 %" in found.computed
    assert findings("proof", treated(long, thermometers=[thermometer(sensor="±1.5 K")])) == []


def test_a_logger_slower_than_the_criterion_allows_is_an_error():
    """steam-134C-3min asks a reading every 5 s."""
    text = treated(steam(), thermometers=[thermometer(interval_s=6)])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, "interval_s"))
    assert found.says == "Logger 1 reads every 6 s; steam-134C-3min needs a reading every 5 s or faster."
    assert findings("proof", treated(steam(), thermometers=[thermometer(interval_s=5)])) == []


def test_steam_without_pressure_is_an_error():
    """Without pressure nothing shows that the steam is saturated; hot water needs none."""
    text = treated(steam(), thermometers=[thermometer(pressure_too=False)])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, "pressure_too"))
    assert "free of air cannot be shown" in found.says
    assert findings("proof", treated(hot_water(), thermometers=[thermometer(pressure_too=False)])) == []


def test_the_best_of_several_thermometers_counts():
    """A coarse dial on the door does no harm beside a good logger."""
    dial = thermometer(name="Dial", sensor="±2.5 K", interval_s=60, pressure_too=False)
    assert findings("proof", treated(steam(), thermometers=[dial, thermometer()])) == []


def test_a_plan_that_the_thermometers_error_uses_up_is_a_warning():
    """80 °C for 10 min is A0 600 to the second: read by ±0.5 K it would never be shown."""
    text = treated(hot_water(temperature_c=80, hold_min=10), thermometers=[thermometer(sensor="±0.5 K")])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("warning", line(text, "hold_min = 10"))
    # 10 min · 10^(0.45 / 10) = 11.09 min, worked by hand; rounded up
    assert "Hold it 11.1 min or longer, or plan 0.5 K hotter" in found.remedy
    longer = hot_water(temperature_c=80, hold_min=11.1)
    assert findings("proof", treated(longer, thermometers=[thermometer(sensor="±0.5 K")])) == []


def test_a_hold_planned_at_its_limit_is_a_warning_at_the_temperature():
    """70.0 °C planned for 70 °C leaves no room for the thermometer."""
    held = hot_water(temperature_c=70, hold_min=40, proved_by=["hot-water-70C-30min"])
    text = treated(held, adoptions=[adoption("hot-water-70C-30min")])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("warning", line(text, "temperature_c = 70"))


def test_dryness_without_a_scale_is_an_error():
    """Dryness is proved by weight."""
    text = treated(dry(proved_by=["dry-1-percent"]), scales=[])
    (found,) = findings("proof", text)
    assert (found.severity, found.line) == ("error", line(text, "proved_by"))


@pytest.mark.parametrize(
    ("due", "severity", "says"),
    [
        (date(2026, 11, 24), "error", "The calibration of Logger 1 lapsed on 24 November 2026."),
        (date(2026, 11, 25), "warning", "The calibration of Logger 1 lapses on 25 November 2026."),
        (date(2026, 12, 26), "warning", "The calibration of Logger 1 lapses on 26 December 2026."),
        (None, "warning", "Logger 1 has no calibration_due"),
    ],
)
def test_a_calibration_that_lapsed_lapses_soon_or_is_not_stated_is_found(due, severity, says):
    """Lapsed is an error, within a month or unstated a warning."""
    text = treated(steam(), thermometers=[thermometer(calibration_due=due)])
    (found,) = findings("proof", text)
    assert found.severity == severity
    assert found.says.startswith(says)
    assert found.line == line(text, "calibration_due" if due else "[[thermometer]]")


def test_a_calibration_that_holds_for_more_than_a_month_passes():
    """27 December is more than 31 days off."""
    kept = [thermometer(calibration_due=date(2026, 12, 27))]
    assert findings("proof", treated(steam(), thermometers=kept)) == []


def test_a_platinum_sensor_asked_of_an_absurd_temperature_does_not_stumble():
    """A plan beyond the range of the sensor's class is judged by the nearest temperature it has."""
    text = treated(hot_water(temperature_c=-400), thermometers=[thermometer(sensor="Pt100 AA")])
    assert findings("proof", text) == []
