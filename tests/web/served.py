"""Names that the tests of the pages share."""

PLACE, PIN = "Hill", "246810"
PART = "P-8MD8AT-M"
"""A circuit that is enrolled, soiled."""


def code_of(role):
    """Return the code of the person who has a role and no other."""
    return role.title().replace(" ", "-")
