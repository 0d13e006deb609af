"""Bedside: a set-up joined, checked, connected to a patient, looked after by the clock, and disconnected."""
