"""The contract of a store, in SQLite."""

import pytest
from contract import StoreContract
from deciding import DecidingContract

from lungwort.records.connect import connect


class TestSQLiteStore(StoreContract, DecidingContract):
    """The same tests as for every other store."""

    @pytest.fixture
    def store(self, request):
        """Return an empty store."""
        return connect(request.getfixturevalue("new_sqlite")())
