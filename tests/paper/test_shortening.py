"""Texts and names shortened to the room that the page has."""

from lungwort.paper.shortening import shortened, shortened_apart


def test_shortened_names_stay_different() -> None:
    """Names that differ in any place still differ when cut."""
    names = [f"{a}{'x' * 30}{b}" for a in "ab" for b in "cd"]
    assert len(set(shortened_apart(names, 12))) == 4
    middle = ["x" * 20 + a + "y" * 20 for a in "ab"]
    found = shortened_apart(middle, 12)
    assert len(set(found)) == 2
    assert all(len(name) <= 12 for name in found)


def test_a_shortened_text_has_the_length_asked_for() -> None:
    """No more, and no less, than asked."""
    assert [len(shortened("a" * 50, n)) for n in (7, 8, 50)] == [7, 8, 50]
