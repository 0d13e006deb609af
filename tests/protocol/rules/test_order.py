"""The order of steps."""

import pytest
from protocol_making import (
    assemble,
    check,
    dry,
    findings,
    hot_water,
    kind,
    leak_test,
    line,
    look,
    place,
    protocol,
    rinse,
    soak,
    steam,
    step,
    stock,
    store,
    take_apart,
    wash,
)

from lungwort.protocol.finding import Severity

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
WHOLE = [
    take_apart(),
    wash(),
    rinse(water="tap"),
    soak(),
    rinse(),
    dry(),
    look(),
    assemble(),
    leak_test(),
    store(),
]
GLUTARALDEHYDE = stock(name="Glut", agent="glutaraldehyde", strength="2 %")
SPIRIT = stock(name="Spirit", agent="ethanol", strength="70 %")


def of(*steps, **changes):
    """A protocol of one circuit with these steps; bleach, glutaraldehyde and spirit in stock, every water there."""
    waters = place(waters=["sterile", "filtered", "boiled", "tap"])
    return protocol(
        place=waters, stocks=[stock(), GLUTARALDEHYDE, SPIRIT], kinds=[kind(steps=list(steps), **changes)]
    )


def only(text):
    """The one finding there is."""
    (found,) = findings("order", text)
    return found


def without(do, which=1):
    """The whole turnaround without the `which`th step that does this."""
    at = [n for n, each in enumerate(WHOLE) if each["do"] == do][which - 1]
    return WHOLE[:at] + WHOLE[at + 1 :]


@pytest.mark.parametrize(
    "steps",
    [
        WHOLE,
        [take_apart(), wash(), rinse(water="tap"), dry(), steam(), look(), assemble(), leak_test(), store()],
        [wash(), hot_water(), dry(), look(), store()],
        # double steps: soak, then steam; two washes; two rinses
        [wash(), wash(), soak(), rinse(water="tap"), steam(), dry(), look(), store()],
        [wash(), soak(), rinse(), rinse(), dry(), dry(), look(), look(), store()],
        # held soiled before the wash, and stored once more after a second treatment
        [store(), wash(), soak(), rinse(), dry(), look(), store()],
        [wash(), steam(), dry(), look(), store(), steam(), dry(), store()],
        # washed roughly, taken apart, washed; taken apart further after it
        [wash(), take_apart(), wash(), take_apart(), steam(), dry(), look(), store()],
        # not stored: straight to the next patient
        [wash(), hot_water(), dry()],
    ],
)
def test_turnarounds_in_order_pass(steps):
    """Double steps are no fault."""
    assert findings("order", of(*steps)) == []


def test_a_part_for_one_patient_is_not_asked():
    """Its way back is another rule's matter."""
    assert findings("order", of(soak(), store(), like="HME", reuse="single patient")) == []


@pytest.mark.parametrize(
    ("steps", "severity", "at", "says"),
    [
        (without("wash"), ERROR, 'do = "treat"', "step 3 (treat): it is treated without having been washed"),
        (
            [soak(), wash(), steam(), dry(), look(), store()],
            WARNING,
            'do = "treat"',
            "treated before it is washed; only the treatment after the wash counts",
        ),
        (
            [wash(), steam(), wash(), dry(), look(), store()],
            ERROR,
            ('do = "wash"', 2),
            "step 3 (wash): it is washed after its last treatment",
        ),
        (
            [wash(), take_apart(), steam(), dry(), look(), store()],
            ERROR,
            'do = "take apart"',
            "step 2 (take apart): it is taken apart only after it is washed",
        ),
        (
            without("rinse", 2),
            ERROR,
            'do = "treat"',
            "step 4 (treat): no rinse follows the soak in hypochlorite",
        ),
        (without("dry"), ERROR, 'do = "store"', "after step 5 (rinse) no step dries it, so it is stored wet"),
        (
            [wash(), hot_water(), look()],
            ERROR,
            'do = "treat"',
            "after step 2 (treat) no step dries it, so it goes on wet",
        ),
        (
            [wash(), steam(), look(), store()],
            WARNING,
            'do = "store"',
            "The autoclave's vacuum may have dried it; the document does not say so",
        ),
        (without("look"), WARNING, 'do = "assemble"', "step 7 (assemble): nobody looks before this"),
        (
            [look(), wash(), steam(), dry(), store()],
            WARNING,
            'do = "store"',
            "step 5 (store): nobody looks before this",
        ),
        (
            [wash(), steam(), dry(), look(), store(), steam()],
            ERROR,
            ('do = "treat"', 2),
            "step 6 (treat): it is treated after it is stored",
        ),
        (
            [wash(), steam(), dry(), assemble(), look(), leak_test(), store()],
            WARNING,
            'do = "assemble"',
            "step 4 (assemble): nobody looks before this",
        ),
        (
            [wash(), steam(), wash(), wash(), dry(), look(), store()],
            ERROR,
            ('do = "wash"', 3),
            "step 4 (wash): it is washed after its last treatment",
        ),
        (
            [wash(), dry(), look(), store(), steam()],
            ERROR,
            'do = "treat"',
            "step 5 (treat): it is treated after it is stored",
        ),
    ],
)
def test_a_step_missing_or_out_of_order_is_one_finding_at_its_line(steps, severity, at, says):
    """One mistake, one finding."""
    text = of(*steps)
    found = only(text)
    assert says in found.says
    assert (found.severity, found.line) == (severity, line(text, *(at if isinstance(at, tuple) else (at,))))
    assert found.remedy.endswith(".")


def test_washed_only_after_the_only_treatment_counts_as_not_washed():
    """The wash after it is not reported a second time."""
    assert (
        "without having been washed"
        in only(of(steam(), wash(), rinse(water="tap"), dry(), look(), store())).says
    )


def test_a_part_that_is_only_wiped_is_warned_of_and_not_forbidden():
    """Some wipes clean and disinfect in one."""
    wiped = step("treat", process="wipe", stock="Spirit", strength="70 %", contact_min=1)
    found = only(of(wiped, like="trolley", contact="non-critical"))
    assert (found.severity, "without having been washed" in found.says) == (WARNING, True)
    assert findings("order", of(wash(), wiped, like="trolley", contact="non-critical")) == []


def test_a_gravity_autoclave_dries_nothing():
    """Without a vacuum a wet load stays wet, and a dry one comes out damp."""
    text = of(wash(), steam(), look(), store()).replace('"pre-vacuum"', '"gravity"')
    assert only(text).severity is ERROR
    damp = of(wash(), dry(), steam(), look(), store())
    assert findings("order", damp) == []
    found = only(damp.replace('"pre-vacuum"', '"gravity"'))
    assert (found.severity, "after step 3 (treat) no step dries it" in found.says) == (WARNING, True)
    assert "An autoclave without vacuum leaves its load damp." in found.says
    dried = of(wash(), dry(), steam(), dry(), look(), store())
    assert findings("order", dried.replace('"pre-vacuum"', '"gravity"')) == []


@pytest.mark.parametrize(("contact", "severity"), [("semi-critical", ERROR), ("non-critical", WARNING)])
def test_what_touches_whole_skin_only_is_warned_of(contact, severity):
    """Stored wet, a jar is less grave than a hose."""
    assert (
        only(of(wash(), look(), store(), like=None, materials=["silicone"], contact=contact)).severity
        is severity
    )


def test_a_circuit_called_non_critical_is_still_one():
    """The generic part's class counts where it is the stricter."""
    assert only(of(wash(), look(), store(), contact="non-critical")).severity is ERROR


# ---- rinse ----


@pytest.mark.parametrize(
    ("steps", "water", "severity"),
    [
        ([wash(), soak(), rinse(water="tap"), dry(), look(), store()], "tap", ERROR),
        ([wash(), steam(), rinse(water="tap"), dry(), look(), store()], "tap", ERROR),
        (
            [wash(), soak(stock="Glut"), rinse(water="boiled", times=3), dry(), look(), store()],
            "boiled",
            WARNING,
        ),
        (
            [
                wash(),
                soak(stock="Glut"),
                rinse(water="tap", times=3),
                soak(stock="Spirit"),
                dry(),
                look(),
                store(),
            ],
            "tap",
            NOTE,
        ),
        # no spirit follows
        (
            [wash(), soak(stock="Glut"), rinse(water="tap", times=3), dry(), look(), store()],
            "tap",
            ERROR,
        ),
    ],
)
def test_water_not_fit_after_the_last_treatment_is_found_at_the_water(steps, water, severity):
    """CDC 2003 (from memory): sterile, else filtered; tap only with alcohol and forced air after it."""
    text = of(*steps)
    found = only(text)
    assert (found.severity, found.line) == (severity, line(text, f'water = "{water}"'))
    assert f"{water} water" in found.says


@pytest.mark.parametrize("water", ["sterile", "filtered", "boiled"])
def test_bleach_is_rinsed_off_with_sterile_filtered_or_boiled_water(water):
    """The agent's own rinse says so."""
    assert findings("order", of(wash(), soak(), rinse(water=water), dry(), look(), store())) == []


def test_tap_water_is_fit_for_what_does_not_breathe():
    """Whole skin bears it."""
    steps = [wash(), soak(), rinse(water="tap"), dry(), look(), store()]
    assert findings("order", of(*steps, like="suction jar", contact="non-critical")) == []


def test_bleach_then_spirit_does_not_excuse_tap_water():
    """The rinse of bleach names no such exception."""
    steps = [wash(), soak(), rinse(water="tap"), soak(stock="Spirit"), dry(), look(), store()]
    assert only(of(*steps)).severity is ERROR


def test_too_few_rinses_are_an_error_at_their_number():
    """CDC 2008 (from memory): glutaraldehyde three times, with fresh water."""
    text = of(wash(), soak(stock="Glut"), rinse(times=2), dry(), look(), store())
    found = only(text)
    assert (found.severity, found.line) == (ERROR, line(text, "times = 2"))
    assert "rinses after glutaraldehyde: 2; asked: 3" in found.says
    assert (
        findings("order", of(wash(), soak(stock="Glut"), rinse(), rinse(times=2), dry(), look(), store()))
        == []
    )


def test_a_water_that_the_place_does_not_have_is_an_error():
    """Also where it is fit."""
    text = of(wash(), soak(), rinse(water="filtered"), dry(), look(), store()).replace(
        '["sterile", "filtered", "boiled", "tap"]', '["boiled", "tap"]'
    )
    found = only(text)
    assert (found.severity, found.line) == (ERROR, line(text, 'water = "filtered"'))
    assert "the place has no filtered water; it has boiled, tap" in found.says


def test_an_unknown_stock_is_left_to_the_rule_of_references():
    """Nothing is guessed about it."""
    assert findings("order", of(wash(), soak(stock="Blech"), dry(), look(), store())) == []


# ---- test ----


def test_an_assembled_part_that_nobody_tests_is_an_error():
    """At the step that put it together."""
    text = of(*without("test"), checks=[])
    found = only(text)
    assert (found.severity, found.line) == (ERROR, line(text, 'do = "assemble"'))
    assert "Circuit, adult is used untested" in found.says


def test_a_test_before_use_only_is_a_warning():
    """A fault found at the bedside is found late, but found."""
    found = only(of(*without("test"), checks=[check(what="leak test")]))
    assert (found.severity, "tested only before use" in found.says) == (WARNING, True)
    assert only(of(*without("test"), checks=[check(what="look for cracks")])).severity is ERROR


def test_a_test_before_putting_together_does_not_count():
    """It is pointed at."""
    text = of(wash(), steam(), dry(), look(), leak_test(), assemble(), store(), checks=[])
    assert only(text).line == line(text, 'do = "test"')


def test_a_machine_is_tested_after_it_is_cleaned():
    """Even where nothing is put together."""
    machine = {"like": "ventilator", "contact": "non-critical", "machine": True, "checks": []}
    text = of(leak_test(), wash(), **machine)
    assert "is used untested" in only(text).says
    assert findings("order", of(wash(), leak_test(), **machine)) == []


def test_names_with_braces_are_only_names():
    """A name is never taken for a form to fill in."""
    text = of(soak(), wash(), name="{agent} {0}")
    assert all("{agent} {0}" in found.says for found in findings("order", text))
    assert findings("order", text)
