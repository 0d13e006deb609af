"""Codes by which things are found again: our own, those of GS1, and a hospital's tags."""
