from collections import Counter
from types import SimpleNamespace

import pytest

from lungwort.demo.history.unit import refused
from lungwort.records.life.reasons import Reason, Refused


def unit():
    """Return as much of a unit as counts refusals."""
    return SimpleNamespace(counts=Counter())


def refusing(*rules):
    """Return a deed that is refused by rules."""

    def deed():
        raise Refused([Reason(rule, f"{rule} says no", "wait") for rule in rules])

    return deed


def test_an_expected_refusal_is_counted():
    """By its rule, among whatever other reasons there are."""
    here = unit()
    refused(here, "proof", refusing("order", "proof"))
    assert here.counts == {"refused: proof": 1}


def test_a_refusal_for_another_reason_is_not_swallowed():
    """It is raised as it came, and not counted."""
    here = unit()
    with pytest.raises(Refused, match="order says no"):
        refused(here, "proof", refusing("order"))
    assert not here.counts


def test_a_deed_that_the_rules_let_pass_is_a_fault():
    """What must be refused and is not stops the simulation."""
    with pytest.raises(
        AssertionError, match="part.released was not refused although proof speaks against it"
    ):
        refused(unit(), "proof", lambda: SimpleNamespace(what="part.released"))
