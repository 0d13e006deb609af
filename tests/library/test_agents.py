"""The agents that ship with Lungwort."""

import re

import pytest

from lungwort.errors import UnknownName, UnusableLibrary
from lungwort.library.agents import Level, all_agents, find_agent, parse_agents
from lungwort.library.loading import Basis, plain, shipped

CHLORINE = ("hypochlorite", "NaDCC", "calcium hypochlorite")

# Standard atomic weights, IUPAC (abridged; chlorine with one more digit, as for Cl2 70.906)
ATOMIC_WEIGHT = {"H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Cl": 35.453, "Ca": 40.078}
# L/mol of a gas at 25 °C and 101.325 kPa
MOLAR_VOLUME_L = 24.45

USABLE = """
[[agent]]
name = "a"
aliases = ["b"]
active_substance = "a"
formula = "H2O"
molar_mass_g_per_mol = 18.02
rinse = { water = "sterile", times = 1, source = "S", basis = "computed" }
hazard = [ { sentence = "It is wet.", source = "S", basis = "published" } ]
protection = [ { item = "gloves", source = "S", basis = "common practice" } ]
surrounding = [ { name = "flame", sentence = "No.", source = "S", basis = "published" } ]
[[agent.use]]
name = "u"
level = "low"
tradition = "t"
strength_mg_per_l = 100
contact_s = 60
source = "S"
basis = "published"
"""


def everything_said(agent):
    """All rows of an agent that carry a source."""
    groups = (agent.uses, agent.hazards, agent.exposure_limits, agent.protections, agent.surroundings)
    return [agent.rinse, *(fact for group in groups for fact in group)]


def test_all_the_agents_of_the_trade_are_there():
    """Nine, and peroxide in both its strengths."""
    assert [agent.name for agent in all_agents()] == [
        *CHLORINE,
        "peracetic acid",
        "hydrogen peroxide",
        "ethanol",
        "isopropanol",
        "glutaraldehyde",
        "OPA",
    ]
    peroxide = {use.strength_mg_per_l for use in find_agent("hydrogen peroxide").uses}
    assert peroxide == {75000, 20000}


@pytest.mark.parametrize("agent", all_agents(), ids=lambda agent: agent.name)
def test_everything_said_carries_source_and_basis(agent):
    """Uses, rinse, hazards, limits, protection, surroundings: none is bare, none is missing."""
    assert agent.uses
    assert agent.hazards
    assert agent.exposure_limits
    assert agent.protections
    assert agent.surroundings
    for fact in everything_said(agent):
        assert len(fact.source) > 5
        assert fact.basis in Basis


@pytest.mark.parametrize("agent", all_agents(), ids=lambda agent: agent.name)
def test_nothing_is_called_published(agent):
    """No document on agents was opened by us: facts of this room are memory or practice."""
    assert {fact.basis for fact in everything_said(agent)} <= {Basis.FROM_MEMORY, Basis.COMMON_PRACTICE}
    assert agent.basis is Basis.FROM_MEMORY


@pytest.mark.parametrize("agent", all_agents(), ids=lambda agent: agent.name)
def test_molar_masses_follow_from_the_formula(agent):
    """IUPAC standard atomic weights, to two decimals."""
    atoms = re.findall(r"([A-Z][a-z]?)(\d*)", agent.formula)
    mass = sum(ATOMIC_WEIGHT[symbol] * int(count or 1) for symbol, count in atoms)
    assert agent.molar_mass_g_per_mol == pytest.approx(mass, abs=0.005)


def test_exposure_limits_agree_in_both_units():
    """ppm times molar mass over 24.45 L/mol, to three digits; 0.5 ppm chlorine is 1.45 mg/m3."""
    limits = [limit for agent in all_agents() for limit in agent.exposure_limits if limit.ppm is not None]
    for limit in limits:
        mg_per_m3 = limit.ppm * limit.molar_mass_g_per_mol / MOLAR_VOLUME_L
        assert limit.mg_per_m3 == float(f"{mg_per_m3:.3g}"), (limit.substance, limit.body, limit.kind)
    assert (0.5, 1.45) in {(limit.ppm, limit.mg_per_m3) for limit in find_agent("bleach").exposure_limits}


@pytest.mark.parametrize(
    ("agent", "body", "kind", "ppm"),
    [
        # NIOSH, OSHA, ACGIH (2018 revision for chlorine), HSE EH40: from memory or seen at second hand
        ("hypochlorite", "OSHA PEL", "ceiling", 1.0),
        ("hypochlorite", "NIOSH REL", "ceiling", 0.5),
        ("hypochlorite", "ACGIH TLV", "TWA", 0.1),
        ("hypochlorite", "ACGIH TLV", "STEL", 0.4),
        ("hypochlorite", "NIOSH", "IDLH", 10.0),
        ("peracetic acid", "ACGIH TLV", "STEL", 0.4),
        ("hydrogen peroxide", "OSHA PEL", "TWA", 1.0),
        ("hydrogen peroxide", "UK WEL", "STEL", 2.0),
        ("hydrogen peroxide", "NIOSH", "IDLH", 75.0),
        ("glutaraldehyde", "ACGIH TLV", "ceiling", 0.05),
        ("glutaraldehyde", "NIOSH REL", "ceiling", 0.2),
        ("OPA", "ACGIH TLV", "ceiling", 0.0001),
    ],
)
def test_exposure_limits_are_those_of_the_named_bodies(agent, body, kind, ppm):
    """Each body's limit, by kind."""
    found = [x.ppm for x in find_agent(agent).exposure_limits if (x.body, x.kind) == (body, kind)]
    assert found == [ppm]


@pytest.mark.parametrize(
    ("agent", "use", "strength", "temperature_c", "contact_s", "least", "days"),
    [
        # CDC 2008 table of high-level disinfectants, WHO 2014 annex G, WHO 2016: from memory or excerpt
        ("glutaraldehyde", "2 %, high-level", 20000, 20, 45 * 60, 15000, 14),
        ("glutaraldehyde", "2 %, sterilant", 20000, 20, 10 * 3600, 15000, 14),
        ("OPA", "0.55 %, 20 °C", 5500, 20, 12 * 60, 3000, 14),
        ("OPA", "0.55 %, machine at 25 °C", 5500, 25, 5 * 60, 3000, 14),
        ("hydrogen peroxide", "7.5 %", 75000, 20, 30 * 60, 60000, 21),
        ("hydrogen peroxide", "accelerated 2 %", 20000, 20, 8 * 60, None, None),
        ("peracetic acid", "machine, 2000 mg/L", 2000, 50, 12 * 60, None, None),
        ("hypochlorite", "parts, 1000 mg/L", 1000, None, 20 * 60, None, 1),
        ("hypochlorite", "parts, 650 mg/L", 650, None, 10 * 60, None, 1),
        ("hypochlorite", "immersion, 500 mg/L", 500, None, 30 * 60, None, 1),
        ("hypochlorite", "wiping, 500 mg/L", 500, None, 10 * 60, None, 1),
    ],
)
def test_uses_are_those_of_the_named_documents(agent, use, strength, temperature_c, contact_s, least, days):
    """Strength, temperature, time, minimum effective strength and days."""
    found = find_agent(agent).use(use)
    assert (found.strength_mg_per_l, found.temperature_c, found.contact_s) == (
        strength,
        temperature_c,
        contact_s,
    )
    assert (found.minimum_effective_mg_per_l, found.use_life_days) == (least, days)


def test_times_strengths_and_temperatures_run_the_right_way():
    """The time kept is the longest quoted; ranges go upward; a solution in use may be weaker than a fresh one."""
    for use in (use for agent in all_agents() for use in agent.uses):
        assert use.contact_s >= (use.contact_shortest_s or 0) >= 0
        assert (use.strength_at_most_mg_per_l or 1e9) > (use.strength_mg_per_l or 0)
        assert (use.strength_at_most_percent or 101) > (use.strength_percent or 0)
        assert (use.temperature_at_most_c or 101) > (use.temperature_c or 0)
        assert (use.minimum_effective_mg_per_l or 0) <= (use.strength_mg_per_l or 0)


def test_the_floor_is_the_minimum_effective_strength_or_else_the_uses_own():
    """Where nobody told us a minimum, nothing weaker than the use itself is accepted."""
    assert find_agent("OPA").uses[0].floor_mg_per_l == 3000
    assert find_agent("bleach").use("parts, 1000 mg/L").floor_mg_per_l == 1000
    assert find_agent("ethanol").uses[0].floor_mg_per_l is None


@pytest.mark.parametrize(
    ("name", "level"),
    [
        ("ethanol", Level.INTERMEDIATE),
        ("isopropanol", Level.INTERMEDIATE),
        ("OPA", Level.HIGH),
        ("hypochlorite", Level.HIGH),
        ("glutaraldehyde", Level.STERILANT),
        ("hydrogen peroxide", Level.STERILANT),
        ("peracetic acid", Level.STERILANT),
    ],
)
def test_the_level_is_the_highest_of_its_uses(name, level):
    """CDC 2008, from memory: alcohols never reach high level, OPA and chlorine never sterilise."""
    assert find_agent(name).level is level


@pytest.mark.parametrize(
    ("alias", "name"),
    [
        ("bleach", "hypochlorite"),
        ("Eau de Javel", "hypochlorite"),
        ("chlorine powder", "calcium hypochlorite"),
        ("NaDCC tablets", "NaDCC"),
        ("paa", "peracetic acid"),
        ("ortho-phthalaldehyde", "OPA"),
        ("rubbing  alcohol", "isopropanol"),
        ("H2O2", "hydrogen peroxide"),
    ],
)
def test_agents_are_found_by_what_people_call_them(alias, name):
    """Any case, hyphen or space."""
    assert find_agent(alias).name == name


def test_an_alias_belongs_to_one_agent():
    """Otherwise a name would choose by chance."""
    names = [plain(n) for agent in all_agents() for n in (agent.name, *agent.aliases)]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("slip", "near"), [("bleech", "hypochlorite"), ("alcohol", "ethanol"), ("glutarol", "glutaral")]
)
def test_an_unknown_name_gets_near_ones(slip, near):
    """`alcohol` is two agents: the answer names them."""
    with pytest.raises(UnknownName, match=f"no agent called '{slip}'; near ones: .*{near}"):
        find_agent(slip)


def test_all_chlorine_agents_share_the_hazards_of_chlorine():
    """A powder is no gentler than the liquid: it has its own hazards besides."""
    liquid, *dry = (find_agent(name) for name in CHLORINE)
    for agent in dry:
        assert set(liquid.hazards) < set(agent.hazards)
        assert set(liquid.surroundings) < set(agent.surroundings)
        assert agent.uses == liquid.uses
        assert agent.exposure_limits == liquid.exposure_limits
        assert agent.surrounding("a little water") is not None


@pytest.mark.parametrize(
    ("agent", "surrounding"),
    [("ethanol", "flame"), ("isopropanol", "heat"), ("bleach", "hot water"), ("bleach", "Metal-container")],
)
def test_surroundings_that_hurt_are_known(agent, surrounding):
    """Alcohol by a flame, bleach in hot water."""
    assert find_agent(agent).surrounding(surrounding).sentence


def test_a_surrounding_nobody_spoke_of_is_none():
    """None is silence, not consent."""
    assert find_agent("bleach").surrounding("moonlight") is None


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ('source = "S"\nbasis = "published"\n', r"use of a \(u\)"),
        ("contact_s = 60\n", r"use of a \(u\)"),
        ('level = "low"\n', r"use of a \(u\)"),
        ('rinse = { water = "sterile", times = 1, source = "S", basis = "computed" }\n', "agent a"),
        ('hazard = [ { sentence = "It is wet.", source = "S", basis = "published" } ]\n', "agent a"),
        ('aliases = ["b"]\n', "agent a"),
    ],
)
def test_an_agent_without_a_needed_row_or_value_is_refused(line, what):
    """Not even a hazard may be missing."""
    assert line in USABLE
    with pytest.raises(UnusableLibrary, match=what + r" in agents\.toml is not usable"):
        parse_agents(USABLE.replace(line, ""))


@pytest.mark.parametrize("kind", ["hazard", "protection", "surrounding"])
@pytest.mark.parametrize("gone", ["source", "basis"])
def test_a_bare_row_is_refused(kind, gone):
    """Each row by itself must say whence."""
    lines = USABLE.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith(kind))
    lines[at] = re.sub(rf', {gone} = "[^"]*"', "", lines[at])
    with pytest.raises(UnusableLibrary, match=rf"{kind} of a in agents\.toml is not usable \('{gone}'\)"):
        parse_agents("\n".join(lines))


@pytest.mark.parametrize(
    "strength",
    ["", "strength_percent = 70", 'strength_mg_per_l = 1\nstrength_percent = 1\npercent_basis = "w/w"'],
)
def test_a_use_has_exactly_one_strength(strength):
    """In mg/L, or in percent of a stated basis."""
    with pytest.raises(
        UnusableLibrary, match="needs strength_mg_per_l, or strength_percent with percent_basis"
    ):
        parse_agents(USABLE.replace("strength_mg_per_l = 100", strength))


def test_an_unknown_level_is_refused():
    """Four levels exist."""
    with pytest.raises(UnusableLibrary, match="'highish' is not a valid Level"):
        parse_agents(USABLE.replace('level = "low"', 'level = "highish"'))


def test_an_agent_like_a_missing_one_is_refused():
    """Likeness needs something before it."""
    with pytest.raises(
        UnusableLibrary, match="agent a in agents.toml is like z, which does not stand before it"
    ):
        parse_agents(USABLE.replace('name = "a"', 'name = "a"\nlike = "z"'))


def test_every_sentence_ends_and_nothing_is_called_safe():
    """The library warns; it does not soothe."""
    assert not re.search(r"\bsafe(ly)?\b", shipped("agents.toml"), re.IGNORECASE)
    for agent in all_agents():
        for said in (*agent.hazards, *agent.surroundings):
            assert said.sentence.endswith("."), said.sentence
