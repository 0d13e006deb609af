"""Turnaround: the ring of a part's journey, and its steps as big plain actions on many parts at once."""
