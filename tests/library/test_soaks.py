"""Uses of agents as criteria."""

from lungwort.library.agents import all_agents, find_agent
from lungwort.library.catalogue import all_criteria, find_criterion
from lungwort.library.soaks import agent_of, soak_criteria, soak_criterion


def test_every_immersion_use_is_a_criterion_and_no_wipe_is():
    """A wipe has no time in and out."""
    uses = [u for a in all_agents() for u in a.uses]
    assert len(soak_criteria()) == len([u for u in uses if not u.name.startswith(("wiping", "blood spill"))])
    assert not [c.name for c in all_criteria() if "wiping" in c.name]


def test_the_minimum_effective_strength_is_the_limit_where_there_is_one():
    """Glutaraldehyde 2 % may be used down to 1.5 % (from memory)."""
    limit = find_criterion("glutaraldehyde-2pc-high-level").limit("strength")
    assert (limit.at_least, limit.unit) == (15_000, "mg/L")


def test_the_cautious_end_of_contact_times_is_asked():
    """Documents give 20 to 45 min for glutaraldehyde: 45 is asked."""
    assert find_criterion("glutaraldehyde-2pc-high-level").limit("contact").at_least == 45 * 60


def test_a_criterion_knows_its_agent():
    """So that readings are parsed as its strengths."""
    assert all(agent_of(c).name in c.title for c in soak_criteria())


def test_sources_and_basis_come_from_the_use():
    """Nothing becomes surer by being asked for."""
    agent = find_agent("OPA")
    for use in agent.uses:
        for limit in soak_criterion(agent, use).limits:
            assert limit.basis == (agent.rinse.basis if limit.rule == "rinse" else use.basis)
