"""The rule of materials: what a part is made of, what its maker forbids, how long its sets last."""

from protocol_making import (
    autoclave,
    dry,
    findings,
    hot_water,
    kind,
    line,
    maker,
    protocol,
    rinse,
    setting,
    soak,
    steam,
    step,
    stock,
    wash,
)


def part(*steps, **changes) -> str:
    """Return a protocol with one kind that goes through these steps."""
    return protocol(kinds=[kind(**{"steps": [wash(), *steps, rinse(), dry()], **changes})])


def test_a_material_that_bears_its_process_passes():
    """Silicone bears steam of 135 °C."""
    assert findings("materials", part(steam())) == []


def test_a_material_ruined_by_its_process_is_an_error_with_the_reason():
    """Acrylic does not bear steam."""
    text = part(steam(), materials=["acrylic"])
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("error", line(text, 'setting = "134"'))
    assert found.says.startswith("Steam at 135 °C ruins it: acrylic:")
    assert found.basis == "from memory"


def test_a_material_that_bears_it_within_limits_is_a_warning():
    """Silicone hardens under repeated chlorine."""
    text = part(soak())
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("warning", line(text, 'stock = "Bleach"'))
    assert "silicone: Hardens with repeated use" in found.says


def test_the_worst_material_decides_and_is_said_once():
    """A chamber with an aluminium base is ruined by chlorine; the silicone's limits are not told besides."""
    (found,) = findings("materials", part(soak(), like="humidifier chamber"))
    assert found.severity == "error"
    assert "aluminium" in found.says
    assert "silicone" not in found.says


def test_the_materials_of_the_part_in_hand_replace_the_generic_ones():
    """A generic water trap may be polycarbonate, which steam of 135 °C ruins; one of PPSU is not."""
    assert findings("materials", part(steam(), like="water trap"))[0].severity == "error"
    assert findings("materials", part(steam(), like="water trap", materials=["polyphenylsulfone"])) == []


def test_what_nobody_told_us_is_a_note():
    """A sensing element of unknown make, and a kind without any material, are not shown."""
    notes = [f for f in findings("materials", part(soak(), like="flow sensor")) if f.severity == "note"]
    assert ["sensing element" in f.says for f in notes] == [True]
    (found,) = findings("materials", part(steam(), like=None))
    assert (found.severity, found.says.startswith("What it is made of is not stated")) == ("note", True)


def test_a_part_that_is_only_wiped_must_not_be_soaked_or_heated_and_may_be_wiped():
    """Housings bear no water inside."""
    told = [findings("materials", part(s, like="trolley"))[0] for s in (hot_water(), soak())]
    assert [f.severity for f in told] == ["error", "error"]
    assert "never soaked" in told[1].says
    wipe = step("treat", process="wipe", stock="Bleach", strength="0.1 %", contact_min=10)
    assert all(f.severity != "error" for f in findings("materials", part(wipe, like="trolley")))


def test_single_patient_parts_are_left_to_their_own_rule():
    """One mistake gives one finding: a filter in the autoclave is the single-patient rule's."""
    for changes in ({"like": "bacterial filter"}, {"reuse": "single patient", "materials": ["acrylic"]}):
        assert findings("materials", part(steam(), **changes)) == []


# ---- the maker ----


def test_steam_hotter_than_the_maker_allows_is_an_error_with_the_clause():
    """The maker's limit of 124 °C stands in clause 5.2; the table's answer is not repeated."""
    text = part(steam(), materials=["acrylic"], makers=[maker(what="chamber", highest_steam_c=124)])
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("error", line(text, 'setting = "134"'))
    assert found.says == "Steam of 135.0 °C is hotter than the maker allows: 124.0 °C for chamber."
    assert "clause 5.2" in found.source


def test_water_hotter_than_the_maker_allows_is_an_error():
    """A limit on water does not speak of steam, nor the other way round."""
    text = part(hot_water(), makers=[maker(highest_water_c=60)])
    (found,) = findings("materials", text)
    assert found.line == line(text, "temperature_c = 85")
    assert "Hot water of 85.0 °C is hotter" in found.says
    assert findings("materials", part(steam(), makers=[maker(highest_water_c=60)])) == []


def test_heat_that_the_maker_allows_is_noted_where_the_table_says_no():
    """The maker's word overrides the table, which is then told as a note."""
    allowed = [maker(highest_steam_c=137)]
    (found,) = findings("materials", part(steam(), materials=["polycarbonate"], makers=allowed))
    assert found.severity == "note"
    assert "The maker allows it (clause 5.2)" in found.remedy


def test_an_agent_that_the_maker_forbids_is_an_error_by_any_of_its_names():
    """Bleach is hypochlorite, and alcohol means both alcohols."""
    text = part(soak(), makers=[maker(not_with=["bleach"])])
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("error", line(text, 'stock = "Bleach"'))
    assert found.says == "The maker forbids bleach for instructions for use."
    spirit = stock(name="Spirit", agent="isopropanol", strength="70 %")
    wipe = step("treat", process="wipe", stock="Spirit", strength="70 %", contact_min=5)
    kinds = [kind(steps=[wash(), wipe], makers=[maker(not_with=["alcohol"])])]
    assert findings("materials", protocol(kinds=kinds, stocks=[spirit]))[0].severity == "error"


def test_steam_that_the_maker_forbids_is_an_error():
    """Heat is forbidden by its name too."""
    for name, errors in (("autoclave", 1), ("steam", 1), ("hot water", 0), ("oil", 0)):
        assert len(findings("materials", part(steam(), makers=[maker(not_with=[name])]))) == errors


def test_a_forbidden_thing_of_unknown_name_is_a_warning():
    """What cannot be looked for must not look as if it had been."""
    text = part(steam(), makers=[maker(not_with=["the blue stuff"])])
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("warning", line(text, "not_with"))
    assert "'the blue stuff' is not known here" in found.says


# ---- cycles ----


def test_sets_that_are_worn_out_within_90_days_are_a_warning():
    """30 cycles of 4 sets, 2 used a day, last 60 days."""
    text = part(steam(), makers=[maker(cycles_at_most=30)], sets_owned=4, used_per_day=2)
    (found,) = findings("materials", text)
    assert (found.severity, found.line) == ("warning", line(text, "cycles_at_most"))
    assert "the 4 sets are worn out after 60 days" in found.says
    assert found.computed.startswith("30 cycles · 4 sets / 2 used a day = 60 days")


def test_sets_that_last_longer_are_noted_with_how_long():
    """90 days are no warning any more."""
    (found,) = findings("materials", part(steam(), makers=[maker(cycles_at_most=30)], sets_owned=6))
    assert (found.severity, "90 days" in found.says) == ("note", True)


def test_cycles_without_use_or_sets_are_not_shown():
    """How long they last cannot be reckoned."""
    for changes in ({"used_per_day": None}, {"sets_owned": None}, {"used_per_day": 0}):
        (found,) = findings("materials", part(steam(), makers=[maker(cycles_at_most=30)], **changes))
        assert (found.severity, "not shown" in found.says) == ("note", True)


def test_it_is_silent_about_what_units_doubt():
    """A programme in °F and a maker's limit in °F are the rule of units'."""
    doubtful = [autoclave(setting=[setting(temperature_c=275)])]
    kinds = [kind(materials=["acrylic"], steps=[wash(), steam()])]
    assert findings("materials", protocol(kinds=kinds, autoclaves=doubtful)) == []
    assert findings("materials", part(steam(), makers=[maker(highest_steam_c=250)])) == []
