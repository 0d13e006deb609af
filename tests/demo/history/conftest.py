"""Short histories that several tests look at, each written once."""

from datetime import UTC, datetime
from typing import NamedTuple

import pytest

from lungwort.demo.history.write import History, write_history
from lungwort.records.stores.memory import MemoryStore

ENDS = datetime(2026, 11, 25, 16, 20, tzinfo=UTC)
PLACE = "Ridgeway Hospital"


class Written(NamedTuple):
    """A history and the store it was written into."""

    store: MemoryStore
    history: History

    @property
    def events(self):
        """All of it, in order."""
        return list(self.store.events(PLACE))

    @property
    def view(self):
        """The place as it stands at the end."""
        return self.store.view(PLACE, lambda: ENDS)


def written(beds: int, years: float, seed: int = 11, ends: datetime = ENDS) -> Written:
    """Return a history in memory."""
    store = MemoryStore()
    return Written(store, write_history(store, PLACE, beds=beds, years=years, seed=seed, ends=ends))


@pytest.fixture(scope="package")
def small() -> Written:
    """Return five weeks of two beds."""
    return written(2, 0.1)


@pytest.fixture(scope="package")
def large() -> Written:
    """Return five weeks of twelve beds."""
    return written(12, 0.1)


@pytest.fixture(scope="package")
def long() -> Written:
    """Return a good half year of six beds, in which most of what goes wrong does."""
    return written(6, 0.6, seed=13)


@pytest.fixture(params=["small", "large", "long"])
def any_history(request) -> Written:
    """Return each of the histories in turn."""
    return request.getfixturevalue(request.param)
