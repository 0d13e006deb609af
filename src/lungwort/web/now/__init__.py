"""Now: what can be connected, what is in use, what is held and why, and the one thing to do next."""
