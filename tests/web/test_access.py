"""Every address times every role times nobody, made from the table of addresses."""

import pytest
from django.urls import get_resolver, reverse
from served import PART

from lungwort.records.life.permissions import ROLES
from lungwort.web.access import ANYONE, roles_of

NO_EVENT = "0" * 32
EXAMPLES = {
    "turnaround_do": ["wash"],
    "cycle": ["C-1"],
    "cycle_do": ["C-1", "start"],
    "cycle_evidence": ["C-1", "log"],
    "cycle_readings": ["C-1"],
    "cycle_chart": ["C-1", "0"],
    "cycle_certificate": ["C-1", 0],
    "thing": ["part", PART],
    "label": ["part", PART],
    "order": ["part", PART, "hold"],
    "amend": ["part", PART, NO_EVENT],
    "enrol": ["part"],
    "set_up": ["S-1"],
    "protocol_card": ["Silicone circuit, adult"],
    "person": ["I-01"],
}
"""What stands in the addresses that name something, by the address's name."""


def pages():
    """Return name and rule of every address."""
    found = []
    for included in get_resolver().url_patterns:
        found += [(pattern.name, roles_of(pattern.callback)) for pattern in included.url_patterns]
    return found


def test_there_are_pages():
    """A table that is empty would make every test below pass."""
    assert {"now", "sign_in", "change_person", "first_run"} <= {name for name, _rule in pages()}


@pytest.mark.parametrize(("name", "rule"), pages())
def test_every_page_says_who_may_open_it(name, rule):
    """A new page without a rule fails here, and is refused to all."""
    assert set(rule) & {ANYONE, *ROLES}, name


@pytest.mark.parametrize("role", [None, *ROLES])
def test_pages_open_to_their_roles_and_to_no_other(signed_in, role):
    """Nobody is asked to sign in; a person without the role is told whose page it is."""
    for name, rule in pages():
        answer = signed_in(role).get(reverse(name, args=EXAMPLES.get(name, [])))
        if ANYONE in rule:
            assert answer.status_code in (200, 302), name
        elif role is None:
            assert answer.status_code == 302, name
            assert answer.headers["Location"].startswith("/sign-in?next="), name
        elif role in rule:
            # 405: it only takes a form that is sent; 404: what the example names is not there
            assert answer.status_code in (200, 404, 405), name
        else:
            assert answer.status_code == 403, name
