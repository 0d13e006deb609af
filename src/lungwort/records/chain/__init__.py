"""The chain: from a draft to an event, tied by hash to the one before."""
