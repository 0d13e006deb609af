"""Signing in: a person's code and PIN on a shared device, a lock after idleness, a quick change of person."""
