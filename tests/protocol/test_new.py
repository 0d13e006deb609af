"""A first protocol for a place."""

import itertools
from datetime import date

import pytest

from lungwort.errors import UnknownName
from lungwort.library.materials import Answer
from lungwort.library.parts import find_part
from lungwort.protocol.finding import Severity
from lungwort.protocol.newcomer import KINDS, Answers, Gauge, new_protocol, shown_pressure
from lungwort.protocol.reading import parse_protocol
from lungwort.protocol.treating import choose, programmes, water_plan
from lungwort.protocol.vet import vet

TODAY = date(2026, 11, 25)
HILL = Answers(
    "Hill Hospital",
    altitude_m=2300,
    autoclave=Gauge("bar", removal="pre-vacuum"),
    bath_highest_c=88,
    bleach="5 %",
)
TO_BE_FILLED_IN = {"adoption", "people", "heat", "order", "ventilation"}
"""Rules whose errors say what only the hospital can fill in: adoptions, trainings, parts that nothing at hand suits."""


def test_it_reads_back_and_has_every_generic_kind():
    """The fourteen kinds of the issue, each like a part of the library."""
    protocol = parse_protocol(new_protocol(HILL, TODAY)).protocol
    assert [kind.name for kind in protocol.kinds] == [name for name, _part in KINDS]
    assert all(kind.like for kind in protocol.kinds)
    assert protocol.place.name == "Hill Hospital"


@pytest.mark.parametrize("altitude_m", [-300, 0, 1600, 2300, 4500])
@pytest.mark.parametrize("unit", ["bar", "psi", "kPa", "mbar", "MPa"])
@pytest.mark.parametrize("kind", ["gauge", "absolute"])
def test_its_gauge_settings_are_right_for_the_altitude(altitude_m, unit, kind):
    """The rule of pressure, which computes them from the document, finds nothing; nor does that of units."""
    answers = Answers("H", altitude_m=altitude_m, autoclave=Gauge(unit, kind, "pre-vacuum"))
    report = vet(parse_protocol(new_protocol(answers, TODAY)), TODAY)
    assert {f.rule for f in report.findings} & {"pressure", "units"} == set()


@pytest.mark.parametrize(
    ("gauge", "temperature_c", "air_kpa", "shown"),
    [
        # ASME steam tables: 205.0 kPa at 121 °C, 304.2 kPa at 134 °C; ISO 2533: 101.325 kPa at 0 m, 76.6 at 2,300 m
        (Gauge("kPa"), 121, 101.325, "104"),
        (Gauge("kPa"), 121, 76.6, "128"),
        (Gauge("bar"), 134, 101.325, "2.03"),
        (Gauge("bar"), 134, 76.6, "2.28"),
        (Gauge("psi"), 121, 101.325, "15.0"),
        (Gauge("kPa", "absolute"), 134, 76.6, "304"),
    ],
)
def test_a_pressure_is_told_as_its_gauge_shows_it(gauge, temperature_c, air_kpa, shown):
    """Gauge pressure is above the air of the place."""
    assert shown_pressure(gauge, temperature_c, air_kpa) == shown


EVERY = list(
    itertools.product(
        [Answers("H", altitude_m=0), Answers("H", barometer_kpa=76.6)],
        [None, Gauge("bar", removal="pre-vacuum"), Gauge("psi")],
        [None, 75.0, 88.0, 99.0],
        [None, "5 %"],
        [("technician", "nurse"), ("nurse",)],
    )
)


@pytest.mark.parametrize(("place", "gauge", "bath", "bleach", "roles"), EVERY)
def test_whatever_a_hospital_has_only_what_it_must_fill_in_is_found_wrong(place, gauge, bath, bleach, roles):
    """No error of the generic library's making: no ruined material, no impossible water, no strength too low."""
    answers = Answers("H", place.altitude_m, place.barometer_kpa, gauge, bath, bleach, roles)
    report = vet(parse_protocol(new_protocol(answers, TODAY)), TODAY)
    assert {f.rule for f in report.of(Severity.ERROR)} <= TO_BE_FILLED_IN
    assert "adoption" in {f.rule for f in report.of(Severity.ERROR)} or not (gauge or bath or bleach)


def test_no_criterion_is_adopted_and_the_tables_to_fill_in_stand_there():
    """One commented table for each criterion in use; without its # it is read."""
    text = new_protocol(HILL, TODAY)
    protocol = parse_protocol(text).protocol
    assert protocol.adoptions == ()
    used = {name for kind in protocol.kinds for step in kind.steps for name in step.proved_by}
    start = text.index("# [[adoption]]")
    tables = text[start : text.index("# ---- equipment")].replace("#\n", "\n").replace("# ", "")
    filled = parse_protocol(text + "\n" + tables).protocol
    assert {a.criterion for a in filled.adoptions} == used
    assert used


def test_every_value_of_the_library_carries_its_basis():
    """In brackets beside or above it."""
    text = new_protocol(HILL, TODAY)
    kinds = text[text.index("[[kind]]") :].split("[[kind]]\n")[1:]
    for kind in kinds:
        above_contact = kind.split("contact = ")[0].splitlines()[-1]
        assert above_contact.startswith("# ")
        assert above_contact.endswith(("[from memory]", "[common practice]"))
    assert all(
        line.endswith("]") for line in text.splitlines() if line.startswith("  { when") or "every_" in line
    )


def test_names_of_any_kind_stay_names():
    """Quotes, line ends and hashes in what was typed do no harm."""
    answers = Answers('St. "Mary"\n[[kind]] # x', altitude_m=10, roles=('a "b"', "c\nd"))
    protocol = parse_protocol(new_protocol(answers, TODAY)).protocol
    assert protocol.place.name == 'St. "Mary"\n[[kind]] # x'
    assert [role.name for role in protocol.roles] == ['a "b"', "c\nd"]
    assert len(protocol.kinds) == len(KINDS)


def test_a_label_that_cannot_be_read_is_refused():
    """Before anything is written."""
    with pytest.raises(UnknownName, match="strong"):
        new_protocol(Answers("H", altitude_m=0, bleach="strong"), TODAY)


@pytest.mark.parametrize(
    ("part", "removal", "highest_c", "bleach", "process", "answer"),
    [
        # materials.toml: silicone bears steam 134; polycarbonate takes hot water within limits, steam 134 never
        ("silicone breathing circuit", "pre-vacuum", 88, True, "steam", Answer.FITS),
        ("silicone breathing circuit", None, 88, True, "hot water", Answer.FITS),
        ("silicone breathing circuit", None, None, True, "soak", Answer.LIMITED),
        ("mask", "pre-vacuum", 88, True, "hot water", Answer.LIMITED),
        ("mask", None, None, True, "soak", Answer.LIMITED),
    ],
)
def test_heat_comes_before_chemicals_and_only_what_the_part_bears(
    part, removal, highest_c, bleach, process, answer
):
    """Where it bears something only within limits, hot water comes before steam."""
    heat = programmes(removal) if removal else ()
    chosen = choose(find_part(part), heat, water_plan(highest_c), bleach)
    assert (chosen.keys["process"], chosen.answer) == (process, answer)


@pytest.mark.parametrize("part", ["ventilator", "flow sensor", "HME", "trolley", "inlet particle filter"])
def test_nothing_is_suggested_where_nothing_is_shown_to_suit(part):
    """Electronics, unknown materials, parts for one patient."""
    assert choose(find_part(part), programmes("pre-vacuum"), water_plan(88.0), True) is None


@pytest.mark.parametrize(
    ("highest_c", "criterion"), [(99.0, "A0-3000"), (82.0, "A0-3000"), (81.9, "A0-600"), (72.0, "A0-600")]
)
def test_hot_water_meets_its_criterion_with_half_as_much_again(highest_c, criterion):
    """A0 = t · 10^((T − 80)/10) (ISO 15883-1)."""
    plan = water_plan(highest_c)
    a0_s = plan.hold_min * 60 * 10 ** ((plan.temperature_c - 80) / 10)
    assert plan.criterion == criterion
    assert 1.5 <= a0_s / float(criterion.split("-")[1]) < 1.65
    assert plan.temperature_c <= highest_c - 2


def test_a_bath_that_stays_cool_is_not_leant_on():
    """Below 70 °C A0 600 takes hours."""
    assert water_plan(71.0) is None
