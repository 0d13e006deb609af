"""Scanning: a code by a hand scanner, a keyboard or a photo, and on to the thing that bears it."""
