"""The contract of a store, in Memory."""

import pytest
from contract import StoreContract
from deciding import DecidingContract


class TestMemoryStore(StoreContract, DecidingContract):
    """The same tests as for every other store."""

    @pytest.fixture
    def store(self, request):
        """Return an empty store."""
        return request.getfixturevalue("memory_store")
